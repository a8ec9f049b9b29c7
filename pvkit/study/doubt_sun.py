"""The year-to-year spread of sunlight from a file of many years."""

import warnings
from functools import lru_cache
from pathlib import Path

import numpy as np
import pandas as pd

from pvkit.errors import Fault, InputError
from pvkit.site.place import Place

LEAST_YEARS = 8
WHOLE_SHARE = 0.98
HOURS_A_YEAR = 8760
HIGHEST = {"ghi": 1500.0, "ghi_kwh_per_m2": 3000.0, "year": 2150.0}
_WHAT = (
    "a CSV file with columns time and ghi (W/m2, hourly or finer), or year and ghi_kwh_per_m2, of "
    f"{LEAST_YEARS} whole years or more"
)


def sun_spread(file: str) -> tuple[float, str]:
    """Work out how much the light of a year differs from year to year.

    Parameters
    ----------
    file : CSV of hourly (or finer) readings, ``time, ghi`` [W/m2], or of yearly sums,
        ``year, ghi_kwh_per_m2``; years with gaps are left out

    Returns
    -------
    standard deviation of the yearly sums over their mean, and words that say what it is from

    Raises
    ------
    InputError
        If the file cannot be read, or holds too few whole years.
    """
    path = Path(file)
    state = path.stat().st_mtime_ns if path.is_file() else 0
    years = _yearly(file, state)
    spread = float(years.std(ddof=1) / years.mean())
    return spread, f"{path.name}: {len(years)} whole years, {years.index[0]} to {years.index[-1]}"


@lru_cache(maxsize=8)
def archive_spread(place: Place, last_year: int | None) -> tuple[float, str]:
    """Give the spread of the years that online weather is chosen from.

    Parameters
    ----------
    place : where the home stands
    last_year : the last of those years; the year before this one if left out

    Raises
    ------
    InputError
        If the archive cannot be reached and holds nothing of this place on disk.
    """
    from pvkit.sky.online import online_years

    found = online_years(place, last_year)
    first, last = found.years[0], found.years[-1]
    return found.spread, f"the public archive's years {first} to {last} over this place"


@lru_cache(maxsize=4)
def _yearly(file: str, state: int) -> "pd.Series[float]":
    """Give the yearly sums; a file saved again (another state) is read again."""
    del state
    path = Path(file)
    table = _table(path)
    if "ghi_kwh_per_m2" in table:
        years = _numbers(path, table, "ghi_kwh_per_m2")
        years.index = _numbers(path, table, "year").astype(int)
    else:
        years = _whole_years(path, table)
    if len(years) < LEAST_YEARS or years.index.has_duplicates or years.min() <= 0.0:
        found = f"found {years[years > 0.0].index.nunique()} whole years with light"
        raise InputError(Fault(path.name, found, _WHAT, "bring a longer record without gaps"))
    return years.sort_index()


def _table(path: Path) -> pd.DataFrame:
    fix = "check the file; it is looked for beside the site file"
    if not path.is_file():  # a pipe might never end
        raise InputError(Fault(path.name, "found no such file", _WHAT, fix))
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", pd.errors.ParserWarning)
            table = pd.read_csv(path, comment="#", index_col=False, compression=None)
    except (OSError, ValueError, pd.errors.ParserWarning) as error:
        raise InputError(Fault(path.name, "found no table to read", _WHAT, fix)) from error
    table.columns = [str(name).strip().lower() for name in table.columns]
    names = set(table.columns)
    if not ({"time", "ghi"} <= names or {"year", "ghi_kwh_per_m2"} <= names):
        found = f"found columns {', '.join(table.columns)[:80]}"
        raise InputError(Fault(path.name, found, _WHAT, "name the columns in the first line"))
    return table


def _numbers(path: Path, table: pd.DataFrame, name: str) -> "pd.Series[float]":
    highest = HIGHEST[name]
    values = pd.to_numeric(table[name], errors="coerce").astype(float)
    wrong = ~values.between(0.0, highest)
    if wrong.any():
        row = int(np.flatnonzero(wrong)[0])
        found, allowed = f"found '{table[name].iloc[row]}'", f"0 to {highest:g}"
        fix = "write plain numbers, and leave out the rows of what was not measured"
        raise InputError(Fault(f"{path.name}, data row {row + 1}, {name}", found, allowed, fix))
    return values


def _whole_years(path: Path, table: pd.DataFrame) -> "pd.Series[float]":
    """Sum the hours of each year that has nearly all of them."""
    time = pd.to_datetime(table["time"], format="ISO8601", errors="coerce", utc=True)
    if time.isna().any():
        row = int(np.flatnonzero(time.isna())[0])
        found = f"found time '{table['time'].iloc[row]}'"
        allowed, fix = "like 2023-01-31 13:00", "write times as year-month-day and hour, UTC"
        raise InputError(Fault(f"{path.name}, data row {row + 1}", found, allowed, fix))
    ghi = _numbers(path, table, "ghi")
    hourly = pd.Series(ghi.to_numpy(), index=pd.DatetimeIndex(time)).resample("1h").mean().dropna()
    by_year = hourly.groupby(pd.DatetimeIndex(hourly.index).year)
    whole = by_year.count() >= WHOLE_SHARE * HOURS_A_YEAR
    return (by_year.mean()[whole] * HOURS_A_YEAR / 1000.0).rename_axis("year")
