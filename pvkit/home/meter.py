"""A smart meter's file in the place of the built-in demand.

The file is only read. What is wrong with it is told with its dates, and put right only if the site
file asks for it, by rules that are told as well.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from pvkit.home.meter_days import Days
from pvkit.home.meter_text import file_state
from pvkit.home.meter_use import read_use
from pvkit.home.meter_year import Placed, date_of, placed, within
from pvkit.site.household import Home
from pvkit.site.tariff_checks import year_start
from pvkit.tables import MONTHS, constant

Array = NDArray[np.float64]

DAYS_A_YEAR = 365


@dataclass(frozen=True, slots=True, eq=False)
class Metered:
    """A metered home on the reference year.

    Parameters
    ----------
    kwh : (n,) electricity used in each half-hour [kWh]
    first, last : first and last date taken from the file
    metered_days : days of the reference year that metered days stand for
    said : how the file was read
    notes : what was left out, filled or made up
    """

    kwh: Array
    first: date
    last: date
    metered_days: int
    said: tuple[str, ...]
    notes: tuple[str, ...]


def meter_state(home: Home) -> tuple[object, ...]:
    """Tell meter files that were saved again from those read before; goes into stage keys."""
    return (file_state(home.meter_file), file_state(home.meter_generation_file))


def metered(home: Home) -> Metered:
    """Read a home's meter files onto the reference year.

    Parameters
    ----------
    home : names the files and says how to read them

    Raises
    ------
    InputError
        With everything that is wrong with the files, dates told.

    Examples
    --------
    >>> from pvkit.site.samples import meter_files
    >>> year = metered(Home(meter_file=str(meter_files()["year_by_day"])))
    >>> year.first.isoformat(), year.last.isoformat(), year.metered_days
    ('2024-07-01', '2025-06-30', 365)
    """
    keys = {key: getattr(home, key) for key in type(home).model_fields if key.startswith("meter_")}
    return _metered(Home(**keys), meter_state(home))


def meter_notes(home: Home) -> tuple[str, ...]:
    """Say what a reader should know about a metered demand."""
    year = metered(home)
    own = home.yearly_kwh if "yearly_kwh" in home.model_fields_set else None
    used = float(year.kwh.sum())
    notes = list(year.notes)
    if own is not None and abs(own - used) > constant("meter.differs_fraction") * used:
        notes.append(
            f"The site file's yearly_kwh of {own:,.0f} is not used: the meter counted {used:,.0f}."
        )
    return (
        *notes,
        "What happens within a metered half-hour is not known. Its minutes are borrowed from the "
        "half-hours of a built-in home that used as much at the same time of day.",
        *year.said,
    )


@lru_cache(maxsize=8)
def _metered(home: Home, _state: tuple[object, ...]) -> Metered:
    """Read the files once for each way of reading them and each time they were saved."""
    use = read_use(home)
    spans = _years(use.days, mean=home.meter_year == "mean")
    years = [placed(use.days, first, last) for first, last in spans]
    kwh = np.mean([year.values for year in years], axis=0)
    kwh.setflags(write=False)
    notes = (*use.notes, *_span_notes(home, use.days, spans, kwh), *_made_up(years[0]))
    return Metered(
        kwh=kwh,
        first=spans[-1][0],
        last=spans[0][1],
        metered_days=DAYS_A_YEAR - len(years[0].made_up),
        said=use.said,
        notes=notes,
    )


def _years(days: Days, *, mean: bool) -> list[tuple[date, date]]:
    """Give the years to take, the last first; a file of less than a year has one short one."""
    begin, last = date_of(days.day[0]), date_of(days.day[-1])
    spans = [(max(year_start(last), begin), last)]
    while mean and year_start(spans[-1][0] - timedelta(days=1)) >= begin:
        end = spans[-1][0] - timedelta(days=1)
        spans.append((year_start(end), end))
    return spans


def _span_notes(
    home: Home, days: Days, spans: list[tuple[date, date]], kwh: Array
) -> tuple[str, ...]:
    """Say which days were taken, and what of the file was not."""
    file = str(home.meter_file).replace("\\", "/").rpartition("/")[2]
    first, last = spans[-1][0], spans[0][1]
    notes = [
        f"{file}: the home's use is metered, {first} to {last}, {kwh.sum():,.0f} kWh on the year "
        "of the estimate. A metered day stands for the nearest date with the same day of the week."
    ]
    if len(spans) > 1:
        notes.append(f"{file}: the mean of {len(spans)} metered years is taken, half-hour by "
                     "half-hour, which smooths them (home.meter_year sets it).")  # fmt: skip
    begin = date_of(days.day[0])
    if begin < first:
        notes.append(f"{file}: {begin} to {first - timedelta(days=1)} is left out: the last "
                     "whole year or years are taken (home.meter_year sets it).")  # fmt: skip
    leap = next((day for day in _leap_days(first, last)), None)
    if leap is not None:
        energy = float(np.nansum(days.kwh[within(days, leap, leap)]))
        notes.append(f"{file}: {leap} is left out ({energy:.1f} kWh): the year has 365 days.")
    return tuple(notes)


def _leap_days(first: date, last: date) -> list[date]:
    years = range(first.year, last.year + 1)
    leap = [date(year, 2, 29) for year in years if year % 4 == 0]
    return [day for day in leap if first <= day <= last]


def _made_up(year: Placed) -> tuple[str, ...]:
    """Warn of days that were never metered."""
    if not len(year.made_up):
        return ()
    day = np.datetime64(f"{int(constant('calendar.year'))}-01-01") + year.made_up
    months = sorted({int(month) for month in day.astype("datetime64[M]").astype(int) % 12})
    names = ", ".join(MONTHS[month].title() for month in months)
    return (
        f"{len(year.made_up)} days of the year were not metered ({names}). Each is taken from a "
        "metered day of its kind, weekday or weekend, in the same month or the nearest one, scaled "
        "by the published swing of appliances through the year. Heating and holidays are not "
        "known: ask for a whole year.",
    )
