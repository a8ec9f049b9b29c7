"""A price for each half-hour from a file, as some tariffs are published."""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from pvkit.errors import Fault, InputError
from pvkit.home.meter_asked import Asked
from pvkit.home.meter_clock import utc_midnights
from pvkit.home.meter_days import days_of, whole_days
from pvkit.home.meter_faults import register_faults, register_of
from pvkit.home.meter_readings import Readings, read_half_hours
from pvkit.home.meter_text import file_state
from pvkit.home.meter_year import date_of, placed
from pvkit.site.tariff import Tariff
from pvkit.site.tariff_checks import year_start
from pvkit.tables import constant

Array = NDArray[np.float64]


def file_prices(tariff: Tariff, side: str) -> Array:
    """Read a file of half-hourly prices onto the reference year.

    The file holds a year or more without a gap, in the forms that meter files have; of more than a
    year the last is taken. A day stands for the nearest date with the same day of the week.

    Parameters
    ----------
    tariff : names the file and says how to read it
    side : "import" or "export"

    Returns
    -------
    (n,) as in the file, VAT or not [GBP/kWh]; its array cannot be written to

    Raises
    ------
    InputError
        If the file cannot be read, has gaps or repeats, spans less than a year, or holds prices
        that cannot be.
    """
    return _read(tariff, side)[0]


def price_file_notes(tariff: Tariff) -> tuple[str, ...]:
    """Say how the price files were read."""
    sides = [s for s in ("import", "export") if getattr(tariff, f"{s}_file") is not None]
    return tuple(note for side in sides for note in _read(tariff, side)[1])


def _read(tariff: Tariff, side: str) -> tuple[Array, tuple[str, ...]]:
    name = getattr(tariff, f"{side}_file")
    asked = Asked(
        key="tariff.price",
        file_key=f"tariff.{side}_file",
        roles=("price",),
        needed="price",
        side=side,
        clock=tariff.price_clock,
        label=tariff.price_label,
        unit=tariff.price_unit,
        date_order=tariff.price_date_order,
    )
    return _file_year(name, file_state(name), asked)


@lru_cache(maxsize=8)
def _file_year(name: str, _state: object, asked: Asked) -> tuple[Array, tuple[str, ...]]:
    """Read a file once for each way of reading it and each time it was saved."""
    readings = read_half_hours(name, asked)
    first_day, end_day = whole_days(int(readings.start[0]), int(readings.start[-1]))
    last = date_of(end_day - 1)
    first = year_start(last)
    first_taken = int(np.datetime64(first, "D").astype(np.int64))
    if first_taken < first_day:
        raise InputError(
            Fault(
                f"{asked.file_key}, {readings.file}",
                f"found prices from {date_of(first_day)} to {last}",
                f"a whole year: from {first} or before",
                "bring a file of a year or more, without gaps",
            )
        )
    start, end = (int(at) for at in utc_midnights(np.array([first_taken, end_day])))
    register = register_of(readings, "price", start, end, least=-np.inf)
    faults = [*register_faults([register], ""), *_odd(readings)]
    if faults:
        raise InputError(*faults)
    days = days_of(first_taken, end_day, register.kwh)
    prices = placed(days, first, last, energy=False).values
    prices.setflags(write=False)
    taken = f"{readings.file}: prices of {first} to {last} are taken."
    return prices, (*readings.said, taken)


def _odd(readings: Readings) -> list[Fault]:
    low, high = constant("tariff.file_lowest"), constant("tariff.file_highest")
    prices = readings.numbers["price"]
    least, most = float(np.nanmin(prices)), float(np.nanmax(prices))
    if least >= low and most <= high:
        return []
    return [
        Fault(
            readings.file,
            f"found prices from {least:,.4g} to {most:,.4g} GBP/kWh",
            f"{low:g} to {high:g} GBP/kWh",
            "set tariff.price_unit to 'p/kWh' or 'GBP/kWh', or take the odd prices out",
        )
    ]
