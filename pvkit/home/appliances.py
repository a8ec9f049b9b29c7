"""What a mean home switches on, how long a run lasts and when it is likely."""

from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np
from numpy.typing import NDArray

from pvkit.home.calendar import BoolArray, local_calendar
from pvkit.home.occupancy import at_home_year, chance_at_home
from pvkit.tables import MONTHS, constant, numbers, rows

Array = NDArray[np.float64]

MINUTES_PER_HOUR = 60.0
MINUTES_PER_STEP = 30


@dataclass(frozen=True, slots=True, eq=False)
class Appliance:
    """One kind of appliance of the mean home.

    Parameters
    ----------
    name : what it is called
    kwh_per_year : what the mean home uses in it [kWh]
    use : the published shape over the day that places its runs
    season : the shape over the year
    empty_home_share : chance of a run in an empty home against an occupied one [-]
    one_at_a_time : the next run waits for the last to end
    phase_kw, phase_min : (phases,) power and length of each phase of a mean run
    """

    name: str
    kwh_per_year: float
    use: str
    season: str
    empty_home_share: float
    one_at_a_time: bool
    phase_kw: Array
    phase_min: Array

    @property
    def run_kwh(self) -> float:
        """Electricity of a run of mean length [kWh]."""
        return float(self.phase_kw @ self.phase_min) / MINUTES_PER_HOUR

    @property
    def runs_per_year(self) -> float:
        """Runs a year in the mean home."""
        return self.kwh_per_year / self.run_kwh


@cache
def appliances() -> tuple[Appliance, ...]:
    """Read the mean home's appliances.

    Source
    ------
    ``appliances.csv``, which says what is published and what is assumed.

    Examples
    --------
    >>> {item.name: round(item.runs_per_year) for item in appliances()}["kettle"]
    1473
    """
    return tuple(_appliance(row) for row in rows("appliances.csv"))


def _appliance(row: dict[str, str]) -> Appliance:
    phases = [phase.split("x") for phase in row["phases_w_x_min"].split()]
    return Appliance(
        name=row["appliance"],
        kwh_per_year=float(row["kwh_per_year"]),
        use=row["use"],
        season=row["season"],
        empty_home_share=float(row["empty_home_share"]),
        one_at_a_time=row["one_at_a_time"] == "yes",
        phase_kw=np.array([float(watts) / 1000.0 for watts, _ in phases]),
        phase_min=np.array([float(minutes) for _, minutes in phases]),
    )


@lru_cache(maxsize=64)
def chance_so_far(item: Appliance, day: str, seed: int) -> Array:
    """Chance that a run of an appliance falls before the end of each half-hour.

    The published shapes mix homes with somebody in and homes empty at that hour. Here the home
    is either, so a shape is divided by its own mixture and taken times who is in. A kind of day
    moves runs within the days: weekdays together have the mean home's part of the year.

    Parameters
    ----------
    item : the appliance
    day : "out", "half" or "in"
    seed : which of many equally likely years

    Returns
    -------
    (n,) rising from above 0 to 1 [-]
    """
    mean_home = _over_day(item.use) * _over_year(item.season)
    here = mean_home * _use(item, at_home_year(day, seed)) / _use(item, chance_at_home("half"))
    weekend = local_calendar().weekend
    for days in (weekend, ~weekend):
        here[days] *= mean_home[days].sum() / here[days].sum()
    so_far = np.cumsum(here)
    so_far /= so_far[-1]
    so_far.setflags(write=False)
    return so_far


def _use(item: Appliance, somebody_in: Array | BoolArray) -> Array:
    """Chance of a run against that in an occupied home."""
    share = item.empty_home_share
    return np.asarray(share + (1.0 - share) * somebody_in, dtype=np.float64)


def _over_day(use: str) -> Array:
    """Read the published use by the local clock, (n,), of any size."""
    calendar = local_calendar()
    hour = calendar.half_hour // 2
    if use == "lighting":
        table = rows("lighting_half_hour_by_month.csv")
        light = np.array([[float(row[month]) for month in MONTHS] for row in table])
        return light[calendar.half_hour, calendar.month]
    if use == "hot_water":
        table = rows("hot_water_draw_by_hour.csv")
        kinds = ("weekday", "weekend")
        weekday, weekend = (np.array([float(row[kind]) for row in table]) for kind in kinds)
        return np.where(calendar.weekend, weekend[hour], weekday[hour])
    if use == "heating":
        return _heating_hours()
    table = rows("appliance_propensity_by_hour.csv")
    return np.array([float(row[use]) for row in table])[hour]


def _heating_hours() -> Array:
    """1 while the heating's timer has it on, else 0, (n,)."""
    weekend = local_calendar().weekend
    on_weekday, on_weekend = (
        _within(numbers("constants.toml")[name].value)
        for name in ("demand.heating_weekday_h", "demand.heating_weekend_h")
    )
    return np.where(weekend, on_weekend, on_weekday).astype(np.float64)


def _within(spans: list[tuple[float, float]]) -> BoolArray:
    """Whether the local clock is within one of the spans [h], (n,)."""
    clock_h = local_calendar().half_hour / 2.0
    inside = np.zeros(len(clock_h), dtype=np.bool_)
    for start, end in spans:
        inside |= (clock_h >= start) & (clock_h < end)
    return inside


def _over_year(season: str) -> Array:
    """Use through the months against the year's mean, (n,); lighting has it in its own table."""
    month = local_calendar().month
    if season == "appliances":
        swing = np.cos(2 * np.pi * (month + 1 - constant("demand.season_month")) / 12)
        return np.asarray(1.0 + constant("demand.season_amplitude") * swing)
    if season == "heating":
        means = rows("sap_u1_temperature_degc.csv")[0]
        short_k = constant("demand.heating_base_degc") - np.array([float(means[m]) for m in MONTHS])
        return np.clip(short_k, 0.0, None)[month]
    return np.ones(len(month))
