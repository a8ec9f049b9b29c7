"""What the site should have made over exactly the days of the readings, under their light."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.errors import Fault, InputError
from pvkit.site.money import Finance
from pvkit.site.visit_csv import listed
from pvkit.site.visit_readings import MonthlyLight
from pvkit.study.visit_period import Period
from pvkit.study.visit_site import SiteYear, day_of_year
from pvkit.tables import constant, numbers

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.int64]

DAYS_A_YEAR = 365.25
MJ_PER_KWH = 3.6
SHORTEST_MONTH_DAYS = 28


@dataclass(frozen=True, slots=True, eq=False)
class PeriodLight:
    """How bright the period's months were, over what is usual there.

    Parameters
    ----------
    share : (months,) light on level ground over the site year's
    known : (months,) given, rather than taken as usual
    """

    share: Array
    known: BoolArray


@dataclass(frozen=True, slots=True, eq=False)
class Expected:
    """What should have been made.

    Parameters
    ----------
    kwh : (spans, months) under the period's light, aged
    usual_kwh : of the whole period under usual light, aged
    poa_kwh_per_m2 : (spans, months) light on the planes
    age_years : at the middle of the period's energy
    light : of the months
    """

    kwh: Array
    usual_kwh: float
    poa_kwh_per_m2: Array
    age_years: float
    light: PeriodLight

    @property
    def span_kwh(self) -> Array:
        """What each span should have made."""
        return np.asarray(self.kwh.sum(axis=1))

    @property
    def light_known(self) -> bool:
        """Whether the light was given for (nearly) all months of the period."""
        known = self.kwh[:, self.light.known].sum()
        return bool(known >= constant("visit.known_fraction") * self.total_kwh)

    @property
    def total_kwh(self) -> float:
        """What the whole period should have made."""
        return float(self.kwh.sum())


def expected(
    year: SiteYear, period: Period, light: PeriodLight, finance: Finance, installed: int
) -> Expected:
    """Say what the site should have made.

    Parameters
    ----------
    year : the site's year
    period : the days counted
    light : how bright its months were
    finance : ageing rates
    installed : day of switching on, counted from 1 January 1970
    """
    place = day_of_year(period.days)
    age = (period.days.astype(np.int64).astype(np.float64) + 0.5 - installed) / DAYS_A_YEAR
    usual = period.by_month(year.day_kwh[place] * aged(age, finance))
    calendar = period.months % 12
    kwh = usual * light.share ** year.energy_power[calendar]
    poa = period.by_month(year.day_poa[place]) * light.share ** year.poa_power[calendar]
    weight = (period.cover * year.day_kwh[place]).sum(axis=0)
    middle = float(np.average(age, weights=weight)) if weight.sum() > 0 else float(age.mean())
    return Expected(kwh, float(usual.sum()), poa, max(0.0, middle), light)


def aged(age_years: Array, finance: Finance) -> Array:
    """Give the share of a new system's energy left at an age, as the cash table counts it.

    Parameters
    ----------
    age_years : since switching on
    finance : the first year is lower by the first-year loss, each later one by the yearly loss

    Examples
    --------
    >>> rates = Finance(degradation_first_year=0.02, degradation_per_year=0.005)
    >>> aged(np.array([0.4, 1.0, 2.9]), rates).round(5)
    array([0.98   , 0.9751 , 0.97022])
    """
    years = np.floor(np.maximum(age_years, 0.0))
    first = 1.0 - finance.degradation_first_year
    return np.asarray(first * (1.0 - finance.degradation_per_year) ** years)


def period_light(year: SiteYear, period: Period, given: MonthlyLight | None) -> PeriodLight:
    """Say how bright the period's months were.

    Without a figure a month counts as usual: the published regional means, brightened as newer
    readings say, or the site's own weather file as it is.

    Parameters
    ----------
    year : the site's year
    period : the days counted
    given : light on level ground of calendar months, from the user

    Raises
    ------
    InputError
        If a given month's light is nowhere near what the place can have.
    """
    months = period.months
    if year.of_the_period:
        return PeriodLight(np.ones(len(months)), np.ones(len(months), bool))
    usual_share = 1.0 + (newer_light() if year.regional else 0.0)
    share = np.full(len(months), usual_share)
    known = np.zeros(len(months), bool)
    if given is None:
        return PeriodLight(share, known)
    usual = _usual_light(year, period)
    at = months - given.first
    known = (at >= 0) & (at < len(given.kwh_per_m2))
    share[known] = given.kwh_per_m2[at[known]] / usual[known]
    _refuse_odd(months, share, known, usual)
    return PeriodLight(share, known)


def newer_light() -> float:
    """Give how much brighter today's light is than the published regional means, as a share."""
    return float(numbers("doubts.toml")["newer_light"].value)


def _usual_light(year: SiteYear, period: Period) -> Array:
    """Give the light on level ground of each whole calendar month of the period [kWh/m²]."""
    first = period.months.astype("datetime64[M]").astype("datetime64[D]")
    usual = [
        year.day_ghi[day_of_year(begin + np.arange(int(length)))].sum()
        for begin, length in zip(first, period.lengths, strict=True)
    ]
    return np.array(usual)


def _refuse_odd(months: IntArray, share: Array, known: BoolArray, usual: Array) -> None:
    low, high = constant("visit.light_low"), constant("visit.light_high")
    odd = np.flatnonzero(known & ((share < low) | (share > high)))
    if odd.size == 0:
        return
    typical = float(np.median(share[known]))
    fix = "check the figure and its month; light on level ground, not in the panels' plane"
    if MJ_PER_KWH / high < typical < MJ_PER_KWH * high:
        fix = "these look like megajoules: divide by 3.6"
    elif typical < 1.0 / SHORTEST_MONTH_DAYS * high:
        fix = "these look like the mean of a day: multiply by the days of the month"
    raise InputError(*listed([
        Fault(f"irradiation, {np.datetime64(int(months[at]), 'M')}",
              f"found {share[at] * usual[at]:.4g} kWh/m2",
              f"about {low * usual[at]:.0f} to {high * usual[at]:.0f} kWh/m2 on level ground here",
              fix)
        for at in odd.tolist()
    ]))  # fmt: skip
