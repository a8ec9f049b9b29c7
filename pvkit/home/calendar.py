"""The local clock of every half-hour of the reference year.

The year runs in UTC; people, tariffs and boiler timers run by the clock on the wall. This module
is the only place where the two meet.
"""

from dataclasses import dataclass, fields
from functools import cache

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pvkit.tables import constant

IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

LOCAL_ZONE = "Europe/London"


@dataclass(frozen=True, slots=True, eq=False)
class Calendar:
    """What the clock and calendar on the wall say at the start of every half-hour.

    Parameters
    ----------
    half_hour : (n,) half-hour of the local day, 0 starts 00:00 and 47 starts 23:30
    month : (n,) local month, 0 is January
    weekend : (n,) True on a local Saturday or Sunday
    day : (n,) local day of the year, 0 is 1 January
    weekday : (n,) local day of the week, 0 is Monday
    """

    half_hour: IntArray
    month: IntArray
    weekend: BoolArray
    day: IntArray
    weekday: IntArray


@cache
def local_calendar() -> Calendar:
    """Read the local clock off every UTC half-hour of the reference year.

    Two days differ from the rest: when the clocks go forward the local day has 46 half-hours,
    01:00 and 01:30 being skipped; when they go back it has 50, the two coming twice.

    Returns
    -------
    The calendar of the reference year, worked out once; its arrays cannot be written to.

    Examples
    --------
    >>> noon_in_july_utc = (31 + 28 + 31 + 30 + 31 + 30) * 48 + 24
    >>> int(local_calendar().half_hour[noon_in_july_utc])  # 13:00 by the clock on the wall
    26
    """
    year = int(constant("calendar.year"))
    utc = pd.date_range(f"{year}-01-01", f"{year + 1}-01-01", freq="30min", tz="UTC")[:-1]
    local = utc.tz_convert(LOCAL_ZONE)
    calendar = Calendar(
        half_hour=np.asarray(local.hour * 2 + local.minute // 30, dtype=np.int64),
        month=np.asarray(local.month - 1, dtype=np.int64),
        weekend=np.asarray(local.day_of_week >= 5, dtype=np.bool_),
        day=np.asarray(local.day_of_year - 1, dtype=np.int64),
        weekday=np.asarray(local.day_of_week, dtype=np.int64),
    )
    for field in fields(Calendar):
        getattr(calendar, field.name).setflags(write=False)
    return calendar


def between(start_h: float, end_h: float) -> BoolArray:
    """Tell which half-hours lie between two times of the local clock, past midnight if need be.

    Parameters
    ----------
    start_h, end_h : hours after midnight; the same twice is the whole day

    Returns
    -------
    (n,) True from the start on and before the end

    Examples
    --------
    >>> between(23.5, 0.5)[[0, 1, 2, 47]]
    array([ True, False, False,  True])
    """
    clock_h = local_calendar().half_hour / 2.0
    if start_h < end_h:
        return np.asarray((clock_h >= start_h) & (clock_h < end_h))
    return np.asarray((clock_h >= start_h) | (clock_h < end_h))


def hours(clock: str) -> float:
    """Read a clock time as hours after midnight.

    Examples
    --------
    >>> hours("05:30")
    5.5
    """
    return int(clock[:2]) + int(clock[3:]) / 60.0
