"""Read the readings of a visit: a TOML file of our own, or a CSV file of months or half-hours."""

import datetime
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pydantic import ValidationError

from pvkit.errors import Fault, InputError
from pvkit.site.faults import faults_of
from pvkit.site.place import Weather
from pvkit.site.samples import reading_files
from pvkit.site.toml_file import read_toml
from pvkit.site.visit_checks import period_faults, visit_faults
from pvkit.site.visit_csv import csv_rows, monthly_csv
from pvkit.site.visit_file import HalfHourly, VisitFile
from pvkit.site.visit_half_hours import LOCAL_ZONE, HalfHours, half_hours_csv

KIND = "readings file (.toml, or .csv of months or half-hours)"

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Spans:
    """Stretches of time without a gap, and what was made in each.

    Parameters
    ----------
    start, end : (spans,) local days since 1970-01-01, .5 at midday
    kwh : (spans,)
    """

    start: Array
    end: Array
    kwh: Array


@dataclass(frozen=True, slots=True, eq=False)
class MonthlyLight:
    """Light on level ground by calendar month.

    Parameters
    ----------
    first : the first month, counted from January 1970
    kwh_per_m2 : (months,)
    """

    first: int
    kwh_per_m2: Array


@dataclass(frozen=True, slots=True, eq=False)
class VisitReadings:
    """What a visit brought home, checked.

    Parameters
    ----------
    file : as typed
    where : its name, for messages
    spans : from meter readings or months; None if there are half-hours
    half_hours : from a CSV file of them
    light : of the period's months, if given
    weather : a file of the period's light and air, if given
    notes : what the reader took for granted
    """

    file: VisitFile
    where: str
    spans: Spans | None
    half_hours: HalfHours | None
    light: MonthlyLight | None
    weather: Weather | None
    notes: tuple[str, ...] = ()


def load_visit(path: str | Path, installed: datetime.date | None = None) -> VisitReadings:
    """Read a readings file.

    Parameters
    ----------
    path : a TOML file, or a CSV file with the columns month, kWh or timestamp, kWh, or the name
        of a sample's readings
    installed : beside a CSV file, the day the system was switched on

    Raises
    ------
    InputError
        With every fault found.
    """
    file = readings_path(path)
    if file.suffix.lower() == ".csv":
        return _from_csv(file, installed)
    return build_visit(read_toml(file, KIND), file.name, file.parent)


def readings_path(path: str | Path) -> Path:
    """Give the file of a sample's readings if that is what was named, else the path itself."""
    return reading_files().get(str(path)) or Path(path)


def build_visit(raw: Mapping[str, Any], where: str, folder: Path) -> VisitReadings:
    """Check a mapping shaped like a readings file, and read the files it names.

    Parameters
    ----------
    raw : what ``tomllib`` reads from a readings file
    where : put before each key in messages
    folder : where the files it names are looked for
    """
    try:
        file = VisitFile.model_validate(raw)
    except ValidationError as error:
        raise InputError(*faults_of(error, raw, VisitFile, where)) from error
    faults = [Fault(f"{where}, {f.where}", f.found, f.allowed, f.fix) for f in visit_faults(file)]
    if faults:
        raise InputError(*faults)
    return _read(file, where, folder)


def _read(file: VisitFile, where: str, folder: Path) -> VisitReadings:
    half_hours = None
    spans = _meter_spans(file) if file.meter else None
    if file.monthly is not None:
        months = file.monthly
        spans = _month_spans(file, *_list_or_file(months.first, months.kwh, months.file, folder))
    if file.half_hourly is not None:
        half_hours = half_hours_csv(folder / file.half_hourly.file, file.half_hourly)
    ends = _ends(spans, half_hours)
    faults = [Fault(f"{where}, {f.where}", f.found, f.allowed, f.fix)
              for f in period_faults(file, *ends)]  # fmt: skip
    if faults:
        raise InputError(*faults)
    light, weather = _light(file, folder), _weather(file, folder)
    return VisitReadings(file, where, spans, half_hours, light, weather)


