"""Readings typed line by line: a day and the meter's total, or a month and its energy."""

import datetime
import re
from typing import Any

import numpy as np

from pvkit.errors import Fault, InputError
from pvkit.site.visit_csv import Row, listed, months_of
from pvkit.site.visit_file import MONTH, VisitFile
from pvkit.site.wording import shown

_DAY = r"^\d{4}-\d{2}-\d{2}$"


def typed_readings(text: str) -> dict[str, Any]:
    """Turn typed lines into the tables of a readings file.

    Parameters
    ----------
    text : lines of a day and a total (2026-04-01 2381), or of a month and its kWh (2026-04 543)

    Raises
    ------
    InputError
        If a line is neither, or both kinds are mixed.

    Examples
    --------
    >>> typed_readings("2026-04 543")
    {'monthly': {'first': '2026-04', 'kwh': [543.0]}}
    """
    rows = _rows(text, "readings")
    days = [row for row in rows if re.match(_DAY, row.time)]
    if days and len(days) < len(rows):
        odd = next(row for row in rows if not re.match(_DAY, row.time))
        fix = "give meter totals by day, or energy by month, not both"
        raise InputError(Fault(odd.where, f"found {shown(odd.time)} among days", "a day", fix))
    if days:
        return {"meter": [_reading(row) for row in days]}
    first, values = months_of(rows, "kWh")
    return {"monthly": {"first": first, "kwh": values.tolist()}}


def typed_light(text: str) -> dict[str, Any]:
    """Turn typed lines of a month and its light into the ``[irradiation]`` table.

    Parameters
    ----------
    text : lines of a month and kWh/m2 on level ground (2026-04 121); none for unknown light
    """
    if not text.strip():
        return {}
    first, values = months_of(_rows(text, "light"), "kWh/m2")
    return {"irradiation": {"first": first, "kwh_per_m2": values.tolist()}}


def _rows(text: str, where: str) -> list[Row]:
    rows, faults = [], []
    for place, line in enumerate(text.splitlines(), 1):
        words = re.split(r"[,;\s]+", line.strip())
        if words == [""]:
            continue
        here = f"{where}, line {place}"
        if len(words) != 2 or not re.match(f"{_DAY}|{MONTH}", words[0]):
            fix = "write year, month (and day) with hyphens, a space, the number with a point"
            allowed = "like 2026-04-01 2381 or 2026-04 543"
            faults.append(Fault(here, f"found {shown(line.strip())}", allowed, fix))
        else:
            rows.append(Row(here, *words))
    if not rows and not faults:
        faults.append(Fault(where, "found nothing", "two lines or more", "type the readings"))
    if faults:
        raise InputError(*listed(faults))
    return rows


def _reading(row: Row) -> dict[str, Any]:
    try:
        return {"date": datetime.date.fromisoformat(row.time), "kwh": float(row.number)}
    except ValueError as error:
        found = f"found {shown(f'{row.time} {row.number}')}"
        fault = Fault(row.where, found, "a day of the calendar and a number of kWh", "mend it")
        raise InputError(fault) from error


def as_typed(file: VisitFile) -> dict[str, str]:
    """Turn a readings file's meter, months and light back into typed lines.

    Parameters
    ----------
    file : with lists in it; what stands in files of their own is left out

    Returns
    -------
    ``readings`` and ``light``, each empty if the file has none

    Examples
    --------
    >>> raw = {"visit": {"date": datetime.date(2026, 7, 1), "installed": datetime.date(2025, 4, 1)}}
    >>> raw |= typed_readings("2026-05 652") | typed_light("")
    >>> as_typed(VisitFile.model_validate(raw))
    {'readings': '2026-05 652', 'light': ''}
    """
    readings = "\n".join(f"{reading.date} {reading.kwh:.10g}" for reading in file.meter)
    months, light = file.monthly, file.irradiation
    if months is not None:
        readings = _lines(months.first, months.kwh)
    return {
        "readings": readings,
        "light": "" if light is None else _lines(light.first, light.kwh_per_m2),
    }


def _lines(first: str | None, values: tuple[float, ...] | None) -> str:
    if first is None or values is None:
        return ""
    months = np.datetime64(first, "M") + np.arange(len(values))
    return "\n".join(f"{month} {value:.10g}" for month, value in zip(months, values, strict=True))
