"""When each reading of a file begins, in half-hours of UTC."""

from dataclasses import replace

import numpy as np

from pvkit.errors import Fault, InputError
from pvkit.home.calendar import BoolArray, IntArray
from pvkit.home.meter_asked import Asked
from pvkit.home.meter_cells import STEP, Cells
from pvkit.home.meter_clock import (
    DAY,
    Evidence,
    clock_changes,
    clock_evidence,
    number_evidence,
    utc_midnights,
    utc_of_local,
)
from pvkit.home.meter_columns import Layout
from pvkit.home.meter_text import Sheet
from pvkit.home.meter_times import MINUTES_A_DAY, MOST_LISTED, more

REPEATED = (2, 3)  # 01:00 and 01:30 on the day the clocks go back


def starts_of(
    sheet: Sheet, layout: Layout, cells: Cells, asked: Asked
) -> tuple[IntArray, Cells, tuple[str, ...]]:
    """Put every reading on UTC.

    Parameters
    ----------
    sheet, layout, cells : the file, what stands where, its readings
    asked : which clock and which end of the half-hour, if the site file says

    Returns
    -------
    (cells,) UTC half-hours since 1970; the cells, those left out that the clock skipped; and what
    was found out, in plain sentences

    Raises
    ------
    InputError
        If the rows are not half-hours, or the file's clock cannot be told.
    """
    if len(cells.number):
        return _by_number(sheet, cells, asked)
    if (cells.minute < 0).any():
        row = int(cells.row[cells.minute < 0][0])
        raise InputError(
            Fault(sheet.at(row), "found a date without a time of day",
                  "a time from 00:00 to 24:00 in every row", "mend or take out this line")
        )  # fmt: skip
    cells = _in_order(cells, layout)
    minutes = cells.day * MINUTES_A_DAY + cells.minute
    _refuse_other_steps(sheet, cells, minutes)
    label = minutes // STEP
    end, said = _label(sheet, layout, label, asked)
    if not np.isnan(cells.offset).all():
        return _by_offset(sheet, cells, label - end, asked, said)
    if layout.slots:  # a column is an hour of the clock, whichever end it is named by
        label, end = label - end, 0
    evidence = clock_evidence(label, cells.read(), can_repeat=not layout.slots)
    clock, how = _clock(sheet, evidence, asked)
    if clock == "utc":
        return label - end, cells, (*said, how)
    if layout.slots:
        label, cells, note = _shared(sheet, label, cells)
        said += note
    start, kept = _local_starts(sheet, label, cells, end)
    return start, cells.only(kept), (*said, how)


def _in_order(cells: Cells, layout: Layout) -> Cells:
    """Turn a file that begins with the newest, and read 00:00 after 23:30 as the day's end."""
    minutes = cells.day * MINUTES_A_DAY + cells.minute
    if (np.diff(minutes) < 0).sum() > len(minutes) / 2:
        cells = cells.at(np.arange(len(minutes))[::-1])
    if layout.timed is None:
        return cells
    before = np.roll(cells.minute, 1)
    midnight = (cells.minute == 0) & (before == MINUTES_A_DAY - STEP)
    midnight &= (np.roll(cells.day, 1) == cells.day) & (np.arange(len(before)) > 0)
    return replace(cells, minute=np.where(midnight, MINUTES_A_DAY, cells.minute))


def _refuse_other_steps(sheet: Sheet, cells: Cells, minutes: IntArray) -> None:
    apart = np.diff(np.unique(minutes))
    usual = int(np.bincount(apart[apart <= MINUTES_A_DAY]).argmax()) if len(apart) else 0
    if usual != STEP:
        found = f"found rows {usual} minutes apart" if usual else "found a single time"
        raise InputError(
            Fault(sheet.file, found, f"rows {STEP} minutes apart", "export half-hourly readings")
        )
    off = np.flatnonzero(minutes % STEP)
    faults = [
        Fault(
            sheet.at(int(cells.row[cell])),
            f"found a time of {minutes[cell] % MINUTES_A_DAY // 60:02d}:{minutes[cell] % 60:02d}",
            "times on the hour or half-hour",
            "mend or take out this line",
        )
        for cell in off[:MOST_LISTED].tolist()
    ]
    if faults:
        raise InputError(*faults, *more(sheet.file, len(off) - MOST_LISTED))


def _label(
    sheet: Sheet, layout: Layout, label: IntArray, asked: Asked
) -> tuple[int, tuple[str, ...]]:
    """Find whether times mark the start (0) or the end (1) of their half-hour."""
    if asked.label is not None:
        return int(asked.label == "end"), ()
    heads = sheet.names[layout.dated if layout.timed is None else layout.timed].lower()
    first, last = int(label.min()) % DAY, int(label.max()) % DAY
    for word, end in (("start", 0), ("from", 0), ("begin", 0), ("end", 1)):
        if word in heads:
            return end, ()
    if first == 1 and last == 0:
        why, end = "the file runs from 00:30 to 00:00", 1
    elif first == 0 and last == DAY - 1:
        why, end = "the file runs from 00:00 to 23:30", 0
    else:
        why, end = "nothing in the file says otherwise", 0
    which = ("start", "end")[end]
    said = f"a time is taken to mark the {which} of its half-hour: {why}"
    return end, (f"{sheet.file}: {said} ({asked.key}_label sets it).",)


