"""Put a weather file's rows on the year: every step once, what is missing said or filled."""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from pvkit.errors import Fault, InputError
from pvkit.sky.rows import Rows, listed, slots
from pvkit.sky.sun import Array, BoolArray
from pvkit.tables import constant


@dataclass(frozen=True, slots=True, eq=False)
class Gap:
    """Steps in a row for which the file lacks something.

    Parameters
    ----------
    first, last : steps of the file's year
    what : the quantities lacking, or "row"
    """

    first: int
    last: int
    what: str


def length_fault(rows: Rows) -> Fault | None:
    """Say so if the file holds far more or fewer rows than a year."""
    count, a_day = len(rows.starts), 24 * 60 // rows.step_minutes
    if constant("weather.shortest_share") * rows.steps <= count <= rows.steps + a_day:
        return None
    return Fault(
        rows.file,
        f"found {count:,} rows {rows.step_minutes} minutes apart",
        f"one year: {rows.steps:,} rows, or {rows.steps + a_day:,} with 29 February",
        "give one whole year, and only one",
    )


def duplicate_faults(rows: Rows) -> list[Fault]:
    """Report every time that stands more than once."""
    slot = slots(rows)
    again = np.flatnonzero(pd.Series(slot).duplicated().to_numpy())
    return listed(
        [
            Fault(
                rows.at(int(row)),
                "found this time a second time",
                "each time once, on one clock all year",
                "take one away; if the clock goes back in October, write the times in UTC",
            )
            for row in again
        ]
    )


def on_the_year(rows: Rows) -> dict[str, Array]:
    """Give each column over the steps of the file's year, missing where the file lacks it."""
    slot = slots(rows)
    columns = {}
    for name in rows.table:
        column = np.full(rows.steps, np.nan)
        column[slot] = rows.table[name].to_numpy()
        columns[str(name)] = column
    return columns


def gaps_of(rows: Rows, columns: dict[str, Array]) -> list[Gap]:
    """Find the runs of steps that lack something."""
    present = np.zeros(rows.steps, bool)
    present[slots(rows)] = True
    lacking = {name: np.isnan(column) for name, column in columns.items()}
    gone = np.any(list(lacking.values()), axis=0)
    edges = np.flatnonzero(np.diff(gone, prepend=False, append=False))
    gaps = []
    for first, end in edges.reshape(-1, 2).tolist():
        what = ", ".join(name for name in columns if lacking[name][first:end].any())
        gaps.append(Gap(first, end - 1, what if present[first:end].any() else "row"))
    return gaps


def gap_faults(rows: Rows, gaps: list[Gap], *, fill: bool) -> list[Fault]:
    """Report the gaps that may not be filled."""
    longest = constant("weather.short_gap_hours")
    faults = []
    for gap in gaps:
        short = _hours(rows, gap) <= longest
        if short and fill:
            continue
        fix = "put the missing values in"
        if short:
            fix += f", or set weather.fill_short_gaps = true (fills up to {longest:g} hours)"
        faults.append(
            Fault(
                f"{rows.file}, {_span(rows, gap)}",
                f"found no {gap.what} ({_long(rows, gap)})",
                "a value for every hour of the year",
                fix,
            )
        )
    return listed(faults)


def filled(columns: dict[str, Array], dark: BoolArray) -> dict[str, Array]:
    """Join the ends of every gap by a straight line; no light is put into the dark.

    Parameters
    ----------
    columns : over the steps of the year
    dark : True where the sun is down all through the step
    """
    made = {}
    for name, column in columns.items():
        gone = np.isnan(column)
        step = np.arange(len(column))
        joined = np.interp(step, step[~gone], column[~gone], period=len(column))
        made[name] = np.where(gone & dark, 0.0, joined) if name in ("ghi", "dni", "dhi") else joined
    return made


def fill_note(rows: Rows, gaps: list[Gap]) -> tuple[str, ...]:
    """Say which gaps were filled."""
    if not gaps:
        return ()
    times = "; ".join(f"{_span(rows, gap)} ({gap.what})" for gap in gaps)
    return (f"{rows.file}: short gaps filled by straight lines: {times}",)


def refuse(faults: list[Fault]) -> None:
    """Raise all faults at once, if there are any."""
    if faults:
        raise InputError(*faults)


def _hours(rows: Rows, gap: Gap) -> float:
    return (gap.last - gap.first + 1) * rows.step_minutes / 60.0


def _long(rows: Rows, gap: Gap) -> str:
    hours = _hours(rows, gap)
    return f"{hours:g} hour" if hours == 1.0 else f"{hours:g} hours"


def _span(rows: Rows, gap: Gap) -> str:
    first, last = _label(rows, gap.first), _label(rows, gap.last)
    return first if gap.first == gap.last else f"{first} to {last}"


def _label(rows: Rows, slot: int) -> str:
    """Write the time that the row of a step has or would have, in the year of its neighbours."""
    year = rows.starts[int(np.abs(slots(rows) - slot).argmin())].year
    plain = pd.Timestamp(f"{int(constant('calendar.year'))}-01-01")
    start = (plain + pd.Timedelta(minutes=slot * rows.step_minutes)).replace(year=year)
    return f"{start + pd.Timedelta(minutes=rows.label_minutes):%Y-%m-%d %H:%M}"