def _meter_spans(file: VisitFile) -> Spans:
    """Take each meter reading as made at midday."""
    days = np.array([day_number(reading.date) + 0.5 for reading in file.meter])
    totals = np.array([reading.kwh for reading in file.meter])
    return Spans(days[:-1], days[1:], np.diff(totals))


def _month_spans(file: VisitFile, first: str, kwh: Array) -> Spans:
    """Lay months end to end; those of installation and visit count from and to that day."""
    months = np.datetime64(first, "M") + np.arange(len(kwh) + 1)
    edges = months.astype("datetime64[D]").astype(np.int64).astype(np.float64)
    begins, ends = day_number(file.visit.installed), day_number(file.visit.date) + 0.5
    if begins < edges[1]:
        edges[0] = max(edges[0], begins)
    if ends > edges[-2]:
        edges[-1] = min(edges[-1], ends)
    return Spans(edges[:-1], edges[1:], kwh)


def _list_or_file(
    first: str | None, values: tuple[float, ...] | None, file: str | None, folder: Path
) -> tuple[str, Array]:
    if file is not None:
        return monthly_csv(folder / file, "kWh", "kWh")
    return str(first), np.array(values)


def _light(file: VisitFile, folder: Path) -> MonthlyLight | None:
    given = file.irradiation
    if given is None:
        return None
    if given.file is not None:
        first, values = monthly_csv(folder / given.file, "kWh_per_m2", "kWh/m2")
    else:
        first, values = str(given.first), np.array(given.kwh_per_m2)
    return MonthlyLight(int(np.datetime64(first, "M").astype(int)), values)


def _weather(file: VisitFile, folder: Path) -> Weather | None:
    if file.weather is None:
        return None
    how = file.weather.model_dump() | {"file": str(folder / file.weather.file)}
    return Weather.model_validate({key: value for key, value in how.items() if value is not None})


def _ends(spans: Spans | None, half_hours: HalfHours | None) -> tuple[float, float]:
    """Give the first and last local day of the readings."""
    if half_hours is not None:
        local = half_hours.starts[[0, -1]].tz_convert(LOCAL_ZONE)
        return day_number(local[0].date()), day_number(local[-1].date()) + 0.5
    assert spans is not None  # the checks saw to it that one of the two is there
    return float(spans.start[0]), float(spans.end[-1])


def day_number(day: datetime.date) -> int:
    """Count a day from 1 January 1970.

    Examples
    --------
    >>> day_number(datetime.date(1970, 1, 31))
    30
    """
    return (day - datetime.date(1970, 1, 1)).days


def _from_csv(path: Path, installed: datetime.date | None) -> VisitReadings:
    """Make a readings file of a CSV file alone, visited on its last day."""
    if re.search("[\ud800-\udfff]", path.name):  # letters of a name that is not in UTF-8
        raise InputError(Fault(ascii(path.name), "found a file name that is no plain text",
                               "a name in UTF-8", "give the file another name"))  # fmt: skip
    monthly = _is_monthly(path)
    begins, ends = _days_of_months(path) if monthly else _days_of_half_hours(path)
    raw = {
        "visit": {"date": ends, "installed": installed or begins},
        "monthly" if monthly else "half_hourly": {"file": path.name},
    }
    note = () if installed else (
        f"{path.name} does not say when the system was switched on; taken as {begins}, its first"
        " day, so no ageing is counted before it.",
    )  # fmt: skip
    return replace(build_visit(raw, path.name, path.parent), notes=note)


def _days_of_months(path: Path) -> tuple[datetime.date, datetime.date]:
    first, kwh = monthly_csv(path, "kWh", "kWh")
    edges = (np.datetime64(first, "M") + np.array([0, len(kwh)])).astype("datetime64[D]")
    return edges[0].astype(datetime.date), edges[1].astype(datetime.date)


def _days_of_half_hours(path: Path) -> tuple[datetime.date, datetime.date]:
    local = half_hours_csv(path, HalfHourly(file=path.name)).starts[[0, -1]]
    days = local.tz_convert(LOCAL_ZONE)
    return days[0].date(), days[-1].date()


def _is_monthly(path: Path) -> bool:
    try:
        csv_rows(path, "month", "kWh")
    except InputError as error:
        if any("'month'" in fault.found for fault in error.faults):
            return False
        raise
    return True
