"""What is wrong with a register's half-hours: missing, read twice, below zero; said with dates."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pvkit.errors import Fault
from pvkit.home.calendar import IntArray
from pvkit.home.meter_clock import said
from pvkit.home.meter_readings import Readings
from pvkit.tables import constant

Array = NDArray[np.float64]

MOST_SPANS = 12
FILL_RULES = {
    "missing": "takes the reading of the same half-hour on the nearest day of its kind (weekday "
    "or weekend)",
    "twice": "keeps the later of its rows",
    "below zero": "is treated as missing",
}


@dataclass(frozen=True, slots=True, eq=False)
class Register:
    """One register over a run of half-hours, and what is wrong with it.

    Parameters
    ----------
    file, role : where it is from and what it counts
    first : UTC half-hour since 1970 at which it begins
    kwh : (half-hours,) NaN where there is no sound reading
    missing, twice, below_zero : UTC half-hours since 1970
    """

    file: str
    role: str
    first: int
    kwh: Array
    missing: IntArray
    twice: IntArray
    below_zero: IntArray


def register_of(
    readings: Readings, role: str, first: int, end: int, *, least: float = 0.0
) -> Register:
    """Lay a register's readings over the half-hours from ``first`` up to ``end``.

    Parameters
    ----------
    readings : the file as read
    role : which of its registers
    first, end : UTC half-hours since 1970, the end left out
    least : below this a reading is no reading
    """
    inside = (readings.start >= first) & (readings.start < end)
    start, value = readings.start[inside], readings.numbers[role][inside]
    start, value = start[~np.isnan(value)], value[~np.isnan(value)]
    kwh = np.full(end - first, np.nan)
    kwh[start - first] = value  # of two the later row stays
    below = np.flatnonzero(kwh < least)
    missing = np.flatnonzero(np.isnan(kwh))
    kwh[below] = np.nan
    again = np.unique(start[pd.Series(start).duplicated().to_numpy()])
    return Register(readings.file, role, first, kwh, missing + first, again, below + first)


def register_faults(registers: Sequence[Register], key: str) -> list[Fault]:
    """Make the faults of all registers, each with its dates and what filling would do.

    Parameters
    ----------
    registers : registers of one home
    key : dotted key that asks for filling; without one filling is not offered
    """
    return [
        Fault(
            register.file,
            f"found {what} {spans(where)}",
            "one reading of zero or more for each half-hour",
            f"mend the file, or set {key} = true: each then {FILL_RULES[kind]}"
            if key
            else "mend the file, or export it again",
        )
        for register in registers
        for kind, what, where in _kinds(register)
        if len(where)
    ]


def fill_notes(registers: Sequence[Register]) -> tuple[str, ...]:
    """Say what was filled and how."""
    return tuple(
        f"{register.file}: {what} {spans(where)}; each {FILL_RULES[kind]}."
        for register in registers
        for kind, what, where in _kinds(register)
        if len(where)
    )


def _kinds(register: Register) -> tuple[tuple[str, str, IntArray], ...]:
    return (
        ("missing", f"no {register.role} reading", register.missing),
        ("twice", f"more than one {register.role} reading", register.twice),
        ("below zero", f"{register.role} readings below zero", register.below_zero),
    )


def zero_notes(register: Register) -> tuple[str, ...]:
    """Point out long runs of exact zeros, which are more often a gap than an idle home."""
    zeros = np.flatnonzero(register.kwh == 0.0) + register.first
    if not len(zeros):
        return ()
    runs = np.split(zeros, np.flatnonzero(np.diff(zeros) > 1) + 1)
    long = [run for run in runs if len(run) >= constant("meter.zero_half_hours")]
    if not long:
        return ()
    return (
        f"{register.file}: {register.role} {spans(np.concatenate(long))} is exactly zero; a home "
        "with a fridge seldom uses nothing for so long. If these are gaps, empty the cells.",
    )


def spans(half_hours: IntArray) -> str:
    """Say half-hours as spans of local time.

    Examples
    --------
    >>> day = int(np.datetime64("2025-07-01T00:00", "m").astype("int64")) // 30
    >>> spans(day + np.array([0, 1, 2, 10]))
    'for 4 half-hours: 2025-07-01 01:00 BST to 2025-07-01 02:00 BST (3); 2025-07-01 06:00 BST'
    """
    runs = np.split(half_hours, np.flatnonzero(np.diff(half_hours) > 1) + 1)
    texts = [_span(run) for run in runs[:MOST_SPANS]]
    if len(runs) > MOST_SPANS:
        texts.append(f"and {len(runs) - MOST_SPANS:,} more times")
    noun = "half-hour" if len(half_hours) == 1 else "half-hours"
    return f"for {len(half_hours):,} {noun}: {'; '.join(texts)}"


def _span(run: IntArray) -> str:
    if len(run) == 1:
        return said(int(run[0]))
    return f"{said(int(run[0]))} to {said(int(run[-1]))} ({len(run):,})"
