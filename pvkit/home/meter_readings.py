"""A file of half-hours, read: what each half-hour of UTC holds, and what was found out about it.

What the file does not say outright is found out from it, said, and can be set in the site file.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.errors import InputError
from pvkit.home.calendar import IntArray
from pvkit.home.meter_asked import Asked
from pvkit.home.meter_cells import cells_of
from pvkit.home.meter_columns import layout_of
from pvkit.home.meter_starts import starts_of
from pvkit.home.meter_text import read_sheet
from pvkit.home.meter_units import FACTORS, unit_of

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Readings:
    """A file's half-hours in the order of time; one may be there twice or not at all.

    Parameters
    ----------
    file : name, for messages
    start : (rows,) half-hours since 1970, UTC
    numbers : (rows,) for each register, in kWh or GBP/kWh; NaN where a cell is blank
    said : what was found out about the file, in plain sentences
    """

    file: str
    start: IntArray
    numbers: dict[str, Array]
    said: tuple[str, ...]


def read_half_hours(name: str, asked: Asked) -> Readings:
    """Read a file of half-hours.

    Parameters
    ----------
    name : path of the file, which is only read
    asked : what is sought, and what the site file says about the file

    Raises
    ------
    InputError
        If the file cannot be read, or its columns, times or clock cannot be made out.
    """
    sheet = read_sheet(name, asked.file_key)
    layout = layout_of(sheet, asked)
    cells = cells_of(sheet, layout, asked)
    if cells.faults:
        raise InputError(*cells.faults)
    start, cells, said = starts_of(sheet, layout, cells, asked)
    unit, how = unit_of(sheet, layout, cells.values, asked)
    order = np.argsort(start, kind="stable")
    numbers = {role: column[order] * FACTORS[unit] for role, column in cells.values.items()}
    return Readings(sheet.file, start[order], numbers, (*cells.said, *said, how))
