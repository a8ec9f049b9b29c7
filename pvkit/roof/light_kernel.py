"""Reading the sky-view table, compiled: at each half-hour's sun, and over the whole sky.

Import this module inside the function that needs it: it brings numba along.
"""

import math

import numpy as np
from numpy.typing import NDArray

from pvkit.compiled import compiled

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Float32 = NDArray[np.float32]


@compiled
def read_table(
    tables: tuple[Float32, Float32],
    bearing: Array,
    elevation: Array,
    season: IntArray,
    above: Array,
    shares: tuple[Float32, Float32],
) -> None:
    """Fill mean and worst ``shares``, each (times, sections), of light not hidden.

    Straight between the middles of four parts of the sky; round through north; the lowest and
    highest parts reach to level and overhead. ``bearing`` and ``elevation`` in rad; ``above`` is 0
    where something else hides the sun from all sections.
    """
    hidden, darkest = tables
    mean, worst = shares
    _, bearings, elevations, sections = hidden.shape
    turn, step = 2.0 * math.pi / bearings, math.pi / 2.0 / elevations
    for t in range(len(bearing)):
        b = bearing[t] / turn - 0.5
        e = min(max(elevation[t] / step - 0.5, 0.0), elevations - 1.0)
        left, low = math.floor(b), min(int(e), elevations - 2)
        right_share, high_share = b - left, e - low
        one, other = int(left) % bearings, (int(left) + 1) % bearings
        a1 = (1.0 - right_share) * (1.0 - high_share)
        a2, a3 = right_share * (1.0 - high_share), (1.0 - right_share) * high_share
        a4, s = right_share * high_share, season[t]
        for n in range(sections):
            lost = (
                a1 * hidden[s, one, low, n] + a2 * hidden[s, other, low, n]
                + a3 * hidden[s, one, low + 1, n] + a4 * hidden[s, other, low + 1, n]
            )  # fmt: skip
            dark = (
                a1 * darkest[s, one, low, n] + a2 * darkest[s, other, low, n]
                + a3 * darkest[s, one, low + 1, n] + a4 * darkest[s, other, low + 1, n]
            )  # fmt: skip
            mean[t, n] = max(1.0 - lost, 0.0) * above[t]
            worst[t, n] = min(max(1.0 - dark, 0.0) * above[t], mean[t, n])


@compiled
def sum_table(hidden: Float32, weight: Array, lost: Array) -> None:
    """Fill ``lost`` (seasons, sections) with the table's sum weighted by part of the sky."""
    seasons, bearings, elevations, sections = hidden.shape
    for season in range(seasons):
        for b in range(bearings):
            for e in range(elevations):
                w = weight[b, e]
                if w > 0.0:
                    for n in range(sections):
                        lost[season, n] += w * hidden[season, b, e, n]
