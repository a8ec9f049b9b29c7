"""How sure the answer is: what nine cases in ten reach, the middle, and what one in ten reaches."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pvkit.study.doubt_cases import Doubts, Ground, Outcomes, ground, outcomes
from pvkit.study.doubt_draws import Draws, draws
from pvkit.study.doubt_sizes import Doubt, Name, doubts, shared
from pvkit.study.stages import Stages

Array = NDArray[np.float64]

# Enough for the range that a single doubt makes.
DRAWS_EACH = 512


@dataclass(frozen=True, slots=True)
class Range:
    """How far a figure may lie apart.

    Parameters
    ----------
    p90 : the cautious figure: nine cases in ten do at least as well. Yield, saving and worth
        exceed it in 90 % of cases; a payback is no longer than it in 90 %
    p50 : the middle: half the cases do at least as well
    p10 : the hopeful figure: one case in ten does at least as well

    A payback that is not within the span is None.
    """

    p90: float | None
    p50: float | None
    p10: float | None


@dataclass(frozen=True, slots=True)
class Sway:
    """What one doubt alone does, every other thing as estimated.

    Parameters
    ----------
    doubt : which, how large, and from where
    yield_kwh, saving_gbp, npv_gbp : the range it alone makes
    """

    doubt: Doubt
    yield_kwh: Range
    saving_gbp: Range
    npv_gbp: Range

    @property
    def swing_gbp(self) -> float:
        """Net present value between its hopeful and its cautious figure [GBP]."""
        return abs((self.npv_gbp.p10 or 0.0) - (self.npv_gbp.p90 or 0.0))


@dataclass(frozen=True, slots=True)
class Ranges:
    """How sure the answer is.

    Parameters
    ----------
    yield_kwh : energy of any one year with new panels, sunny or dull
    mean_yield_kwh : mean energy of the years counted, ageing in it
    saving_gbp : saving of the first year
    payback_years : years until it has paid for itself
    npv_gbp : net present value
    paid_back_fraction : share of cases that are paid back within the span
    worth_it_fraction : share of cases whose net present value is zero or more
    sways : what each doubt does alone, the one that moves the worth most first
    notes : what must stand beside the middle figure
    cases : number of cases drawn
    """

    yield_kwh: Range
    mean_yield_kwh: Range
    saving_gbp: Range
    payback_years: Range
    npv_gbp: Range
    paid_back_fraction: float
    worth_it_fraction: float
    sways: tuple[Sway, ...]
    notes: tuple[str, ...]
    cases: int


def ranges(stages: Stages, cases: int | None = None, seed: int | None = None) -> Ranges:
    """Draw many cases of a site and say how far apart their answers lie.

    Parameters
    ----------
    stages : a site taken through every stage
    cases : number of cases; the number in the tables if left out
    seed : of the draw; that of the tables if left out

    Returns
    -------
    ranges and what moves them; the same site always gives the same

    Raises
    ------
    InputError
        If the site names a file of many years of light that cannot be used.

    Notes
    -----
    A sunnier or duller year, and more or less dirt, shade or age, scale the whole year's metered
    energy alike. A kWh that habits move is worth a mean one, and is taken from what is sold and
    what heats water as they stand.
    """
    chosen, span = int(shared("seed")) if seed is None else seed, stages.site.finance.years
    drawn = draws(int(shared("draws")) if cases is None else cases, chosen, span)
    sizes = doubts(stages.site)
    base = ground(stages, sizes, drawn, _bias(stages))
    found = outcomes(base, sizes, drawn)
    few = draws(min(DRAWS_EACH, drawn.count), chosen, span)
    sways = sorted(_sways(base, sizes, few), key=lambda sway: -sway.swing_gbp)
    middle = _range(found.yield_kwh)
    return Ranges(
        yield_kwh=middle,
        mean_yield_kwh=_range(found.mean_yield_kwh),
        saving_gbp=_range(found.saving_gbp),
        payback_years=_years_range(found.payback_years),
        npv_gbp=_range(found.npv_gbp),
        paid_back_fraction=float(np.mean(np.isfinite(found.payback_years))),
        worth_it_fraction=float(np.mean(found.npv_gbp >= 0.0)),
        sways=tuple(sways),
        notes=tuple(_notes(stages, middle)),
        cases=drawn.count,
    )


def _bias(stages: Stages) -> float:
    """Give the factor on the built-in year's light that the site file asks for."""
    newer = stages.site.doubt.newer_light and stages.site.weather.source == "region"
    return 1.0 + shared("newer_light") if newer else 1.0


def _sways(base: Ground, sizes: Doubts, drawn: Draws) -> Iterator[Sway]:
    """Switch every doubt off but one, for each in turn; leave out those that move nothing."""
    none: dict[Name, Doubt] = {name: replace(d, spread=0.0) for name, d in sizes.items()}
    for name, doubt in sizes.items():
        if doubt.spread <= 0.0:
            continue
        found = outcomes(base, none | {name: doubt}, drawn)
        if _moves(found):
            yield Sway(
                doubt, _range(found.yield_kwh), _range(found.saving_gbp), _range(found.npv_gbp)
            )


def _moves(found: Outcomes) -> bool:
    return bool(np.ptp(found.npv_gbp) > 0.0 or np.ptp(found.yield_kwh) > 0.0)


def _range(values: Array) -> Range:
    low, middle, high = (float(value) for value in np.quantile(values, (0.1, 0.5, 0.9)))
    return Range(p90=low, p50=middle, p10=high)


def _years_range(values: Array) -> Range:
    """Give the range of years, few being good; one that is not in the span is None."""
    cautious, middle, hopeful = (
        float(value) if np.isfinite(value) else None
        for value in np.quantile(values, (0.9, 0.5, 0.1), method="inverted_cdf")
    )
    return Range(p90=cautious, p50=middle, p10=hopeful)


def _notes(stages: Stages, middle: Range) -> Iterator[str]:
    """Say what a middle figure made from the built-in light rests on."""
    if stages.site.weather.source != "region" or middle.p50 is None:
        return
    more = shared("newer_light")
    if stages.site.doubt.newer_light:
        yield (
            f"The range is worked out with {100 * more:g} % more light than the published means, "
            "which are of an older, duller period; the estimate itself is not."
        )
        return
    yield (
        "The middle figures are made from published means of an older, duller period; readings at "
        "Bedford from 2000 to 2022 are 3 to 10 % brighter than the regions around it. With "
        f"{100 * more:g} % more light the middle yield would be {middle.p50 * (1 + more):,.0f} kWh "
        f"in place of {middle.p50:,.0f} kWh."
    )
