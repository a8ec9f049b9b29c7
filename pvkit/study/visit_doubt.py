"""How far what was made may lie from what was expected with nothing wrong at all."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.study.visit_expected import Expected
from pvkit.study.visit_period import Period
from pvkit.study.visit_site import SiteYear
from pvkit.tables import MONTHS, constant, numbers, rows

Array = NDArray[np.float64]

SPREAD_FILE = "visit_light_spread.csv"


@dataclass(frozen=True, slots=True)
class Doubt:
    """Standard deviations of made over expected, as shares, of a sound system.

    Parameters
    ----------
    light : of the period's light, and of what the site makes of it
    light_of_its_own : the part of that which another year of the same source does not share
    model : of the estimate itself, the same every year
    ageing : of how fast it ages
    meter : of the readings' last digit
    """

    light: float
    light_of_its_own: float
    model: float
    ageing: float
    meter: float

    @property
    def total(self) -> float:
        """All together, as a share."""
        parts = (self.light, self.model, self.ageing, self.meter)
        return float(np.sqrt(sum(part**2 for part in parts)))


@dataclass(frozen=True, slots=True, eq=False)
class SpanDoubt:
    """The doubt of single spans and of the whole.

    Parameters
    ----------
    covariance : (spans, spans) of the spans' shares, from light and meter alone
    whole : of the period as a whole
    """

    covariance: Array
    whole: Doubt


def doubt_of(year: SiteYear, period: Period, should: Expected) -> SpanDoubt:
    """Combine all doubts of a period in quadrature (JCGM 100:2008, 5.1.2 and 5.2.2).

    Parameters
    ----------
    year : the site's year
    period : the days counted
    should : what should have been made
    """
    span_kwh = np.maximum(should.span_kwh, np.finfo(float).tiny)
    between = _light_covariance(year, period, should, shared=True)
    weights = should.kwh / span_kwh[:, None]
    days = period.by_month(np.ones(len(period.days)))
    covariance = weights @ between @ weights.T
    covariance += np.diag(
        [_sampled(w, d, year, period) for w, d in zip(weights, days, strict=True)]
    )
    covariance += np.diag((_step_kwh(period) / span_kwh) ** 2)
    total = max(should.total_kwh, float(np.finfo(float).tiny))
    share = should.kwh.sum(axis=0) / total
    sampled = _sampled(share, days.sum(axis=0), year, period)
    own = _light_covariance(year, period, should, shared=False)
    whole = Doubt(
        light=float(np.sqrt(share @ between @ share + sampled)),
        light_of_its_own=float(np.sqrt(share @ own @ share + sampled)),
        model=constant("visit.model_fraction"),
        ageing=constant("visit.ageing_per_year") * should.age_years,
        meter=_step_kwh(period) / total,
    )
    return SpanDoubt(covariance, whole)


def _light_covariance(year: SiteYear, period: Period, should: Expected, *, shared: bool) -> Array:
    """Give the covariance of the months' energy from light alone, as shares.

    Parameters
    ----------
    shared : count what every month shares with all others: the bias of the light's source, and
        of what is taken as usual
    """
    calendar, known = period.months % 12, should.light.known
    power = year.energy_power[calendar]
    spread = light_spread()[calendar]
    apart = np.abs(period.months[:, None] - period.months[None, :])
    alike = np.where(apart < 12, month_correlation(), 0.0)
    np.fill_diagonal(alike, 1.0)
    usual = np.outer(spread, spread) * alike * np.outer(~known, ~known)
    measured = np.diag(np.where(known, constant("visit.light_month_fraction") ** 2, 0.0))
    light = usual + measured
    if shared:
        base = constant("visit.newer_light_doubt") if year.regional else yearly_spread()
        light += np.outer(~known, ~known) * base**2
        light += np.outer(known, known) * constant("visit.light_bias_fraction") ** 2
    scatter = constant("visit.month_scatter_fraction") ** 2
    return np.asarray(light * np.outer(power, power) + scatter * np.eye(len(power)))


def _sampled(share: Array, days: Array, year: SiteYear, period: Period) -> float:
    """Give the variance of counting part of a month: nobody knows which of its days were bright.

    The mean of n of N days of a series with day-to-day memory has the variance of one day times
    (1/n - 1/N) (1 + memory) / (1 - memory).
    """
    if year.of_the_period:
        return 0.0
    memory = constant("region.day_memory")
    stretch = (1.0 + memory) / (1.0 - memory)
    counted = np.maximum(days, 0.5)
    left = np.maximum(1.0 / counted - 1.0 / period.lengths, 0.0)
    one_day = year.day_spread[period.months % 12] ** 2
    return float((share**2 * one_day * left * stretch).sum())


def _step_kwh(period: Period) -> float:
    """Give the standard deviation of a difference of two readings cut to whole steps [kWh]."""
    return float(period.step_kwh / np.sqrt(6.0))


def light_spread() -> Array:
    """Give the year-to-year standard deviation of each calendar month's light, as a share."""
    found = {row["month"]: float(row["spread_fraction"]) for row in rows(SPREAD_FILE)}
    return np.array([found[month] for month in MONTHS])


def yearly_spread() -> float:
    """Give the year-to-year standard deviation of a year's light, as a share."""
    return float(numbers("doubts.toml")["sun.near_bedford"].value["spread"])


def month_correlation() -> float:
    """Give how alike the months of one year are, from the spreads of months and of years.

    With one correlation r between any two months of shares w and spreads s, a year's variance is
    ``(1 - r) Σ (w s)² + r (Σ w s)²``; r follows.

    Examples
    --------
    >>> 0.0 < month_correlation() < 0.05
    True
    """
    mean = next(row for row in rows("sap_u3_irradiance_w_per_m2.csv") if row["region"] == "0")
    days = [float(row["days"]) for row in rows("sap_u3_declination_deg.csv")]
    light = np.array([float(mean[month]) for month in MONTHS]) * np.array(days)
    part = light / light.sum() * light_spread()
    alone, together = float((part**2).sum()), float(part.sum()) ** 2
    return (yearly_spread() ** 2 - alone) / (together - alone)
