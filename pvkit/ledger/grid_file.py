"""A series of grid factors that the user brings: a CSV file with columns year, kgco2e_per_kwh."""

import csv
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pvkit.errors import Fault, InputError
from pvkit.site.toml_file import text_of
from pvkit.tables import constant

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

COLUMNS = ("year", "kgco2e_per_kwh")
KIND = "series of grid factors"
EARLIEST, LATEST = 1990, 2150
MOST_FAULTS = 20
_WHAT = "a CSV file with columns year and kgco2e_per_kwh, one row for each year"


def grid_series(file: str, first_year: int) -> tuple[IntArray, Array]:
    """Read a series of yearly grid factors.

    Parameters
    ----------
    file : its path; lines that begin with # are left out
    first_year : calendar year the series must reach back to

    Returns
    -------
    years, rising by one, and the factor of each [kgCO2e/kWh]

    Raises
    ------
    InputError
        With all that is wrong with the file, rows named by their line.
    """
    path = Path(file)
    lines = [
        (number, line)
        for number, line in enumerate(text_of(path, KIND).splitlines(), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if not lines:
        raise InputError(Fault(path.name, "found nothing in it", _WHAT, "put the series in"))
    place = _columns(f"{path.name}, row {lines[0][0]}", lines[0][1])
    found: list[tuple[int, int, float]] = []
    faults: list[Fault] = []
    for number, line in lines[1:]:
        cells = [cell.strip() for cell in next(csv.reader([line]))]
        row_faults = list(_row_faults(f"{path.name}, row {number}", cells, place))
        faults += row_faults
        if not row_faults:
            found.append((number, int(cells[place[0]]), float(cells[place[1]])))
    faults = faults or list(_run_faults(path, found, first_year))
    if faults:
        raise InputError(*faults[:MOST_FAULTS])
    found.sort(key=lambda row: row[1])
    return np.array([y for _, y, _ in found]), np.array([factor for _, _, factor in found])


def _columns(where: str, header: str) -> tuple[int, int]:
    names = [name.strip().lower() for name in next(csv.reader([header]))]
    missing = [name for name in COLUMNS if names.count(name) != 1]
    if missing:
        found = f"found columns {', '.join(names)[:80]}"
        fix = f"name one column {' and one '.join(missing)}, in this line"
        raise InputError(Fault(where, found, ", ".join(COLUMNS), fix))
    return names.index(COLUMNS[0]), names.index(COLUMNS[1])


def _row_faults(where: str, cells: list[str], place: tuple[int, int]) -> Iterator[Fault]:
    if len(cells) <= max(place):
        yield Fault(where, f"found {len(cells)} values", "a year and a factor", "fill the row")
        return
    year, factor = cells[place[0]][:40], cells[place[1]][:40]
    if not (year.isascii() and year.isdigit() and EARLIEST <= int(year) <= LATEST):
        allowed = f"a whole year from {EARLIEST} to {LATEST}"
        yield Fault(where, f"found the year '{year}'", allowed, "give the calendar year, like 2030")
    highest = constant("carbon.highest_kgco2e_per_kwh")
    allowed = f"a number from 0 to {highest:g} kgCO2e/kWh"
    try:
        value = float(factor)
    except ValueError:
        yield Fault(where, f"found '{factor}'", allowed, "write a plain number, like 0.131")
        return
    if not 0.0 <= value <= highest:
        slip = "give kilograms, not grams: divide by 1000" if value > highest else "check the sign"
        yield Fault(where, f"found {factor}", allowed, slip)


def _run_faults(path: Path, found: list[tuple[int, int, float]], first: int) -> Iterator[Fault]:
    """Refuse years given twice, left out, or that start too late."""
    if not found:
        yield Fault(path.name, "found no rows below the header", _WHAT, "put the series in")
        return
    rows: dict[int, int] = {}
    for number, year, _ in found:
        if year in rows:
            where, again = f"{path.name}, row {number}", f"found {year} again, after row "
            yield Fault(where, f"{again}{rows[year]}", "each year once", "take one away")
        rows.setdefault(year, number)
    gaps = [year for year in range(min(rows), max(rows)) if year not in rows]
    if gaps:
        shown = ", ".join(map(str, gaps[:6])) + (" and more" if len(gaps) > 6 else "")
        yield Fault(path.name, f"found no row for {shown}", "every year in turn", "add the years")
    if min(rows) > first:
        fix = f"start the series in {first} or earlier, or change finance.first_year"
        yield Fault(path.name, f"found {min(rows)} as the first year", f"{first} or before", fix)
