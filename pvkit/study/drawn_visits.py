"""Invented years of meter readings, with and without a fault, drawn apart from what judges them.

Each year has light, weather, an estimate's bias, ageing and a meter of its own, drawn from the
spreads of the tables; what is judged gets only what an installer would have: the meter's totals,
and perhaps a public figure of each month's light.
"""

import datetime
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pvkit.site.visit_readings import VisitReadings, build_visit
from pvkit.study.visit_site import SiteYear, reference_month
from pvkit.tables import MONTHS, constant, numbers, rows

Array = NDArray[np.float64]

WINTER = np.isin(np.arange(12), (9, 10, 11, 0, 1, 2))
# A year of the calendar for the drawn ones, and the largest total and age of a meter at its start.
_CALENDAR, _LARGEST_TOTAL_KWH, _OLDEST_YEARS = 2030, 20_000.0, 12


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """One drawn year of a site: what its meter and a public figure of light would say.

    Parameters
    ----------
    first : its first month, as 2030-04
    installed, visited : days
    made_kwh : (12,) what it truly made, month by month
    totals : (13,) what the meter shows at the ends of the months
    light : (12,) told light on level ground [kWh/m2]
    """

    first: str
    installed: datetime.date
    visited: datetime.date
    made_kwh: Array
    totals: Array
    light: Array

    def readings(self, *, light: bool, monthly: bool = True) -> VisitReadings:
        """Give the readings an installer would type.

        Parameters
        ----------
        light : with the told light of each month
        monthly : every month's energy, else the meter's totals at both ends
        """
        raw: dict[str, object] = {"visit": {"date": self.visited, "installed": self.installed}}
        begin = datetime.date.fromisoformat(f"{self.first}-01")
        if monthly:
            raw["monthly"] = {"first": self.first, "kwh": np.diff(self.totals).tolist()}
        else:
            ends = zip((begin, self.visited), self.totals[[0, -1]].tolist(), strict=True)
            raw["meter"] = [{"date": date, "kwh": kwh} for date, kwh in ends]
        if light:
            raw["irradiation"] = {"first": self.first, "kwh_per_m2": self.light.tolist()}
        return build_visit(raw, "drawn.toml", Path())


@dataclass(frozen=True, slots=True)
class Standing:
    """What is the same every year at one site, and nobody knows: shares over what is thought.

    Parameters
    ----------
    climate : light over the published means
    estimate : of the estimate's energy
    season : of the estimate's energy in the winter half-year over the summer's
    light_source : of the told light
    """

    climate: float
    estimate: float
    season: float
    light_source: float


def standing(rng: np.random.Generator) -> Standing:
    """Draw a site's climate over the published means, and the biases of estimate and light.

    Parameters
    ----------
    rng : where the draws come from
    """
    newer = float(numbers("doubts.toml")["newer_light"].value)
    return Standing(
        climate=rng.normal(newer, constant("visit.newer_light_doubt")),
        estimate=rng.normal(0.0, constant("visit.model_fraction")),
        season=rng.normal(0.0, constant("visit.season_fraction")),
        light_source=rng.normal(0.0, constant("visit.light_bias_fraction")),
    )


def drawn_light(rng: np.random.Generator) -> Array:
    """Draw twelve months' light over their long mean: what the year shares, and each alone.

    Parameters
    ----------
    rng : where the draws come from
    """
    table = {row["month"]: float(row["spread_fraction"]) for row in rows("visit_light_spread.csv")}
    deviation = np.array([table[month] for month in MONTHS])
    together = constant("visit.drawn_shared_variance")
    shared = rng.normal() * together**0.5
    alone = rng.normal(size=12) * (1.0 - together) ** 0.5
    return np.asarray(1.0 + deviation * (shared + alone))


def drawn_year(
    year: SiteYear,
    fault: Array | float,
    rng: np.random.Generator,
    own: Standing | None = None,
    begins: tuple[int, int, int] | None = None,
) -> Drawn:
    """Draw a year of a site that lacks a share of its energy.

    Parameters
    ----------
    year : the site's estimate
    fault : share lost, of every month or (12,) by calendar month
    rng : where the draws come from
    own : what is the same every year there; drawn if not given
    begins : calendar year, month and age [years] at the beginning; drawn if not given
    """
    own = standing(rng) if own is None else own
    calendar, begin, age = begins or _begins(rng)
    month = reference_month()
    base_kwh, base_light = np.bincount(month, year.day_kwh), np.bincount(month, year.day_ghi)
    light = drawn_light(rng) * (1.0 + own.climate)
    left = _left(rng, age)
    kwh = (
        base_kwh * light**year.energy_power * (1.0 - fault)
        * (1.0 + own.estimate + own.season * (WINTER - 0.5))
        * (1.0 + rng.normal(0.0, constant("visit.month_scatter_fraction"), 12))
        * left
    )  # fmt: skip
    told = light * base_light * (1.0 + own.light_source)
    told = told * (1.0 + rng.normal(0.0, constant("visit.light_month_fraction"), 12))
    order = (begin - 1 + np.arange(12)) % 12
    first_total = rng.uniform(0.0, _LARGEST_TOTAL_KWH)
    totals = np.floor(first_total + np.concatenate([[0.0], np.cumsum(kwh[order])]))
    return Drawn(
        first=f"{calendar}-{begin:02d}",
        installed=datetime.date(calendar - age, begin, 1),
        visited=datetime.date(calendar + 1, begin, 1),
        made_kwh=kwh[order],
        totals=totals,
        light=np.round(told[order], 1),
    )


def _begins(rng: np.random.Generator) -> tuple[int, int, int]:
    return _CALENDAR, int(rng.integers(1, 13)), int(rng.integers(1, _OLDEST_YEARS + 1))


def _left(rng: np.random.Generator, age: int) -> float:
    """Draw what ageing leaves after so many years."""
    mean, spread = constant("visit.drawn_ageing_per_year"), constant("visit.ageing_per_year")
    return float(constant("visit.drawn_first_left") * (1.0 - rng.normal(mean, spread)) ** age)
