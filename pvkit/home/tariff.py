"""What a kWh costs or earns in each half-hour, by the clock and calendar on the wall."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pvkit.home.calendar import local_calendar
from pvkit.site.tariff import Tariff, band_cells
from pvkit.site.tariff_checks import year_start
from pvkit.tables import constant

Array = NDArray[np.float64]
Side = Literal["import", "export"]

DAYS_A_YEAR = 365


def import_prices(tariff: Tariff) -> Array:
    """Price of a bought kWh in each half-hour of the year, VAT included.

    Parameters
    ----------
    tariff : flat price, bands that replace it in parts of the day, week or year, periods of
        dates, or a file of half-hourly prices

    Returns
    -------
    (n,) import price today [GBP/kWh]; on the clock-change days the skipped hour has no
    half-hours and the repeated one has its band's price both times

    Raises
    ------
    InputError
        If the tariff names a price file that cannot be used.

    Examples
    --------
    >>> from pvkit.site.tariff import Band
    >>> night = Band(name="night", start="23:30", end="05:30", gbp_per_kwh=0.08)
    >>> import_prices(Tariff(import_gbp_per_kwh=0.28, import_bands=(night,)))[[0, 10, 11, 47]]
    array([0.08, 0.08, 0.28, 0.08])
    """
    return _prices(tariff, "import")


def export_prices(tariff: Tariff) -> Array:
    """Price of a sold kWh in each half-hour of the year; a household sells without VAT.

    Parameters
    ----------
    tariff : as for :func:`import_prices`

    Returns
    -------
    (n,) export price today [GBP/kWh]

    Raises
    ------
    InputError
        If the tariff names a price file that cannot be used.

    Examples
    --------
    >>> from pvkit.site.tariff import Band
    >>> noon = Band(name="noon", start="11:00", end="14:00", gbp_per_kwh=0.03)
    >>> export_prices(Tariff(export_gbp_per_kwh=0.12, export_bands=(noon,)))[[0, 24]]
    array([0.12, 0.03])
    """
    return _prices(tariff, "export")


def standing_gbp(tariff: Tariff) -> float:
    """Standing charge of the year, each day at its own price, VAT included [GBP/year].

    Examples
    --------
    >>> standing_gbp(Tariff(standing_gbp_per_day=1.0))
    365.0
    """
    return sum(
        len(days) * part.paid("standing_gbp_per_day") for days, part in _parts_of_year(tariff)
    )


def gas_gbp_per_kwh(tariff: Tariff) -> float:
    """Price of gas today, VAT included [GBP/kWh]."""
    return tariff.paid("gas_gbp_per_kwh")


def prices_file_state(tariff: Tariff) -> tuple[object, ...]:
    """Tell price files that were saved again from those read before; goes into stage keys."""
    from pvkit.home.meter_text import file_state

    return tuple(file_state(name) for name in (tariff.import_file, tariff.export_file))


def _prices(tariff: Tariff, side: Side) -> Array:
    if getattr(tariff, f"{side}_file") is not None:
        from pvkit.home.tariff_file import file_prices

        prices = file_prices(tariff, side)
        return prices * tariff.with_vat(1.0) if side == "import" else prices
    day, prices = local_calendar().day, np.empty(len(local_calendar().day))
    for days, part in _parts_of_year(tariff):
        here = np.isin(day, days)
        prices[here] = _banded(part, side)[here]
    return prices


def _banded(tariff: Tariff, side: Side) -> Array:
    """Lay one set of bands over the whole year, (n,)."""
    base, bands = f"{side}_gbp_per_kwh", getattr(tariff, f"{side}_bands")
    flat = tariff.paid(base) if side == "import" else getattr(tariff, base)
    calendar = local_calendar()
    cells = np.full((12, 2, 48), flat)
    for band in bands:
        price = tariff.with_vat(band.gbp_per_kwh) if side == "import" else band.gbp_per_kwh
        cells[band_cells(band)] = price
    return cells[calendar.month, calendar.weekend.astype(np.int64), calendar.half_hour]


def _parts_of_year(tariff: Tariff) -> Iterator[tuple[Sequence[int], Tariff]]:
    """Give the days of the year, 0 is 1 January, with the tariff in force on them.

    With periods the last whole year they cover is taken, each day by its month and day.
    """
    if not tariff.periods:
        yield range(DAYS_A_YEAR), tariff
        return
    last = max(period.valid_to for period in tariff.periods)
    dates = [_within_year(day, last) for day in range(DAYS_A_YEAR)]
    for period in tariff.periods:
        days = [n for n, day in enumerate(dates) if period.valid_from <= day <= period.valid_to]
        yield days, tariff.within(period)


def _within_year(day: int, last: date) -> date:
    """Give the date of a day of the plain year within the year that ends with ``last``."""
    plain = date(int(constant("calendar.year")), 1, 1) + timedelta(days=day)
    first = year_start(last)
    here = plain.replace(year=first.year)
    return here if here >= first else plain.replace(year=first.year + 1)
