"""How far the energy of a month may lie from the estimate: months differ more than years do."""

import numpy as np
from numpy.typing import NDArray

from pvkit.study.doubt import Range, Ranges
from pvkit.study.doubt_sizes import doubts
from pvkit.study.doubt_use import REACH, yearly_spread_fraction
from pvkit.study.stages import Stages
from pvkit.study.visit_doubt import light_spread, yearly_spread


def month_ranges(
    stages: Stages, monthly_kwh: NDArray[np.float64], ranges: Ranges
) -> tuple[Range, ...]:
    """Say how far each month of one year with new panels may lie from the estimate.

    Parameters
    ----------
    stages : a site taken through every stage
    monthly_kwh : (12,) the estimate's months
    ranges : of the same site

    Returns
    -------
    one range for each month; wider than the year's, whose months even each other out

    Notes
    -----
    The year's spread less its sunlight's, in quadrature with the spread of that month's light
    (``visit_light_spread.csv``), which goes with the site's own year-to-year spread.
    """
    sun = doubts(stages.site)["sun"].spread
    rest = max(yearly_spread_fraction(ranges) ** 2 - sun**2, 0.0)
    month = light_spread() * (sun / yearly_spread())
    reach = REACH * np.sqrt(rest + month**2)
    made = float(monthly_kwh.sum())
    middle = monthly_kwh * ((ranges.yield_kwh.p50 or 0.0) / made if made > 0.0 else 0.0)
    low, high = middle * np.maximum(1.0 - reach, 0.0), middle * (1.0 + reach)
    return tuple(
        Range(p90=float(a), p50=float(b), p10=float(c))
        for a, b, c in zip(low, middle, high, strict=True)
    )
