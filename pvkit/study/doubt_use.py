"""How far the share used at home may lie from the estimate."""

from collections.abc import Iterator
from dataclasses import replace
from statistics import NormalDist

import numpy as np

from pvkit.home.flows import Years, life_flows
from pvkit.study.doubt import Range, Ranges
from pvkit.study.doubt_flows import scaled_demand
from pvkit.study.doubt_sizes import doubts
from pvkit.study.stages import Stages

# Standard deviations between the middle and what one case in ten goes beyond.
REACH = NormalDist().inv_cdf(0.9)


def used_range(stages: Stages, ranges: Ranges) -> Range:
    """Say how far the share used at home may lie from the estimate, a year of a new system.

    Parameters
    ----------
    stages : a site taken through every stage
    ranges : of the same site, for the spread of a year's yield

    Returns
    -------
    the cautious figure (less is used), the estimate's own, the hopeful figure

    Notes
    -----
    The home is run again at both ends of the yield's doubt and of the demand's; habits move what
    is used as it is made. The three are combined in quadrature, up and down apart
    (JCGM 100:2008, 5.1.2).
    """
    middle = _share(_run(stages, 1.0, [1.0]))[0]
    ends = [shares - middle for shares in _cases(stages, ranges)]
    up, down = (
        np.sqrt(sum(max(0.0, *(sign * ends_of)) ** 2 for ends_of in ends)) for sign in (1.0, -1.0)
    )
    low, high = float(max(middle - down, 0.0)), float(min(middle + up, 1.0))
    return Range(p90=low, p50=float(middle), p10=high)


def yearly_spread_fraction(ranges: Ranges) -> float:
    """Give one standard deviation of a year's yield as a share of its middle."""
    found = ranges.yield_kwh
    if not found.p50 or found.p10 is None or found.p90 is None:
        return 0.0
    return (found.p10 - found.p90) / (2.0 * REACH * found.p50)


def _cases(stages: Stages, ranges: Ranges) -> Iterator[np.ndarray]:
    """Give the share at both ends of each doubt."""
    sizes = doubts(stages.site)
    far = REACH * yearly_spread_fraction(ranges)
    yield _share(_run(stages, 1.0, [max(1.0 - far, 0.0), 1.0 + far]))
    demand = REACH * sizes["demand"].spread
    ends = [_share(_run(stages, float(np.exp(each)), [1.0])) for each in (-demand, demand)]
    yield np.concatenate(ends)
    habits = REACH * sizes["habits"].spread
    yield _with_habits(_run(stages, 1.0, [1.0]), np.exp(np.array([-habits, habits])))


def _run(stages: Stages, demand: float, scale: list[float]) -> Years:
    home = replace(stages.home, demand=scaled_demand(stages.home.demand, demand))
    return life_flows(stages.solar, home, np.array(scale), stages.steering)


def _share(years: Years) -> np.ndarray:
    left = years.export_kwh + years.spilled_kwh
    made = years.yield_kwh
    return np.divide(made - left, made, out=np.zeros_like(made), where=made > 0.0)


def _with_habits(years: Years, factor: np.ndarray) -> np.ndarray:
    """Let more or less of what is made be used as it is made, and so leave less or more over."""
    avoided = float(years.demand_kwh.sum() - years.import_kwh[0])
    surplus = float(years.export_kwh[0] + years.cylinder_kwh[0])
    moved = np.clip((factor - 1.0) * avoided, -avoided, min(surplus, float(years.import_kwh[0])))
    exported = float(years.export_kwh[0])
    less = moved * (exported / surplus if surplus > 0.0 else 0.0)
    made = float(years.yield_kwh[0])
    return np.asarray(_share(years)[0] + (less / made if made > 0.0 else 0.0 * less))
