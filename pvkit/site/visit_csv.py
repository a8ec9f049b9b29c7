"""CSV files of a visit: a column of months, and a column of kWh or of light."""

import csv
import io
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pvkit.errors import Fault, InputError
from pvkit.site.faults import nearest
from pvkit.site.toml_file import text_of
from pvkit.site.visit_file import MONTH
from pvkit.site.wording import shown

LARGEST_BYTES = 30_000_000
# No more faults of one kind than a person wants to read.
MOST_LISTED = 10

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a CSV file: where it stands, its time and its number as text."""

    where: str
    time: str
    number: str


def csv_rows(path: Path, time: str, number: str) -> list[Row]:
    """Read two columns of a CSV file as text; others are left alone.

    Parameters
    ----------
    path : the file
    time, number : the two columns' heads, capitals or not

    Raises
    ------
    InputError
        If it cannot be read, or lacks one of the columns.
    """
    kind = f"CSV file with the columns {time}, {number}"
    text = text_of(path, kind, LARGEST_BYTES)
    try:
        lines = [
            line for line in csv.reader(io.StringIO(text)) if any(cell.strip() for cell in line)
        ]
    except csv.Error as error:
        fault = Fault(path.name, "found lines that do not read as CSV", f"a {kind}",
                      "save it again as plain CSV, separated by commas")  # fmt: skip
        raise InputError(fault) from error
    heads = [cell.strip().lower() for cell in lines[0]] if lines else []
    missing = [_missing(path, name, heads) for name in (time, number) if name.lower() not in heads]
    if missing:
        raise InputError(*missing)
    if len(lines) < 2:
        raise InputError(Fault(path.name, "found no rows under the heads", f"a {kind}", "add rows"))
    first, second = heads.index(time.lower()), heads.index(number.lower())
    return [
        Row(f"{path.name}, row {place}", _cell(line, first), _cell(line, second))
        for place, line in enumerate(lines[1:], 1)
    ]


def _cell(line: list[str], column: int) -> str:
    return line[column].strip() if column < len(line) else ""


def _missing(path: Path, name: str, heads: list[str]) -> Fault:
    fix = (
        f"{nearest(name, heads)}, and rename it '{name}'" if heads else "add a first line of heads"
    )
    if any(";" in head for head in heads):
        fix = "separate the columns by commas, with points in the numbers"
    found = f"found no column '{name}' among {', '.join(heads)[:120] or 'nothing'}"
    return Fault(path.name, found, f"a column headed {name}", fix)


def numbers_of(rows: Iterable[Row], unit: str, lowest: float = 0.0) -> tuple[Array, list[Fault]]:
    """Turn the rows' numbers into floats; what is none, or too low, is a fault (and 0).

    Parameters
    ----------
    rows : lines of the file; an empty cell is a gap and stays missing
    unit : for messages
    lowest : the least that may stand there; a little below 0 counts as 0
    """
    values, faults = [], []
    for row in rows:
        value = _number(row.number)
        if value is None or (value < lowest):
            fix = f"give {unit}, with a point for decimals"
            if value is not None:
                fix = f"give the {unit} made; use has no place here"
            allowed = f"a number of {unit}, none below 0"
            faults.append(Fault(row.where, f"found {shown(row.number)}", allowed, fix))
            value = 0.0
        values.append(value if np.isnan(value) else max(value, 0.0))
    return np.array(values), listed(faults)


def _number(text: str) -> float | None:
    if not text:
        return float("nan")
    try:
        value = float(text)
    except ValueError:
        return None
    return value if np.isfinite(value) else None


def monthly_csv(path: Path, number: str, unit: str) -> tuple[str, Array]:
    """Read a number for each of some months in a row.

    Parameters
    ----------
    path : a CSV file with the columns month and ``number``
    number : the head of the numbers' column
    unit : for messages

    Returns
    -------
    the first month as '2026-04', and the numbers

    Raises
    ------
    InputError
        If a month is unreadable, missing, repeated or out of order, or a number is none.
    """
    return months_of(csv_rows(path, "month", number), unit)


def months_of(rows: list[Row], unit: str) -> tuple[str, Array]:
    """Turn rows of a month and a number into numbers for each of some months in a row.

    Raises
    ------
    InputError
        As :func:`monthly_csv`.
    """
    values, faults = numbers_of(rows, unit)
    faults += [
        Fault(row.where, f"found no {unit}", f"{unit} for every month", "put the figure in")
        for row, value in zip(rows, values, strict=True)
        if np.isnan(value)
    ]
    unreadable = [
        Fault(row.where, f"found month {shown(row.time)}", "a month like 2026-04",
              "write year, hyphen, month")
        for row in rows
        if not re.match(MONTH, row.time)
    ]  # fmt: skip
    faults += listed(unreadable) or listed(list(_month_order(rows)))
    if faults:
        raise InputError(*faults)
    return rows[0].time, values


def _month_order(rows: list[Row]) -> Iterator[Fault]:
    for before, row in pairwise(rows):
        step = int((np.datetime64(row.time) - np.datetime64(before.time)).astype(int))
        if step == 0:
            yield Fault(row.where, f"found {row.time} a second time", "each month once",
                        "take one of the two away")  # fmt: skip
        elif step < 0:
            yield Fault(row.where, f"found {row.time} after {before.time}",
                        "months in their order, each once", "sort the rows by month")  # fmt: skip
        elif step > 1:
            missing = str(np.datetime64(before.time) + 1)
            yield Fault(row.where, f"found {row.time} after {before.time}: {missing} is missing",
                        "every month between the first and the last",
                        "add a row for it; give 0 only if nothing was made")  # fmt: skip


def listed(faults: list[Fault]) -> list[Fault]:
    """Keep the first ten faults of a kind and count the others."""
    if len(faults) <= MOST_LISTED:
        return faults
    more = len(faults) - MOST_LISTED
    last = replace(faults[MOST_LISTED], found=f"and {more:,} more like these from here on")
    return [*faults[:MOST_LISTED], last]
