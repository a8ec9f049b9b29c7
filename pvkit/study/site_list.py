"""Read a list of many sites: a folder of site files, or a CSV with one site a row."""

import csv
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import pandas as pd

from pvkit.errors import Fault, InputError
from pvkit.site.reader import files_beside
from pvkit.site.toml_file import read_toml

LARGEST_LIST_BYTES = 500_000_000
# A CSV describes one roof with one array, named for the messages alone.
_ONE_OF = {"roof": "roof", "array": "main"}


class Listed(NamedTuple):
    """One site of a list.

    Parameters
    ----------
    number : its place in the list, from 1
    where : file, or file and row, for messages
    raw : what a site file would say; empty if it cannot be read
    fault : why it cannot be read, "" if it can
    """

    number: int
    where: str
    raw: dict[str, Any]
    fault: str


def read_sites(source: Path) -> list[Listed]:
    """Read a list of sites; what cannot be read stays in the list with its reason.

    Parameters
    ----------
    source : a folder of ``.toml`` site files, or a CSV whose columns are dotted keys of a site
        file (``site.name``, ``site.latitude``, ``roof.tilt_deg``, ``array.count`` …), with one
        roof and one array a row

    Raises
    ------
    InputError
        If there is no such list, it is empty, or its head names no keys.
    """
    if source.is_dir():
        return list(_numbered(_folder(source), source))
    if not source.is_file():
        raise InputError(
            Fault(
                str(source),
                "there is no such folder or file",
                "a folder of site files, or a CSV with one site a row",
                "check the path",
            )
        )
    return list(_numbered(_csv(source), source))


def table_sites(homes: pd.DataFrame) -> list[Listed]:
    """Take a table of sites as if it had been read from a CSV.

    Parameters
    ----------
    homes : columns are dotted keys of a site file, one site a row

    Examples
    --------
    >>> from pvkit.study.invented_list import invented_sites
    >>> [site.where for site in table_sites(invented_sites(2))]
    ['row 1', 'row 2']
    """
    columns = [str(name) for name in homes.columns]
    rows = (dict(zip(columns, map(_text, row), strict=True)) for row in homes.to_numpy())
    made = (_row(f"row {number}", row) for number, row in enumerate(rows, start=1))
    return [Listed(number, *row) for number, row in enumerate(made, start=1)]


def _text(value: Any) -> str:
    return "" if pd.isna(value) else str(value)


def _numbered(rows: Iterator[tuple[str, dict[str, Any], str]], source: Path) -> Iterator[Listed]:
    number = 0
    for number, row in enumerate(rows, start=1):
        yield Listed(number, *row)
    if number == 0:
        raise InputError(
            Fault(str(source), "found no sites", "one site or more", "put site files or rows in")
        )


def _folder(folder: Path) -> Iterator[tuple[str, dict[str, Any], str]]:
    for file in sorted(folder.glob("*.toml")):
        try:
            raw = read_toml(file)
        except InputError as error:
            yield file.name, {}, str(error)
        else:
            yield file.name, files_beside(raw, folder), ""


def _csv(file: Path) -> Iterator[tuple[str, dict[str, Any], str]]:
    try:
        if file.stat().st_size > LARGEST_LIST_BYTES:
            raise InputError(_unreadable(file, "it is too large"))
        with file.open(encoding="utf-8-sig", newline="") as lines:
            reader = csv.DictReader(lines, strict=True)
            _check_head(file, reader.fieldnames or [])
            for number, row in enumerate(reader, start=2):
                where, raw, fault = _row(f"{file.name}, row {number}", row)
                yield where, files_beside(raw, file.parent), fault
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise InputError(_unreadable(file, str(error))) from error


def _unreadable(file: Path, why: str) -> Fault:
    return Fault(
        str(file), f"it cannot be read ({why})", "a CSV in UTF-8", "save it again as UTF-8 CSV"
    )


def _check_head(file: Path, names: Any) -> None:
    bad = [str(name) for name in names if str(name).count(".") < 1]
    if bad or not names:
        raise InputError(
            Fault(
                f"{file.name}, row 1",
                "found " + (", ".join(f"'{name}'" for name in bad[:5]) or "nothing"),
                "dotted keys of a site file, like site.name, roof.tilt_deg, array.count",
                "name each column by the key it holds",
            )
        )


def _row(where: str, row: dict[str, Any]) -> tuple[str, dict[str, Any], str]:
    if None in row or None in row.values():
        return where, {}, f"{where}: it has more or fewer values than the first row has names."
    raw: dict[str, Any] = {}
    for key, text in row.items():
        if text.strip():
            _put(raw, key.strip().split("."), _value(text.strip()))
    for table, name in _ONE_OF.items():
        if table in raw:
            raw[table] = [{"name": name, **raw[table]}]
    if "array" in raw:
        raw["array"][0].setdefault("roof", raw.get("roof", [{"name": "roof"}])[0]["name"])
    return where, raw, ""


def _put(raw: dict[str, Any], path: list[str], value: Any) -> None:
    for part in path[:-1]:
        raw = raw.setdefault(part, {})
    raw[path[-1]] = value


def _value(text: str) -> Any:
    """Read a cell: true, false, a number, else text."""
    if text.lower() in ("true", "false"):
        return text.lower() == "true"
    for kind in (int, float):
        try:
            return kind(text)
        except ValueError:
            continue
    return text
