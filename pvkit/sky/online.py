"""A typical year from several years of a public archive, and how years differ."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
import pandas as pd

from pvkit.site.place import Place, Weather
from pvkit.sky.archive import ASKED, Wanted, archive_text, wrong_answer
from pvkit.sky.rows import LIGHT, Rows
from pvkit.sky.sun import Array
from pvkit.sky.typical import typical_months
from pvkit.tables import constant

_DAYS = 365


@dataclass(frozen=True, slots=True, eq=False)
class Years:
    """Several years of hours over one place.

    Parameters
    ----------
    years : which
    hours : one table a year, 8,760 rows, 29 February left out
    """

    years: tuple[int, ...]
    hours: tuple[pd.DataFrame, ...]

    @property
    def yearly_ghi_kwh_per_m2(self) -> Array:
        """(years,) light on level ground."""
        return np.array([table["ghi"].sum() / 1000.0 for table in self.hours])

    @property
    def spread(self) -> float:
        """Standard deviation of the years' light over their mean."""
        yearly = self.yearly_ghi_kwh_per_m2
        return float(yearly.std(ddof=1) / yearly.mean())


def online_years(place: Place, last_year: int | None = None) -> Years:
    """Fetch the last whole years over a place.

    Parameters
    ----------
    place : where the home stands; rounded to a hundredth of a degree
    last_year : the last of them; the year before this one if left out

    Raises
    ------
    InputError
        If the archive cannot be reached or what it gives is no weather.
    """
    last = date.today().year - 1 if last_year is None else last_year  # noqa: DTZ011  (a calendar year)
    years = tuple(range(last - int(constant("online.years")) + 1, last + 1))
    at = round(place.latitude, 2), round(place.longitude, 2)
    return Years(years, tuple(_hours(Wanted(*at, year)) for year in years))


def online_rows(place: Place, weather: Weather) -> Rows:
    """Give the typical year of a place's last years, to be checked like any file's.

    Raises
    ------
    InputError
        As :func:`online_years`.
    """
    found = online_years(place, weather.last_year)
    daily = np.stack([_daily(table) for table in found.hours])
    chosen = typical_months(
        daily, np.asarray(pd.DatetimeIndex(found.hours[0].index).month)[::24] - 1
    )
    table = _joined(found.hours, chosen)
    first, last = found.years[0], found.years[-1]
    picked = ", ".join(str(found.years[n]) for n in chosen)
    return Rows(
        file=f"NASA POWER {first}–{last}",
        table=table.reset_index(drop=True),
        starts=pd.DatetimeIndex(table.index),
        shown=list(pd.DatetimeIndex(table.index).strftime("%Y-%m-%d %H:%M")),
        step_minutes=60,
        label_minutes=0,
        utc_offset_hours=0.0,
        station=None,
        clock_advice="the archive's clock is UTC; delete what is kept of it and fetch again",
        faults=(),
        notes=(
            f"Light and air of NASA POWER, a public archive made from satellites and a "
            f"reanalysis: the most typical of each month of {first} to {last} ({picked}). "
            f"From year to year the light of these years differs by {found.spread:.1%} (standard "
            "deviation).",
        ),
    )


def _hours(wanted: Wanted) -> pd.DataFrame:
    table = _table(wanted, archive_text(wanted))
    at = pd.DatetimeIndex(table.index)
    leap = (at.month == 2) & (at.day == 29)
    table = table[~leap]
    if len(table) != _DAYS * 24 or not table.index.is_unique:
        raise wrong_answer(wanted, f"it holds {len(table):,} hours, not {_DAYS * 24:,}")
    lacking = int(table.isna().any(axis=1).sum())
    if lacking:
        raise wrong_answer(wanted, f"{lacking:,} of its hours are empty")
    return table


def _table(wanted: Wanted, text: str) -> pd.DataFrame:
    """Read the archive's format: a value for each hour under each name, in UTC, hour's start."""
    try:
        answer: dict[str, Any] = json.loads(text)
        values, empty = answer["properties"]["parameter"], answer["header"]["fill_value"]
        table = pd.DataFrame({ours: values[theirs] for theirs, ours in ASKED.items()})
        table.index = pd.to_datetime(table.index, format="%Y%m%d%H")
        table = table.astype("float64")
        found: pd.DataFrame = table.where(table != float(empty)).sort_index()
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise wrong_answer(wanted, "it is not in the archive's format") from error
    return found


def _daily(table: pd.DataFrame) -> Array:
    """(days, 3) light on level ground, mean temperature and wind of each day."""
    days = table[["ghi", "temp_air", "wind_speed"]].to_numpy().reshape(_DAYS, 24, 3)
    return np.asarray(days.mean(axis=1))


def _joined(hours: Sequence[pd.DataFrame], chosen: Sequence[int]) -> pd.DataFrame:
    """Put each month of its chosen year behind the one before, light never below zero."""
    parts = [
        hours[year][pd.DatetimeIndex(hours[year].index).month == month]
        for month, year in enumerate(chosen, start=1)
    ]
    year = int(constant("calendar.year"))
    table = pd.concat(parts)
    table.index = pd.DatetimeIndex([stamp.replace(year=year) for stamp in table.index])
    table[list(LIGHT)] = table[list(LIGHT)].clip(lower=0.0)
    return table
