"""A CSV file of what the system made in every half-hour, put on one clock."""

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pvkit.errors import Fault, InputError
from pvkit.site.visit_clock import told_clock
from pvkit.site.visit_csv import Row, csv_rows, listed, numbers_of
from pvkit.site.visit_file import Clock, HalfHourly
from pvkit.site.wording import shown
from pvkit.tables import constant

LOCAL_ZONE = "Europe/London"
STEPS_MINUTES = (5, 10, 15, 30, 60)
OWN_OFFSET = re.compile(r":\d\d.*(?:Z|[+-]\d\d:?\d\d)$")

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class HalfHours:
    """Energy of every step between a file's first row and its last.

    Parameters
    ----------
    starts : (steps,) when each begins, UTC
    kwh : (steps,) energy made, missing where the file lacks a row or a number
    file : for messages
    notes : what the reader should know
    """

    starts: pd.DatetimeIndex
    kwh: Array
    file: str
    notes: tuple[str, ...]

    @property
    def step_minutes(self) -> int:
        """Length of a step."""
        return int((self.starts[1] - self.starts[0]).total_seconds() // 60)


def half_hours_csv(path: Path, how: HalfHourly) -> HalfHours:
    """Read a file of half-hours (or of hours, quarters, ten or five minutes).

    On the local clock 01:00 and 01:30 come twice on the day the clocks go back, the first time
    still in summer time, and not at all on the day they go forward.

    Parameters
    ----------
    path : a CSV file with the columns timestamp and kWh
    how : its clock, and which end of a step a row is labelled by

    Raises
    ------
    InputError
        With what is wrong with its times, their order, or its numbers.
    """
    rows = csv_rows(path, "timestamp", "kWh")
    starts, notes = _utc(path, rows, how.clock)
    step = _step(path, starts)
    own_use = constant("visit.own_use_kw") * step / 60.0
    values, faults = numbers_of(rows, "kWh", -own_use)
    order = _order_faults(rows, starts, step)
    if faults or order:
        raise InputError(*faults, *order)
    if how.label == "end":
        starts = starts - pd.Timedelta(minutes=step)
    grid = pd.date_range(starts[0], starts[-1], freq=f"{step}min")
    kwh = np.asarray(pd.Series(values, index=starts).reindex(grid), np.float64)
    return HalfHours(grid, kwh, path.name, notes)


def _utc(
    path: Path, rows: list[Row], clock: Clock | None
) -> tuple[pd.DatetimeIndex, tuple[str, ...]]:
    text = pd.Series([row.time for row in rows])
    times = pd.to_datetime(text, format="ISO8601", errors="coerce", utc=True)
    faults = [
        Fault(rows[row].where, f"found timestamp {shown(rows[row].time)}",
              "year-month-day and time, like 2026-04-12 13:30",
              "write the times that way: day and month cannot be told apart otherwise")
        for row in np.flatnonzero(times.isna())
    ]  # fmt: skip
    own = text.map(lambda time: bool(OWN_OFFSET.search(time))).to_numpy()
    if own.any() and not own.all():
        odd = rows[int(np.flatnonzero(own != own[0])[0])]
        faults.append(Fault(odd.where, f"found {shown(odd.time)} among times of the other kind",
                            "all times with their offset from UTC, or none",
                            "export the file again on one clock"))  # fmt: skip
    if faults:
        raise InputError(*listed(faults))
    index = pd.DatetimeIndex(times)
    if own.any():
        return index, ()
    known, note = (clock, "") if clock else told_clock(index.tz_localize(None), path.name)
    notes = (note,) if note else ()
    return (index if known == "utc" else _from_local(rows, index.tz_localize(None))), notes


def _from_local(rows: list[Row], times: pd.DatetimeIndex) -> pd.DatetimeIndex:
    """Turn the clock on the wall into UTC."""
    first_time_round = pd.Series(times).groupby(times).cumcount().to_numpy() == 0
    zone: Any = LOCAL_ZONE
    local = times.tz_localize(zone, ambiguous=first_time_round, nonexistent="NaT")
    skipped = np.flatnonzero(local.isna())
    if skipped.size:
        row = rows[int(skipped[0])]
        raise InputError(
            Fault(row.where, f"found {row.time}, which the clock on the wall skipped that day",
                  "no 01:00 or 01:30 on the day the clocks go forward",
                  "the file is on UTC: say clock = 'utc'")
        )  # fmt: skip
    return local.tz_convert("UTC")


def _step(path: Path, starts: pd.DatetimeIndex) -> int:
    apart = np.diff(starts.to_numpy()).astype("timedelta64[m]").astype(int)
    usual = int(np.median(apart)) if apart.size else 0
    if usual in STEPS_MINUTES:
        return usual
    found = f"found rows {usual} minutes apart" if apart.size else "found a single row"
    fix = "export the half-hours; for months use the columns month, kWh"
    raise InputError(Fault(path.name, found, "rows 30 minutes apart (or 5, 10, 15, 60)", fix))


def _order_faults(rows: list[Row], starts: pd.DatetimeIndex, step: int) -> list[Fault]:
    apart = np.diff(starts.to_numpy()).astype("timedelta64[m]").astype(int)
    faults = []
    for place in np.flatnonzero((apart <= 0) | (apart % step != 0)):
        row, before = rows[int(place) + 1], rows[int(place)]
        if apart[place] == 0:
            found, fix = f"found {row.time} a second time", "take one of the two away"
        elif apart[place] < 0:
            found, fix = f"found {row.time} after {before.time}", "sort the rows by time"
        else:
            found = f"found {row.time} after {before.time}, not {step} minutes on"
            fix = "put every row on the same grid"
        faults.append(Fault(row.where, found, "times in their order, each once", fix))
    return listed(faults)
