"""The readings of a file one by one, whether it has a row for each half-hour or for each day."""

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pvkit.errors import Fault
from pvkit.home.calendar import BoolArray, IntArray
from pvkit.home.meter_asked import Asked
from pvkit.home.meter_columns import NOTHING, Layout
from pvkit.home.meter_text import Sheet
from pvkit.home.meter_times import (
    MINUTES_A_DAY,
    MOST_LISTED,
    clock_minutes,
    more,
    stamps_of,
)

Array = NDArray[np.float64]
STEP = 30


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """Readings with the day and time that the file gives them, blank ones left out.

    Parameters
    ----------
    row : (cells,) row of the sheet
    day : (cells,) days since 1970 by the file's own clock
    minute : (cells,) minute of the day as labelled; empty where half-hours are numbered
    number : (cells,) number of the half-hour in its day, from 1; empty where times are given
    offset : (cells,) minutes ahead of UTC, NaN where none is written
    values : (cells,) for each register, as the file has them; NaN where blank
    said : what was found out about the dates
    faults : cells that hold words where numbers should stand
    """

    row: IntArray
    day: IntArray
    minute: IntArray
    number: IntArray
    offset: Array
    values: dict[str, Array]
    said: tuple[str, ...]
    faults: tuple[Fault, ...]

    def only(self, keep: BoolArray) -> "Cells":
        """Give some of the cells."""
        return self.at(np.flatnonzero(keep))

    def at(self, which: IntArray) -> "Cells":
        """Give the cells at some positions, in their order."""
        return replace(
            self,
            row=self.row[which],
            day=self.day[which],
            minute=self.minute[which] if len(self.minute) else self.minute,
            number=self.number[which] if len(self.number) else self.number,
            offset=self.offset[which],
            values={role: column[which] for role, column in self.values.items()},
        )

    def read(self) -> BoolArray:
        """Mark the cells that hold something other than zero or a blank."""
        found = np.zeros(len(self.row), dtype=np.bool_)
        for column in self.values.values():
            found |= np.nan_to_num(column) != 0.0
        return found


def cells_of(sheet: Sheet, layout: Layout, asked: Asked) -> Cells:
    """Take a file's cells apart.

    Parameters
    ----------
    sheet, layout : the file and what stands where
    asked : what is sought, and how dates are written if the site file says

    Raises
    ------
    InputError
        If dates or times cannot be read.
    """
    dates = stamps_of(sheet, layout.dated, asked.date_order, asked.key)
    said = () if dates.certain else (
        f"{sheet.file}: dates are taken as {dates.order}; none of them shows it "
        f"({asked.key}_date_order sets it).",
    )  # fmt: skip
    rows, columns = len(sheet.cells), [n for n, _ in layout.slots]
    row, wide = np.arange(rows), bool(columns)
    if wide:
        row = np.repeat(row, len(columns))
        texts = {asked.needed: pd.Series(sheet.cells[columns].to_numpy().ravel())}
    else:
        texts = {role: sheet.cells[column] for role, column in layout.registers}
    values, faults = {}, []
    for role, text in texts.items():
        values[role], wrong = _numbers(sheet, text.astype(str), row)
        faults += wrong
    minute, number = _times(sheet, layout, dates.minute, rows)
    cells = Cells(row, dates.day[row], minute, number, dates.offset[row], values, said,
                  tuple(faults))  # fmt: skip
    blank = np.all([np.isnan(column) for column in values.values()], axis=0)
    return cells.only(~blank)


def _numbers(sheet: Sheet, text: pd.Series, row: IntArray) -> tuple[Array, list[Fault]]:
    """Read numbers; blanks are missing, words are faults (and missing)."""
    plain = text.str.strip().str.replace("£", "")
    if plain.str.match(r"^[-+]?\d*,\d+$").mean() > 0.5:
        plain = plain.str.replace(",", ".")  # a comma for the decimal point
    numbers = pd.to_numeric(plain, errors="coerce").to_numpy(np.float64)
    lost = ~np.isfinite(numbers) & ~plain.str.lower().isin(NOTHING).to_numpy()
    wrong = np.flatnonzero(lost)
    faults = [
        Fault(
            sheet.at(int(row[cell])),
            f"found '{text.iloc[cell][:40]}' where a reading should stand",
            "a number with a decimal point, or an empty cell for a missing one",
            "put the number in, or leave the cell empty",
        )
        for cell in wrong[:MOST_LISTED].tolist()
    ]
    sound = np.where(np.isfinite(numbers), numbers, np.nan)
    return sound, [*faults, *more(sheet.file, len(wrong) - MOST_LISTED)]


def _times(sheet: Sheet, layout: Layout, minute: IntArray, rows: int) -> tuple[IntArray, IntArray]:
    """Give the minute of the day, or the number of the half-hour, of every cell."""
    none = np.empty(0, dtype=np.int64)
    if layout.slots:
        slots = np.array([slot for _, slot in layout.slots], dtype=np.int64)
        if not layout.by_number and slots[0] == STEP and slots[-1] == 0:
            slots[-1] = MINUTES_A_DAY  # midnight at the end of the day
        spread = np.tile(slots, rows)
        return (none, spread) if layout.by_number else (spread, none)
    if layout.counted is not None:
        numbers = pd.to_numeric(sheet.cells[layout.counted], errors="coerce").fillna(-1)
        return none, numbers.to_numpy(np.int64) + int(numbers.min() == 0)
    if layout.timed is not None:
        minute = np.nan_to_num(clock_minutes(sheet.cells[layout.timed]), nan=-1.0).astype(np.int64)
    return minute, none
