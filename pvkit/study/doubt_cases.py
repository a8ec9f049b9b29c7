"""The cases of one site: what each would yield, save and be worth."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.ledger.cash import ageing
from pvkit.ledger.deal import deal
from pvkit.ledger.payback import paybacks
from pvkit.ledger.price_paths import PricePaths, price_paths
from pvkit.ledger.worth import weights
from pvkit.study.doubt_draws import PRICES, Draws
from pvkit.study.doubt_flows import FlowTable, YearSums, flow_table
from pvkit.study.doubt_sizes import Doubt, Name
from pvkit.study.stages import Stages

Array = NDArray[np.float64]
Doubts = Mapping[Name, Doubt]

# Draws beyond these many standard deviations are taken as these many: one case in 16,000.
FARTHEST = 4.0
YIELD_NODES = 13
MOST_LOST = 0.99
DEMAND_NODES = (-0.9, -0.45, 0.0, 0.45, 0.9)


@dataclass(frozen=True, slots=True, eq=False)
class Outcomes:
    """The answers of every case, all (cases,).

    Parameters
    ----------
    yield_kwh : metered energy of one year with new panels
    mean_yield_kwh : the mean of all years counted, ageing in it
    saving_gbp : saving of the first year [GBP, today's pounds]
    payback_years : years until paid back, infinite where not in the span
    npv_gbp : net present value [GBP]
    """

    yield_kwh: Array
    mean_yield_kwh: Array
    saving_gbp: Array
    payback_years: Array
    npv_gbp: Array


@dataclass(frozen=True, slots=True)
class Losses:
    """What the doubts of the yield act upon.

    Parameters
    ----------
    shade, dirt : part of the energy that they take in the estimate [-]
    bias : factor on the light of the built-in year, 1 for none
    """

    shade: float
    dirt: float
    bias: float


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """What all cases of a site stand on.

    Parameters
    ----------
    stages : the estimate
    table : flows for any yield and demand
    losses : of the estimate
    """

    stages: Stages
    table: FlowTable
    losses: Losses


def ground(stages: Stages, doubts: Doubts, drawn: Draws, bias: float) -> Ground:
    """Run the home over every yield and demand that the cases will ask for."""
    shade, dirt = _share(stages, _shade_steps(stages)), _share(stages, ("dirt",))
    losses = Losses(shade, dirt, bias)
    wanted, aged = yields(stages, losses, doubts, drawn), ageing(stages.site.finance)
    low, high = min(wanted.min(), aged.min()), max(wanted.max(), aged.max())
    scale = np.linspace(low, max(high, 1.01 * low), YIELD_NODES)
    reach = FARTHEST * doubts["demand"].spread
    demand = np.exp(reach * np.array(DEMAND_NODES)) if reach > 0.0 else np.ones(1)
    return Ground(stages, flow_table(stages, demand, scale), losses)


def outcomes(base: Ground, doubts: Doubts, drawn: Draws) -> Outcomes:
    """Give every case's answers.

    Parameters
    ----------
    base : the site and its flows
    doubts : sizes; a size of 0 leaves that doubt out
    drawn : the scores of the cases
    """
    finance, cash = base.stages.site.finance, base.stages.cash
    scale = yields(base.stages, base.losses, doubts, drawn)
    sums = _with_habits(
        base.table.at(_factor(doubts["demand"], drawn), scale), _factor(doubts["habits"], drawn)
    )
    paths = _paths(base.stages, doubts, drawn)
    saving = sums.avoided_gbp * paths.imported
    saving += sums.sold_gbp * paths.exported
    saving += sums.gas_gbp * paths.gas
    net = np.empty((drawn.count, scale.shape[1] + 1))
    net[:, 0] = -cash.capital_gbp
    net[:, 1:] = saving + (cash.residual_gbp - cash.costs_gbp)[1:]
    new_kwh = float(base.stages.output.ac_kwh.sum())
    return Outcomes(
        yield_kwh=new_kwh * scale[:, 0] / ageing(finance)[0],
        mean_yield_kwh=new_kwh * scale.mean(axis=1),
        saving_gbp=saving[:, 0].copy(),
        payback_years=paybacks(np.cumsum(net, axis=1)),
        npv_gbp=net @ weights(finance, net.shape[1]),
    )


def yields(stages: Stages, losses: Losses, doubts: Doubts, drawn: Draws) -> Array:
    """Yield of each case's years over a new system's in an ordinary year, (cases, years)."""
    finance = stages.site.finance
    once = losses.bias * _factor(doubts["model"], drawn)
    once = once * _left(losses.shade, _factor(doubts["shade"], drawn))
    once = once * _left(losses.dirt, _factor(doubts["soiling"], drawn))
    rate = finance.degradation_per_year
    rates = np.minimum(rate * _factor(doubts["degradation"], drawn), 1.0)
    aged = ageing(finance) * ((1.0 - rates) / (1.0 - rate))[:, None] ** np.arange(finance.years)
    sun = _shaped(doubts["sun"], drawn.sun)
    return np.asarray(once[:, None] * aged * sun)


def _left(share: float, factor: Array) -> Array:
    """Give what a loss leaves when it is larger or smaller, over what it leaves as it stands."""
    return np.asarray((1.0 - np.minimum(share * factor, 1.0)) / (1.0 - share))


def _factor(doubt: Doubt, drawn: Draws) -> Array:
    """Give the factor of a doubt that holds for the whole span, (cases,)."""
    return _shaped(doubt, drawn.once[doubt.name])


def _shaped(doubt: Doubt, scores: Array) -> Array:
    """Turn scores into factors around 1."""
    moved = doubt.spread * np.clip(scores, -FARTHEST, FARTHEST)
    return np.exp(moved) if doubt.shape == "lognormal" else np.maximum(1.0 + moved, 0.0)


def _with_habits(sums: YearSums, factor: Array) -> YearSums:
    """Let more or less of the yield be used as it is made, and so leave less or more over.

    What is moved is worth what such a kWh is worth on average, in the house as in what is left
    over. A home cannot use more than it makes or than it needs.
    """
    wanted = (factor - 1.0)[:, None] * sums.avoided_kwh
    moved = np.clip(wanted, -sums.avoided_kwh, np.minimum(sums.surplus_kwh, sums.bought_kwh))
    used = 1.0 + _share_of(moved, sums.avoided_kwh)
    left = 1.0 - _share_of(moved, sums.surplus_kwh)
    return YearSums(
        avoided_kwh=sums.avoided_kwh + moved,
        avoided_gbp=sums.avoided_gbp * used,
        surplus_kwh=sums.surplus_kwh - moved,
        sold_gbp=sums.sold_gbp * left,
        gas_gbp=sums.gas_gbp * left,
        bought_kwh=sums.bought_kwh - moved,
    )


def _share_of(moved: Array, kwh: Array) -> Array:
    return np.divide(moved, kwh, out=np.zeros_like(kwh), where=kwh > 0.0)


def _paths(stages: Stages, doubts: Doubts, drawn: Draws) -> PricePaths:
    """Give the price paths of every case, each (cases, years)."""
    base, year = price_paths(deal(stages.site)), np.arange(stages.site.finance.years)
    drift = doubts["price_drift"].spread * np.clip(drawn.drift, -FARTHEST, FARTHEST)
    paths = []
    for n, path in enumerate((base.imported, base.exported, base.gas)):
        level = _shaped(doubts[PRICES[n]], drawn.level[:, n])
        paths.append(path * level[:, None] * (1.0 + drift[:, n])[:, None] ** year)
    return PricePaths(*paths)


def _shade_steps(stages: Stages) -> tuple[str, ...]:
    """Name the steps of the loss stack that a shade survey decides."""
    hidden = ("hidden_beam", "hidden_sky")
    return (*hidden, "uneven_light") if stages.site.obstacle else hidden


def _share(stages: Stages, steps: tuple[str, ...]) -> float:
    """Give what some steps of the loss stack take together, as a share."""
    left = 1.0
    for step in stages.output.stack:
        if step.id in steps:
            left *= 1.0 + step.percent_of_previous / 100.0
    return float(np.clip(1.0 - left, 0.0, MOST_LOST))
