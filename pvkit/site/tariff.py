"""What electricity and gas cost: flat, by the clock, by kind of day, by season or from a file."""

from datetime import date
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from pvkit.site.fields import Flag, Section, choice, clock, listing, quantity, text
from pvkit.tables import MONTHS

HALF_HOURS_A_DAY = 48
BAND_FORM = '{ name = "night", start = "00:30", end = "07:30", gbp_per_kwh = 0.15 }'
BAND_LIST = listing("a list of up to 48 bands", 0, 48, f"write each as {BAND_FORM}")

Month = Literal["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]


def _day(fix: str, *, optional: bool = False) -> Any:
    """Declare a date of the calendar."""
    extra: dict[str, Any] = {"allowed": "a date without quotes, like 2026-04-01", "fix": fix}
    if optional:
        return Field(default=None, strict=True, json_schema_extra=extra)
    return Field(strict=True, json_schema_extra=extra)


def _price(fix: str, key: str) -> Any:
    return quantity("GBP/kWh", 0.0, 2.0, fix, key=key)


def _change(key: str) -> Any:
    return quantity("1/year", -0.2, 0.2, "give a share, 0.02 for 2 % a year", key=key)


class Band(Section):
    """A part of the day with its own price, in local clock time.

    ``days`` and ``months`` narrow it to a kind of day and to a season. They are those of the
    half-hour itself: what lies past midnight belongs to the new day.
    """

    name: str = text(40, 'name the band, like "night"')
    start: str = clock("give when the band starts, midnight as 00:00")
    end: str = clock("give when the band ends, midnight as 00:00")
    gbp_per_kwh: float = quantity("GBP/kWh", 0.0, 2.0, "give pounds, not pence: 0.09 for 9 p")
    days: Literal["weekday", "weekend"] | None = Field(
        default=None,
        json_schema_extra={"fix": "say which days it is for, or leave it out for every day"},
    )
    months: tuple[Month, ...] | None = Field(
        default=None,
        **listing(
            'a list of 1 to 12 months, like ["nov", "dec", "jan"]',
            1,
            12,
            "name each month by its first three letters, or leave it out for the whole year",
        ),
    )


class Period(Section):
    """A stretch of dates with prices of its own; what it leaves out is that of ``[tariff]``."""

    name: str = text(40, 'name the period, like "winter offer"')
    valid_from: date = _day("give the first day of these prices")
    valid_to: date = _day("give the last day of these prices")
    import_gbp_per_kwh: float | None = quantity(
        "GBP/kWh", 0.0, 2.0, "give pounds, not pence: 0.26 for 26 p", optional=True
    )
    import_bands: tuple[Band, ...] | None = Field(default=None, **BAND_LIST)
    standing_gbp_per_day: float | None = quantity(
        "GBP/day", 0.0, 5.0, "give pounds a day, not pence", optional=True
    )
    export_gbp_per_kwh: float | None = quantity(
        "GBP/kWh", 0.0, 2.0, "give pounds, not pence: 0.12 for 12 p", optional=True
    )
    export_bands: tuple[Band, ...] | None = Field(default=None, **BAND_LIST)


class Tariff(Section):
    """The ``[tariff]`` table: prices today and how they change.

    Without bands a price is flat. With them, ``import_gbp_per_kwh`` (``export_gbp_per_kwh``) is
    the price of every half-hour that no band covers. A file gives each half-hour its own price.
    """

    import_gbp_per_kwh: float = _price(
        "give pounds, not pence: 0.26 for 26 p", "tariff.import_gbp_per_kwh"
    )
    import_bands: tuple[Band, ...] = Field(default=(), **BAND_LIST)
    import_file: str | None = text(
        1000, "give the name of a file of half-hourly prices beside the site file", optional=True
    )
    standing_gbp_per_day: float = quantity(
        "GBP/day", 0.0, 5.0, "give pounds a day, not pence", key="tariff.standing_gbp_per_day"
    )
    export_gbp_per_kwh: float = _price(
        "give pounds, not pence: 0.12 for 12 p", "tariff.export_gbp_per_kwh"
    )
    export_bands: tuple[Band, ...] = Field(default=(), **BAND_LIST)
    export_file: str | None = text(
        1000, "give the name of a file of half-hourly prices beside the site file", optional=True
    )
    price_unit: Literal["GBP/kWh", "p/kWh"] | None = Field(
        default=None, json_schema_extra={"fix": "say what the price file's numbers are"}
    )
    price_clock: Literal["local", "utc"] | None = Field(
        default=None, json_schema_extra={"fix": "say which clock the price file's times follow"}
    )
    price_label: Literal["start", "end"] | None = Field(
        default=None,
        json_schema_extra={"fix": "say which end of its half-hour a price file's time marks"},
    )
    price_date_order: Literal["day first", "month first", "year first"] | None = Field(
        default=None, json_schema_extra={"fix": "say how the price file writes its dates"}
    )
    gas_gbp_per_kwh: float = _price(
        "give pounds, not pence: 0.07 for 7 p", "tariff.gas_gbp_per_kwh"
    )
    vat_included: Flag = choice(
        "tariff.vat_included", "write false if the prices given for electricity and gas lack VAT"
    )
    vat_fraction: float = quantity(
        "-", 0.0, 0.25, "give a share, 0.05 for 5 %", key="tariff.vat_fraction"
    )
    import_change_per_year: float = _change("tariff.import_change_per_year")
    export_change_per_year: float = _change("tariff.export_change_per_year")
    gas_change_per_year: float = _change("tariff.gas_change_per_year")
    valid_from: date | None = _day("give the first day of these prices", optional=True)
    valid_to: date | None = _day("give the last day of these prices", optional=True)
    periods: tuple[Period, ...] = Field(
        default=(),
        **listing(
            "up to 40 tables [[tariff.periods]]",
            0,
            40,
            "each holds name, valid_from, valid_to and the prices that differ",
        ),
    )

    def with_vat(self, gbp: float) -> float:
        """Give a price that the site file gave, with VAT."""
        return gbp if self.vat_included else gbp * (1.0 + self.vat_fraction)

    def paid(self, key: str) -> float:
        """Give one of the table's own prices with VAT; a default from the tables has it already.

        Examples
        --------
        >>> bare = Tariff(gas_gbp_per_kwh=0.06, vat_included=False)
        >>> round(bare.paid("gas_gbp_per_kwh"), 4), bare.paid("standing_gbp_per_day")
        (0.063, 0.5719)
        """
        gbp = float(getattr(self, key))
        return self.with_vat(gbp) if key in self.model_fields_set else gbp

    def within(self, period: Period) -> "Tariff":
        """Give the tariff as it stands in one of its periods."""
        keys = period.model_fields_set & type(self).model_fields.keys()
        own = {key: getattr(period, key) for key in keys if getattr(period, key) is not None}
        return self.model_copy(update={**own, "periods": ()})


def band_slots(band: Band) -> list[int]:
    """Give the half-hours of the day (0 to 47, local clock) in a band, past midnight if need be.

    Examples
    --------
    >>> band_slots(Band(name="night", start="23:30", end="00:30", gbp_per_kwh=0.1))
    [47, 0]
    """
    first, last = (int(text[:2]) * 2 + (text[3:] == "30") for text in (band.start, band.end))
    length = (last - first) % HALF_HOURS_A_DAY or HALF_HOURS_A_DAY
    return [(first + step) % HALF_HOURS_A_DAY for step in range(length)]


def band_cells(band: Band) -> NDArray[np.bool_]:
    """Mark when a band holds: (12, 2, 48), by month, weekday or weekend, half-hour of the day.

    Examples
    --------
    >>> winter = Band(name="w", start="16:00", end="19:00", gbp_per_kwh=0.4, months=["jan"])
    >>> int(band_cells(winter).sum())  # six half-hours on weekdays, six at weekends
    12
    """
    cells = np.zeros((len(MONTHS), 2, HALF_HOURS_A_DAY), dtype=np.bool_)
    months = [MONTHS.index(month) for month in band.months or MONTHS]
    kinds = [0, 1] if band.days is None else [int(band.days == "weekend")]
    cells[np.ix_(months, kinds, band_slots(band))] = True
    return cells
