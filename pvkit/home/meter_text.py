"""A file of half-hours as a table of text: which cells it has, which line heads them.

Meter files come from many hands. Nothing is asked of them but that they are text with one kind of
separator and that every row of readings holds a date. A file is only ever read.
"""

import csv
import re
from dataclasses import dataclass
from io import StringIO
from pathlib import Path

import numpy as np
import pandas as pd

from pvkit.errors import Fault, InputError

LARGEST_BYTES = 50_000_000
SEPARATORS = ",;\t|"
LINES_LOOKED_AT = 60
A_DATE = re.compile(
    r"\b\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}(?!\d)|\b\d{1,2}[- /]?[A-Za-z]{3,9}[- /,]+\d{2,4}(?!\d)"
    r"|^(?:19|20)\d{6}(?:[T ]?\d{4,6})?$"
)


@dataclass(frozen=True, slots=True, eq=False)
class Sheet:
    """A file's cells, all text.

    Parameters
    ----------
    file : name, for messages
    names : (columns,) headings; "column 3" where there is none
    cells : (rows, columns) text without blanks round it; empty where a row is short
    lines : (rows,) line of the file that each row stands in
    above : what stands above the cells: the heading line and any lines before it
    """

    file: str
    names: tuple[str, ...]
    cells: pd.DataFrame
    lines: tuple[int, ...]
    above: str

    def at(self, row: int) -> str:
        """Say where a row stands."""
        return f"{self.file}, line {self.lines[row]}"


def file_state(name: str | None) -> tuple[int, int] | None:
    """Tell a file that was saved again from the one read before: time of change and size."""
    if name is None or not Path(name).is_file():
        return None
    state = Path(name).stat()
    return (state.st_mtime_ns, state.st_size)


def read_sheet(name: str, key: str) -> Sheet:
    """Read a file's cells.

    Parameters
    ----------
    name : path of the file
    key : dotted key that names it, for messages

    Raises
    ------
    InputError
        If there is no such file, or it is empty, too large, no text, or holds no rows with a
        date.
    """
    path = Path(name)
    where = f"{key}, {path.name}"
    text = _text(path, where)
    rows, lines = _rows(text)
    first = _first_dated(rows)
    if first is None:
        allowed = "rows of readings, each with its date, and a heading above them"
        raise InputError(Fault(where, "found no row with a date and a number in it", allowed,
                               "export the half-hourly readings as CSV, with dates"))  # fmt: skip
    headed = first > 0 and len(rows[first - 1]) > 1
    width = max(len(row) for row in rows[first:])
    heads = [cell.strip() for cell in rows[first - 1]] if headed else []
    heads += [""] * (width - len(heads))
    names = tuple(head or f"column {n}" for n, head in enumerate(heads[:width], 1))
    body = [[cell.strip() for cell in row] + [""] * (width - len(row)) for row in rows[first:]]
    return Sheet(
        file=path.name,
        names=names,
        cells=pd.DataFrame(np.array(body, dtype=object), columns=range(width)),
        lines=tuple(lines[first:]),
        above=" ".join(" ".join(row) for row in rows[:first]),
    )


def _text(path: Path, where: str) -> str:
    raw = _bytes(path, where)
    if raw[:2] == b"PK" or b"\0" in raw or raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise _refused(where, "bytes that are no plain text (a spreadsheet, zip file or UTF-16?)",
                       "save it as CSV in plain text, UTF-8")  # fmt: skip
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = raw.decode("latin-1")  # a name with an accent, or a pound sign in a heading
    if not text.strip():
        raise _refused(where, "an empty file", "export the readings again")
    return text


def _bytes(path: Path, where: str) -> bytes:
    try:
        if path.is_dir():
            raise _refused(where, "a folder", "name the file inside it")
        size = path.stat().st_size
        if size > LARGEST_BYTES:
            found = f"{size:,} bytes"
            raise _refused(where, found, "export a few years of half-hours at most")
        return path.read_bytes()
    except FileNotFoundError as error:
        fix = "check its name; it is looked for beside the site file"
        raise _refused(where, "no such file", fix) from error
    except (OSError, ValueError) as error:
        fix = "check that the file may be read and is not open elsewhere"
        raise _refused(where, "something that cannot be read", fix) from error


def _refused(where: str, found: str, fix: str) -> InputError:
    return InputError(Fault(where, f"found {found}", "a text file of half-hourly readings", fix))


def _rows(text: str) -> tuple[list[list[str]], list[int]]:
    """Split into cells with the separator that gives most; blank lines are left out."""
    lines = text.splitlines()
    looked_at = [line for line in lines[:LINES_LOOKED_AT] if line.strip()]
    counts = {mark: [line.count(mark) for line in looked_at] for mark in SEPARATORS}
    mark = max(counts, key=lambda known: (np.median(counts[known]), sum(counts[known])))
    reader = csv.reader(StringIO("\n".join(lines)), delimiter=mark)
    rows, numbers = [], []
    for row in reader:
        if any(cell.strip() for cell in row):
            rows.append(row)
            numbers.append(reader.line_num)
    return rows, numbers


def _first_dated(rows: list[list[str]]) -> int | None:
    """Find where the readings begin: rows in a row with a date in the same column."""
    for n, row in enumerate(rows[:LINES_LOOKED_AT]):
        after = rows[n + 1] if n + 1 < len(rows) else row
        for column, cell in enumerate(row):
            dated = A_DATE.search(cell) and column < len(after) and A_DATE.search(after[column])
            if dated and sum(bool(each.strip()) for each in row) > 1:
                return n
    return None
