"""The days that a visit's readings cover, and what was made in each stretch of them."""

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pvkit.errors import Fault, InputError
from pvkit.home.calendar import LOCAL_ZONE
from pvkit.site.visit_csv import listed
from pvkit.site.visit_half_hours import HalfHours
from pvkit.site.visit_readings import VisitReadings
from pvkit.study.visit_site import SiteYear, half_hour_of_year
from pvkit.tables import constant

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]
Days = NDArray[np.datetime64]


@dataclass(frozen=True, slots=True, eq=False)
class Period:
    """What was made, stretch by stretch, and the days each stretch counts.

    Parameters
    ----------
    days : (days,) local days from the first counted to the last
    cover : (spans, days) how much of each day each span counts, 0 to 1
    kwh : (spans,) made
    step_kwh : the least that the readings can show
    still : days on which it made nothing at all, where days are known
    notes : what the reader should know
    """

    days: Days
    cover: Array
    kwh: Array
    step_kwh: float
    still: Days
    notes: tuple[str, ...]

    @property
    def month_of_day(self) -> IntArray:
        """Each day's month, counted from the first day's."""
        months = self.days.astype("datetime64[M]").astype(np.int64)
        return np.asarray(months - months[0])

    @property
    def months(self) -> IntArray:
        """The calendar months touched, counted from January 1970."""
        months = self.days.astype("datetime64[M]").astype(np.int64)
        return np.arange(months[0], months[-1] + 1)

    @property
    def lengths(self) -> Array:
        """Days of each whole calendar month."""
        edges = np.append(self.months, self.months[-1] + 1).astype("datetime64[M]")
        return np.diff(edges.astype("datetime64[D]").astype(np.int64)).astype(np.float64)

    def by_month(self, of_day: Array) -> Array:
        """Sum something of each day over spans and months, as far as each span counts the day.

        Parameters
        ----------
        of_day : (days,)

        Returns
        -------
        (spans, months)
        """
        month = np.eye(len(self.months))[self.month_of_day]
        return np.asarray((self.cover * of_day) @ month)


def period_of(readings: VisitReadings, year: SiteYear) -> Period:
    """Lay the readings on local days.

    Parameters
    ----------
    readings : what the visit brought
    year : the site's year, which knows when it is dark

    Raises
    ------
    InputError
        If half-hours are missing in daylight and may not be left out, or show energy at night.
    """
    if readings.half_hours is not None:
        assert readings.file.half_hourly is not None  # the half-hours were read from it
        leave_out = readings.file.half_hourly.gaps == "leave out"
        return _of_half_hours(readings.half_hours, year, leave_out=leave_out)
    spans = readings.spans
    assert spans is not None  # the reader gives one of the two
    first, last = int(spans.start[0]), int(np.ceil(spans.end[-1]))
    day = np.arange(first, last)
    begin = np.maximum(spans.start[:, None], day[None, :])
    end = np.minimum(spans.end[:, None], day[None, :] + 1.0)
    step = constant("visit.meter_step_kwh")
    return Period(_as_days(day), np.clip(end - begin, 0.0, 1.0), spans.kwh, step, _as_days([]), ())


def _as_days(numbers: IntArray | list[int]) -> Days:
    return np.asarray(numbers, np.int64).astype("datetime64[D]")


def _of_half_hours(half_hours: HalfHours, year: SiteYear, *, leave_out: bool) -> Period:
    zone = half_hours.starts.tz_convert(LOCAL_ZONE)
    grid = pd.date_range(
        zone[0].normalize(), zone[-1].normalize() + pd.Timedelta(days=1),
        freq=f"{half_hours.step_minutes}min", inclusive="left",
    )  # fmt: skip
    kwh = np.asarray(pd.Series(half_hours.kwh, index=zone).reindex(grid), np.float64)
    dark = _dark(grid, year, half_hours.step_minutes)
    _refuse_night(half_hours, kwh, dark)
    day = grid.tz_localize(None).to_numpy().astype("datetime64[D]")
    gone = np.isnan(kwh) & ~dark
    days, place = np.unique(day, return_inverse=True)
    whole = np.bincount(place, gone) == 0
    inner = (grid >= zone[0]) & (grid <= zone[-1])
    gaps = gone & inner
    if gaps.any() and not leave_out:
        raise InputError(*_gap_faults(half_hours, grid, gaps))
    made = np.bincount(place, np.nan_to_num(kwh)).astype(np.float64)
    found = _monthly(days, made, whole, leave_out=bool(gaps.any()))
    return replace(found, notes=(*half_hours.notes, *found.notes))


def _dark(grid: pd.DatetimeIndex, year: SiteYear, step_minutes: int) -> BoolArray:
    """Say where the site makes nothing, over every half-hour that a step touches."""
    utc = grid.tz_convert("UTC").tz_localize(None).to_numpy()
    last = utc + np.timedelta64(step_minutes - 1, "m")
    return np.asarray(year.dark[half_hour_of_year(utc)] & year.dark[half_hour_of_year(last)])


def _refuse_night(half_hours: HalfHours, kwh: Array, dark: BoolArray) -> None:
    made = np.nan_to_num(kwh)
    at_night, limit = float(made[dark].sum()), constant("visit.night_fraction")
    if at_night <= limit * made.sum():
        return
    raise InputError(
        Fault(half_hours.file, f"found {at_night / made.sum():.0%} of the energy with the sun down",
              "energy by day, as a solar system makes it",
              "check that the column is generation, not use, and the clock of the times")
    )  # fmt: skip


def _gap_faults(half_hours: HalfHours, grid: pd.DatetimeIndex, gaps: BoolArray) -> list[Fault]:
    edges = np.flatnonzero(np.diff(gaps, prepend=False, append=False)).reshape(-1, 2)
    faults = []
    for first, end in edges.tolist():
        ends = f"{grid[first]:%Y-%m-%d %H:%M} to {grid[end - 1]:%Y-%m-%d %H:%M}"
        faults.append(
            Fault(f"{half_hours.file}, {ends} on the local clock",
                  f"found no kWh ({end - first} rows in daylight)",
                  "a value for every step of the day",
                  "put them in, or say gaps = 'leave out' in [half_hourly]: those days then count"
                  " neither as made nor as expected")
        )  # fmt: skip
    return listed(faults)


def _monthly(days: Days, made: Array, whole: BoolArray, *, leave_out: bool) -> Period:
    """Gather whole days by month; days with a gap, or begun in the middle, do not count."""
    counted = np.flatnonzero(whole)
    if counted.size == 0:
        raise InputError(
            Fault("half_hourly.file", "found no whole day", "at least some weeks",
                  "give a longer stretch of half-hours")
        )  # fmt: skip
    inside = slice(counted[0], counted[-1] + 1)
    days, made, whole = days[inside], made[inside], whole[inside]
    month = days.astype("datetime64[M]").astype(np.int64)
    spans = np.unique(month[whole])
    cover = (month[None, :] == spans[:, None]) & whole
    count = int((~whole).sum())
    note = f"{count} day{'' if count == 1 else 's'} with gaps left out, made and expected alike."
    still = days[whole & (made <= 0.0)]
    return Period(days, cover.astype(np.float64), cover @ made, 0.0, still, (note,) * leave_out)
