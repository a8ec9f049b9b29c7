"""Metered days put on the reference year: each day of the year gets a metered day to stand for it.

A year of metered days is used once each: a day stands where its date falls, or up to three days
away so that Mondays stay Mondays. What was never metered is taken from metered days of the same
kind in the same month, or in the nearest one.
"""

from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from pvkit.home.calendar import IntArray, local_calendar
from pvkit.home.meter_clock import DAY
from pvkit.home.meter_days import Days, weekday
from pvkit.tables import MONTHS, constant

Array = NDArray[np.float64]

DAYS_A_YEAR = 365


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """The reference year made of metered days.

    Parameters
    ----------
    values : (n,) each half-hour
    made_up : (days,) days of the year, 0 is 1 January, that were never metered
    """

    values: Array
    made_up: IntArray


def placed(days: Days, first: date, last: date, *, energy: bool = True) -> Placed:
    """Put the whole days between two dates on the reference year.

    Parameters
    ----------
    days : metered days; those with a gap are not used
    first, last : dates, both included, a year apart at most
    energy : the values are kWh: a day keeps its sum where it is fitted to a longer or shorter one,
        and one taken from another month is scaled by the published swing of appliances

    Returns
    -------
    Every half-hour of the reference year; the days that were never metered
    """
    usable = days.whole & (days.day >= _number(first)) & (days.day <= _number(last))
    source = np.flatnonzero(usable & ~_leap(days.day))
    calendar = local_calendar()
    begin = np.searchsorted(calendar.day, np.arange(DAYS_A_YEAR + 1))
    stands = _stand_ins(days, source, np.diff(begin))
    values = np.empty(len(calendar.day))
    made_up = np.flatnonzero(stands < 0)
    for day in range(DAYS_A_YEAR):
        here = slice(begin[day], begin[day + 1])
        at, scale = int(stands[day]), 1.0
        if at < 0:
            at, scale = _nearest_of_its_kind(days, source, day, energy=energy)
        values[here] = scale * _fitted(days, at, calendar.half_hour[here], energy=energy)
    return Placed(values, made_up)


def _stand_ins(days: Days, source: IntArray, length: IntArray) -> IntArray:
    """Pair days of the year with metered days, each used once; -1 where none is left, (365,)."""
    from scipy.optimize import linear_sum_assignment

    year = _number(date(int(constant("calendar.year")), 1, 1)) + np.arange(DAYS_A_YEAR)
    apart = np.abs(np.arange(DAYS_A_YEAR)[:, None] - _day_of_year(days.day[source]))
    apart = np.minimum(apart, DAYS_A_YEAR - apart)
    here, there = weekday(year)[:, None], weekday(days.day[source])
    cost = apart + constant("meter.weekday_worth_days") * (here != there)
    cost += constant("meter.weekend_worth_days") * ((here >= 5) != (there >= 5))
    dates = np.isin(np.arange(DAYS_A_YEAR), _day_of_year(days.day[source]))
    cost += DAYS_A_YEAR * ~dates[:, None]  # a part of a year stands on its own dates
    cost += DAYS_A_YEAR**2 * (length[:, None] != days.length[source])
    rows, columns = linear_sum_assignment(cost)
    stands = np.full(DAYS_A_YEAR, -1)
    stands[rows] = source[columns]
    return stands


def _nearest_of_its_kind(
    days: Days, source: IntArray, day: int, *, energy: bool
) -> tuple[int, float]:
    """Find a metered day for one never metered: same kind, same month or the nearest, and date."""
    year = np.datetime64(f"{int(constant('calendar.year'))}-01-01", "D")
    this = year + day
    weekend = weekday(np.array([this.astype(np.int64)]))[0] >= 5
    alike = (weekday(days.day[source]) >= 5) == weekend
    alike &= days.length[source] == DAY
    known = source[alike] if alike.any() else source
    month, date_of_month = _month(days.day[known]), _date_of_month(days.day[known])
    mine = int(_month(this.astype(np.int64).reshape(1))[0])
    months_away = np.minimum((month - mine) % 12, (mine - month) % 12)
    dates_away = np.abs(date_of_month - int(_date_of_month(this.astype(np.int64).reshape(1))[0]))
    season_away = np.abs(np.array([_season(int(each)) for each in month]) - _season(mine))
    best = int(np.lexsort((dates_away, season_away, months_away))[0])
    scale = _season(mine) / _season(int(month[best])) if energy else 1.0
    return int(known[best]), scale


def _fitted(days: Days, at: int, clock: IntArray, *, energy: bool) -> Array:
    """Give a metered day's half-hours on a day of the year, by the clock where lengths differ."""
    mine = days.of(at)
    if len(mine) == len(clock):
        return mine
    by_clock = np.full(DAY, np.nan)
    by_clock[days.clock[days.begin[at] : days.begin[at + 1]]] = mine
    moved = by_clock[clock]
    moved[np.isnan(moved)] = np.nanmean(moved)
    return moved * (mine.sum() / moved.sum()) if energy and moved.sum() > 0.0 else moved


def _season(month: int) -> float:
    """Give use in a month against the year's mean, month 0 is January: SAP's appliances."""
    swing = np.cos(2 * np.pi * (month + 1 - constant("demand.season_month")) / len(MONTHS))
    return float(1.0 + constant("demand.season_amplitude") * swing)


def _number(day: date) -> int:
    return int(np.datetime64(day, "D").astype(np.int64))


def date_of(day: int) -> date:
    """Give the date of a day since 1970."""
    found: date = np.datetime64(int(day), "D").item()
    return found


def within(days: Days, first: date, last: date) -> slice:
    """Give where the half-hours of some days stand."""
    low, high = np.searchsorted(days.day, [_number(first), _number(last) + 1])
    return slice(int(days.begin[low]), int(days.begin[high]))


def _month(day: IntArray) -> IntArray:
    return day.astype("datetime64[D]").astype("datetime64[M]").astype(np.int64) % 12


def _date_of_month(day: IntArray) -> IntArray:
    dates = day.astype("datetime64[D]")
    return np.asarray((dates - dates.astype("datetime64[M]")).astype(np.int64) + 1)


def _leap(day: IntArray) -> NDArray[np.bool_]:
    return np.asarray((_month(day) == 1) & (_date_of_month(day) == 29))


def _day_of_year(day: IntArray) -> IntArray:
    """Give the day of a year without 29 February, 0 is 1 January."""
    starts = np.concatenate(([0], np.cumsum([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30])))
    return starts[_month(day)] + _date_of_month(day) - 1