def _clock(sheet: Sheet, evidence: Evidence, asked: Asked) -> tuple[str, str]:
    """Decide which clock the file runs by, and say how that is known."""
    key = f"{asked.key}_clock"
    if asked.clock is not None:
        named = {"local": "the clock on the wall", "utc": "UTC"}[asked.clock]
        return asked.clock, f"{sheet.file}: times follow {named}, as {key} says."
    if evidence.local and evidence.utc:
        raise InputError(
            Fault(
                sheet.file,
                f"found a file that follows the clock on the wall on {evidence.local[0]} and UTC "
                f"on {evidence.utc[0]}",
                "one clock through the whole file",
                f"set {key} to 'local' or 'utc', or export again",
            )
        )
    if evidence.local:
        days = " and ".join(sorted(evidence.local)[:4])
        return "local", f"{sheet.file}: times follow the clock on the wall, to go by {days}."
    if evidence.utc or evidence.likely_utc:
        days = " and ".join(sorted(evidence.utc or evidence.likely_utc)[:4])
        return "utc", f"{sheet.file}: times follow UTC, to go by {days} ({key} sets it)."
    return "local", (
        f"{sheet.file}: times are taken to follow the clock on the wall; no clock change in the "
        f"file shows it ({key} sets it)."
    )


def _by_offset(
    sheet: Sheet, cells: Cells, start: IntArray, asked: Asked, said: tuple[str, ...]
) -> tuple[IntArray, Cells, tuple[str, ...]]:
    """Take each time with its own offset from UTC."""
    bare = np.flatnonzero(np.isnan(cells.offset))
    if len(bare) or asked.clock is not None:
        row = int(cells.row[bare[0]]) if len(bare) else int(cells.row[0])
        found = "without an offset from UTC" if len(bare) else "with its own offset from UTC"
        raise InputError(
            Fault(sheet.at(row), f"found a time {found}",
                  f"an offset in every time, or in none and {asked.key}_clock",
                  "use one of the two")
        )  # fmt: skip
    utc = start - (cells.offset // STEP).astype(np.int64)
    return utc, cells, (*said, f"{sheet.file}: each time carries its own offset from UTC.")


def _shared(sheet: Sheet, label: IntArray, cells: Cells) -> tuple[IntArray, Cells, tuple[str, ...]]:
    """Share the one value of a repeated half-hour where the file has no room for two."""
    _, back = clock_changes(int(label.min() // DAY), int(label.max() // DAY))
    twice = [
        at
        for day in back
        for at in (day * DAY + slot for slot in REPEATED)
        if (label == at).sum() == 1
    ]
    if not twice:
        return label, cells, ()
    again = np.flatnonzero(np.isin(label, twice))
    values = {role: column.copy() for role, column in cells.values.items()}
    for column in values.values():
        column[again] /= 2.0
    doubled = replace(cells, values=values).at(np.concatenate([np.arange(len(label)), again]))
    days = ", ".join(sorted({str(np.datetime64(at // DAY, "D")) for at in twice}))
    note = f"{sheet.file}: on {days} one value stands for the hour that comes twice; each has half."
    return np.concatenate([label, label[again]]), doubled, (note,)


def _local_starts(
    sheet: Sheet, label: IntArray, cells: Cells, end: int
) -> tuple[IntArray, BoolArray]:
    """Turn the wall clock into UTC, leaving out empty cells of the hour that it skipped."""
    utc, skipped = utc_of_local(label)
    # The half-hour that ends as the clocks go forward may be labelled by the old time.
    skipped &= ~((label % DAY == REPEATED[0]) & bool(end))
    wrong = np.flatnonzero(skipped & cells.read())
    faults = [
        Fault(
            sheet.at(int(cells.row[cell])),
            f"found a reading at {np.datetime64(int(label[cell]) // DAY, 'D')} "
            f"{label[cell] % DAY // 2:02d}:{label[cell] % 2 * STEP:02d}, which the clock skipped",
            "no reading in the hour when the clocks go forward, or times in UTC",
            "set the clock to 'utc' if the file's times are in UTC all year",
        )
        for cell in wrong[:MOST_LISTED].tolist()
    ]
    if faults:
        raise InputError(*faults)
    return (utc - end)[~skipped], ~skipped


def _by_number(sheet: Sheet, cells: Cells, asked: Asked) -> tuple[IntArray, Cells, tuple[str, ...]]:
    """Count the half-hours of each day from its midnight, 46 or 50 when the clocks change."""
    evidence = number_evidence(cells.day, cells.number, cells.read())
    clock, how = _clock(sheet, evidence, asked)
    midnight = utc_midnights(cells.day) if clock == "local" else cells.day * DAY
    length = utc_midnights(cells.day + 1) - midnight if clock == "local" else DAY
    beyond = (cells.number > length) | (cells.number < 1)
    wrong = np.flatnonzero(beyond & cells.read())
    if len(wrong):
        cell = int(wrong[0])
        day = np.datetime64(int(cells.day[cell]), "D")
        raise InputError(
            Fault(
                sheet.at(int(cells.row[cell])),
                f"found half-hour {cells.number[cell]} on {day}",
                f"1 to {np.broadcast_to(length, len(beyond))[cell]} on that day",
                f"set {asked.key}_clock if the day is counted in UTC, or mend this line",
            )
        )
    return (midnight + cells.number - 1)[~beyond], cells.only(~beyond), (how,)
