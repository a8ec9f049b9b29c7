"""Which clock a file's times follow, and the UTC half-hour that each of them begins.

A plain year has 17,520 rows on either clock, so counting does not tell. The days on which the
clocks change do: a file by the clock on the wall has no 01:30 on the last Sunday of March and two
on the last Sunday of October; a file in UTC has one each time.
"""

from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np
import pandas as pd

from pvkit.home.calendar import LOCAL_ZONE, BoolArray, IntArray

Clock = Literal["local", "utc"]
DAY = 48
SECONDS = 30 * 60
# The half-hour labelled 01:30 is skipped or repeated whichever end of it the label marks.
TOLD_BY = 3
HOUR = 2


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the clock-change days of a file show, as dates.

    Parameters
    ----------
    local, utc : days that show one clock or the other
    likely_utc : days that look like UTC, but for a half-hour left out or put in for form's sake
    """

    local: tuple[str, ...]
    utc: tuple[str, ...]
    likely_utc: tuple[str, ...]


@cache
def clock_changes(first_day: int, last_day: int) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Find the days, counted from 1970, on which the clocks go forward and back.

    Examples
    --------
    >>> day = int(np.datetime64("2025-01-01").astype("int64"))
    >>> [np.datetime64(days[0], "D").item().isoformat() for days in clock_changes(day, day + 364)]
    ['2025-03-30', '2025-10-26']
    """
    length = np.diff(utc_midnights(np.arange(first_day, last_day + 2)))
    forward, back = (np.flatnonzero(length == DAY + more) + first_day for more in (-HOUR, HOUR))
    return tuple(int(day) for day in forward), tuple(int(day) for day in back)


def clock_evidence(label: IntArray, read: BoolArray, *, can_repeat: bool) -> Evidence:
    """Look at the clock-change days of a file.

    Parameters
    ----------
    label : (rows,) half-hours since 1970 as labelled, by the file's own clock
    read : (rows,) whether the row holds a reading other than zero
    can_repeat : whether the file has room for a half-hour that comes twice
    """
    seen = np.unique(label)
    forward, back = clock_changes(int(seen[0] // DAY), int(seen[-1] // DAY))
    local: list[int] = []
    utc: list[int] = []
    likely: list[int] = []
    for day in forward:
        at = day * DAY + TOLD_BY
        beside = [day * DAY + 1, day * DAY + TOLD_BY + HOUR]
        if not np.isin(beside, seen).all():
            continue  # nothing was read that night
        if read[label == at].any():
            utc.append(day)
        elif at in seen and not read[np.isin(label, beside)].any():
            likely.append(day)  # a register at rest all night, like that of the solar
        else:
            local.append(day)
    for day in back:
        count = int((label == day * DAY + TOLD_BY).sum())
        if count > 1:
            local.append(day)
        elif count == 1 and can_repeat:
            likely.append(day)
    return Evidence(_dates(local), _dates(utc), _dates(likely))


def number_evidence(day: IntArray, number: IntArray, read: BoolArray) -> Evidence:
    """Look at the clock-change days of a file that numbers the half-hours of each day.

    Parameters
    ----------
    day : (rows,) days since 1970 by the file's own clock
    number : (rows,) number of the half-hour in its day, from 1
    read : (rows,) whether the row holds a reading other than zero
    """
    forward, back = clock_changes(int(day.min()), int(day.max()))
    last = {here: int(number[(day == here) & read].max(initial=0)) for here in (*forward, *back)}
    return Evidence(
        local=_dates(
            [here for here in forward if last[here] == DAY - HOUR]
            + [here for here in back if last[here] == DAY + HOUR]
        ),
        utc=_dates([here for here in forward if last[here] == DAY]),
        likely_utc=_dates([here for here in back if last[here] == DAY]),
    )


def _dates(days: list[int]) -> tuple[str, ...]:
    return tuple(str(np.datetime64(day, "D")) for day in days)


def utc_of_local(label: IntArray) -> tuple[IntArray, BoolArray]:
    """Turn half-hours by the clock on the wall into UTC.

    Of two rows with the same time in the repeated hour the first is taken as summer time.

    Parameters
    ----------
    label : (rows,) half-hours since 1970 as labelled, in the order of time

    Returns
    -------
    (rows,) half-hours since 1970 in UTC, and whether the clock never showed that time

    Examples
    --------
    >>> october = int(np.datetime64("2025-10-26", "D").astype("int64")) * DAY
    >>> utc, _ = utc_of_local(october + np.array([1, 2, 3, 2, 3, 4]))
    >>> (utc - october).tolist()
    [-1, 0, 1, 2, 3, 4]
    """
    first_time = ~pd.Series(label).duplicated().to_numpy()
    local = _moments(label).tz_localize(
        LOCAL_ZONE, ambiguous=first_time, nonexistent="shift_forward"
    )
    utc = _half_hours(local.tz_convert("UTC").tz_localize(None))
    return utc, _local(utc) != label


def local_parts(utc: IntArray) -> tuple[IntArray, IntArray]:
    """Give the local day since 1970 and the half-hour of its clock, 0 to 47, of UTC half-hours."""
    local = _local(utc)
    return local // DAY, local % DAY


def utc_midnights(day: IntArray) -> IntArray:
    """Give the UTC half-hour at which each local day since 1970 begins."""
    return _half_hours(
        _moments(day * DAY).tz_localize(LOCAL_ZONE).tz_convert("UTC").tz_localize(None)
    )


def said(utc: int) -> str:
    """Say a UTC half-hour by the clock on the wall, with which clock that is.

    Examples
    --------
    >>> [said(int(np.datetime64(f"2025-10-26T0{h}:30", "m").astype("int64")) // 30)
    ...  for h in (0, 1)]
    ['2025-10-26 01:30 BST', '2025-10-26 01:30 GMT']
    """
    moment = pd.Timestamp(utc * SECONDS, unit="s", tz="UTC").tz_convert(LOCAL_ZONE)
    return f"{moment:%Y-%m-%d %H:%M %Z}"


def _local(utc: IntArray) -> IntArray:
    return _half_hours(_moments(utc).tz_localize("UTC").tz_convert(LOCAL_ZONE).tz_localize(None))


def _moments(half_hours: IntArray) -> pd.DatetimeIndex:
    return pd.DatetimeIndex((half_hours * SECONDS).astype("datetime64[s]"))


def _half_hours(moments: pd.DatetimeIndex) -> IntArray:
    return np.asarray(moments, "datetime64[s]").astype(np.int64) // SECONDS
