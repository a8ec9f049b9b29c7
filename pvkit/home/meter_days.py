"""Metered half-hours cut into whole days of the clock on the wall, small gaps filled if asked."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.home.calendar import BoolArray, IntArray
from pvkit.home.meter_clock import DAY, local_parts, utc_midnights
from pvkit.tables import constant

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Days:
    """Whole local days, one after another.

    Parameters
    ----------
    day : (days,) local days since 1970
    begin : (days + 1,) where each begins in ``kwh``, and the end
    clock : (half-hours,) half-hour of the local clock, 0 to 47
    kwh : (half-hours,) NaN where there is no reading
    """

    day: IntArray
    begin: IntArray
    clock: IntArray
    kwh: Array

    def of(self, position: int) -> Array:
        """Give the half-hours of one day: 48, or 46 or 50 when the clocks change."""
        return self.kwh[self.begin[position] : self.begin[position + 1]]

    @property
    def length(self) -> IntArray:
        """Half-hours in each day."""
        return np.diff(self.begin)

    @property
    def whole(self) -> BoolArray:
        """Whether each day has all its readings."""
        gaps = np.add.reduceat(np.isnan(self.kwh), self.begin[:-1])
        return np.asarray(gaps == 0)


def weekday(day: IntArray) -> IntArray:
    """Day of the week of days since 1970, Monday 0."""
    return (day + 3) % 7  # 1 January 1970 was a Thursday


def whole_days(first: int, last: int) -> tuple[int, int]:
    """Give the first and the one past the last whole local day within two UTC half-hours.

    Parameters
    ----------
    first, last : UTC half-hours since 1970 of the first and the last reading

    Examples
    --------
    >>> whole_days(10, 47 + 48)  # half-hours of 1970, an hour ahead of UTC all year round
    (1, 2)
    """
    days, clock = local_parts(np.array([first, last + 1]))
    return int(days[0]) + int(clock[0] > 0), int(days[1])


def days_of(first_day: int, end_day: int, kwh: Array) -> Days:
    """Cut half-hours into days.

    Parameters
    ----------
    first_day, end_day : local days since 1970, the end left out
    kwh : their half-hours
    """
    day = np.arange(first_day, end_day)
    midnights = utc_midnights(np.arange(first_day, end_day + 1))
    _, clock = local_parts(np.arange(midnights[0], midnights[-1]))
    return Days(day, midnights - midnights[0], clock, kwh)


def filled(days: Days) -> Days:
    """Fill gaps from the same half-hour of the nearest day of the same kind.

    Of two days equally near the earlier is taken. A day that lacks more than a set share of its
    readings is left as it is: nothing is made up for it here.
    """
    kwh = days.kwh.copy()
    count = len(days.day)
    where = np.repeat(np.arange(count), days.length)
    by_clock = np.full((count, DAY), np.nan)
    by_clock[where, days.clock] = days.kwh
    weekend = weekday(days.day) >= 5
    lacking = np.add.reduceat(np.isnan(kwh), days.begin[:-1])
    worth_it = lacking <= constant("meter.most_filled_share") * days.length
    for gap in np.flatnonzero(np.isnan(kwh) & worth_it[where]):
        here, slot = where[gap], days.clock[gap]
        known = np.flatnonzero((weekend == weekend[here]) & ~np.isnan(by_clock[:, slot]))
        if len(known):
            kwh[gap] = by_clock[known[np.abs(known - here).argmin()], slot]
    return Days(days.day, days.begin, days.clock, kwh)
