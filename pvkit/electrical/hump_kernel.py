"""The humps of chains' power by voltage: each, the highest, and where a climbing tracker ends.

Compiled. Import this module inside the function that needs it: it brings numba along.
"""

from typing import NamedTuple

import numpy as np

from pvkit.compiled import compiled, inlined
from pvkit.electrical.cell_kernel import Cell
from pvkit.electrical.chain_kernel import Chains, chain_amps, chain_volts
from pvkit.electrical.sweep_kernel import Sweep, grid_amps, grid_watts
from pvkit.electrical.third_kernel import Mixed

BUILT_ON = "3e5730c9e135"  # the kernels imported here: see their test

WORTH_A_LOOK = 0.97  # of the best on the grid: humps that may be the highest
VOLTS_DONE = 3e-4  # of the voltage; power is flat there, to a millionth
AMPS_DONE = 2e-4  # the same of the current, which hardly moves at the knee
BEND = 23.0  # of a cell's curve at its maximum, only to steer the first step
MOST_STEPS = 60


class Reach(NamedTuple):
    """Where a tracker looks: lowest, highest and first voltage [V], and its step [V]."""

    low: float
    high: float
    start: float
    step: float


class Bounds(NamedTuple):
    """Where a lone chain's hump lies: lowest, highest and first current [A]; how it bends."""

    low: float
    high: float
    start: float
    bend: float


@compiled
def total_amps(
    volts: float, most: float, chains: Chains, sweep: Sweep, mixed: Mixed, cell: Cell
) -> tuple[float, float]:
    """Give the current [A] of chains side by side at their one voltage, and dI/dV."""
    total, slope = 0.0, 0.0
    for chain in range(len(chains.kinds)):
        amps, falls = chain_amps((volts, sweep.guess[chain], most), chain, chains, mixed, cell)
        sweep.guess[chain] = amps
        total, slope = total + amps, slope + falls
    return total, slope


@inlined
def chain_hump(
    bounds: Bounds, reach: Reach, chains: Chains, mixed: Mixed, cell: Cell
) -> tuple[float, float]:
    """Give power [W] and voltage [V] of a lone chain's hump, or at the end of its reach.

    What is brought to 0 is the slope of power by voltage, which is nearly straight in current.
    """
    low, high, amps = bounds.low, bounds.high, bounds.start
    best_w, best_a, best_v, before_a, before = -np.inf, amps, 0.0, -1.0, 0.0
    for _ in range(MOST_STEPS):
        volts, slope = chain_volts(amps, 0, chains, mixed, cell)
        gain = amps + volts / slope if slope < 0.0 else np.inf
        if volts * amps > best_w:
            best_w, best_a, best_v = volts * amps, amps, volts
            low, high = (low, amps) if gain > 0.0 else (amps, high)
            line = amps - gain / bounds.bend
            if before_a >= 0.0 and gain != before:
                line = amps - gain * (amps - before_a) / (gain - before)
            before_a, before = amps, gain
        else:  # beyond the hump
            low, high = (low, amps) if amps > best_a else (amps, high)
            line = low - 1.0
        ahead = line if low < line < high else 0.5 * (low + high)
        if abs(ahead - amps) < AMPS_DONE * amps:
            break
        amps = ahead
    amps, volts = best_a, best_v
    if reach.low <= volts <= reach.high:
        return volts * amps, volts
    volts = min(max(volts, reach.low), reach.high)
    amps, _ = chain_amps((volts, amps, bounds.high), 0, chains, mixed, cell)
    return volts * amps, volts


