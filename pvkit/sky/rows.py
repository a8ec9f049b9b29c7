"""A weather file's rows, as read and before they are believed."""

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from pvkit.errors import Fault
from pvkit.sky.sun import BoolArray, IntArray

LIGHT = ("ghi", "dni", "dhi")
AIR = ("temp_air", "wind_speed")
MINUTES_A_DAY = 24 * 60
MONTH_STARTS = np.concatenate([[0], np.cumsum([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30])])
# No more faults of one kind than a person wants to read.
MOST_LISTED = 10


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """The rows of a weather file in its own order and on its own clock.

    Parameters
    ----------
    file : name, for messages
    table : a column for each quantity the file has; blank where it says nothing
    starts : when each row's half-hour or hour begins, by the file's clock
    shown : the time of each row as the file writes it
    step_minutes : 60 or 30
    label_minutes : from a row's start to its label
    utc_offset_hours : the file's clock against UTC
    station : latitude and longitude, if the file says
    clock_advice : what to do if the clock turns out to be wrong
    faults : cells that hold words where numbers should stand (counted as 0 until refused)
    notes : what the user should know
    """

    file: str
    table: pd.DataFrame
    starts: pd.DatetimeIndex
    shown: list[str]
    step_minutes: int
    label_minutes: int
    utc_offset_hours: float
    station: tuple[float, float] | None
    clock_advice: str
    faults: tuple[Fault, ...]
    notes: tuple[str, ...]

    @property
    def steps(self) -> int:
        """Steps in the reference year."""
        return 365 * MINUTES_A_DAY // self.step_minutes

    @property
    def halves(self) -> int:
        """Half-hours in a step."""
        return self.step_minutes // 30

    @property
    def shift(self) -> int:
        """Steps by which the file's clock is ahead of UTC."""
        return round(self.utc_offset_hours * 60.0 / self.step_minutes)

    def at(self, row: int) -> str:
        """Say where a row stands: file and time."""
        return f"{self.file}, {self.shown[row]}"


def leap_days(rows: Rows) -> BoolArray:
    """Mark the rows of 29 February."""
    return np.asarray((rows.starts.month == 2) & (rows.starts.day == 29))


def slots(rows: Rows) -> IntArray:
    """Give each row's step in a year of 365 days, counted on the file's clock."""
    start = rows.starts
    day = MONTH_STARTS[np.asarray(start.month) - 1] + np.asarray(start.day) - 1
    minute = day * MINUTES_A_DAY + np.asarray(start.hour) * 60 + np.asarray(start.minute)
    return np.asarray(minute // rows.step_minutes, np.int64)


def without_leap_day(rows: Rows) -> Rows:
    """Leave out 29 February, which the reference year does not have, and say so."""
    leap = leap_days(rows)
    if not leap.any():
        return rows
    kept = np.flatnonzero(~leap)
    return replace(
        rows,
        table=rows.table.iloc[kept].reset_index(drop=True),
        starts=rows.starts[kept],
        shown=[rows.shown[row] for row in kept],
        notes=(*rows.notes, f"{rows.file}: 29 February left out; the estimate's year has 365 days"),
    )


def listed(faults: list[Fault]) -> list[Fault]:
    """Keep the first ten faults of a kind and count the others."""
    if len(faults) <= MOST_LISTED:
        return faults
    more = len(faults) - MOST_LISTED
    last = replace(faults[MOST_LISTED], found=f"and {more:,} more like these from here on")
    return [*faults[:MOST_LISTED], last]