@compiled
def hump(
    most: float, reach: Reach, chains: Chains, sweep: Sweep, mixed: Mixed, cell: Cell
) -> tuple[float, float]:
    """Give power [W] and voltage [V] of the one hump within reach."""
    low, high = reach.low, reach.high
    volts = min(max(reach.start, low), high)
    best_w, best_v, before_v, before = -np.inf, volts, -1.0, 0.0
    for _ in range(MOST_STEPS):
        amps, slope = total_amps(volts, most, chains, sweep, mixed, cell)
        gain = amps + volts * slope
        if volts * amps > best_w:
            best_w, best_v = volts * amps, volts
            low, high = (volts, high) if gain > 0.0 else (low, volts)
            line = volts - gain / (slope * BEND)
            if before_v >= 0.0 and gain != before:
                line = volts - gain * (volts - before_v) / (gain - before)
            before_v, before = volts, gain
        else:  # beyond the hump
            low, high = (low, volts) if volts > best_v else (volts, high)
            line = low - 1.0
        ahead = line if low < line < high else 0.5 * (low + high)
        if abs(ahead - volts) < VOLTS_DONE * volts:
            break
        volts = ahead
    return best_w, best_v


@compiled
def hump_from(
    most: float, reach: Reach, chains: Chains, sweep: Sweep, mixed: Mixed, cell: Cell
) -> tuple[float, float]:
    """Give power [W] and voltage [V] of a hump, its currents guessed from the grid."""
    for chain in range(len(chains.kinds)):
        sweep.guess[chain] = grid_amps(reach.start, chain, sweep)
    if len(chains.kinds) > 1:
        return hump(most, reach, chains, sweep, mixed, cell)
    low, high = grid_amps(reach.high, 0, sweep), grid_amps(reach.low, 0, sweep)
    bounds = Bounds(low, max(high, sweep.guess[0]), sweep.guess[0], BEND)
    return chain_hump(bounds, reach, chains, mixed, cell)


@compiled
def highest_hump(
    most: float, reach: Reach, chains: Chains, sweep: Sweep, mixed: Mixed, cell: Cell
) -> tuple[float, float]:
    """Give power [W] and voltage [V] of the highest hump within reach."""
    volts, watts, last = sweep.at_volts, sweep.at_watts, sweep.size[1] - 1
    best, found_w, found_v = 0.0, -1.0, 0.0
    for i in range(last + 1):
        if reach.low <= volts[i] <= reach.high:
            best = max(best, watts[i])
    for i in range(last + 1):
        inside = reach.low <= volts[i] <= reach.high
        left = i == 0 or volts[i - 1] > reach.high or watts[i - 1] <= watts[i]
        right = i == last or volts[i + 1] < reach.low or watts[i + 1] <= watts[i]
        if inside and left and right and watts[i] >= WORTH_A_LOOK * best:
            low = max(reach.low, volts[min(i + 1, last)])
            high = min(reach.high, volts[max(i - 1, 0)])
            near = Reach(low, high, volts[i], 0.0)
            one_w, one_v = hump_from(most, near, chains, sweep, mixed, cell)
            if one_w > found_w:
                found_w, found_v = one_w, one_v
    if found_w < 0.0:  # the window lies between two points of the grid
        found_w, found_v = hump_from(most, reach, chains, sweep, mixed, cell)
    return found_w, found_v


@compiled
def climbed_hump(
    at_best: tuple[float, float],
    reach: Reach,
    chains: Chains,
    sweep: Sweep,
    mixed: Mixed,
    cell: Cell,
) -> tuple[float, float]:
    """Give power [W] and voltage [V] where a tracker ends that only ever climbs, step by step.

    It climbs on the grid, and so over dips too small for that. ``at_best`` is the voltage of the
    highest hump, on which power is given as -1, and the most current.
    """
    highest, most = at_best
    at, step = reach.start, reach.step
    watts = grid_watts(at, sweep)
    if grid_watts(at - step, sweep) > grid_watts(at + step, sweep):
        step = -step
    while reach.low < at + step < reach.high:
        ahead = grid_watts(at + step, sweep)
        if ahead <= watts:
            break
        at, watts = at + step, ahead
    low, high = max(reach.low, at - abs(step)), min(reach.high, at + abs(step))
    if low <= highest <= high:
        return -1.0, highest
    near = Reach(low, high, at, 0.0)
    return hump_from(most, near, chains, sweep, mixed, cell)
