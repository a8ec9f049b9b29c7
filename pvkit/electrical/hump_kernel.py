"""Chains side by side at one voltage, and the humps of their power, compiled.

Import this module inside the function that needs it: it brings numba along.
"""

from typing import NamedTuple

import numpy as np

from pvkit.electrical.cell_kernel import Array, Cell, IntArray, add_even, compiled
from pvkit.electrical.chain_kernel import Chains, chain_amps
from pvkit.electrical.third_kernel import Mixed, add_mixed

BUILT_ON = "ec0bd32e62ea"  # the kernels imported here: see their test

GRID = 128  # currents at which chains are looked over for humps
WORTH_A_LOOK = 0.97  # of the best on the grid: humps that may be the highest
VOLTS_DONE = 3e-4  # of the voltage; power is flat there, to a millionth
BEND = 22.0  # bend of a cell's curve at its maximum, only to steer the first step
MOST_STEPS = 60


class Sweep(NamedTuple):
    """Room for a look over the chains.

    A grid of currents, each chain's volts there, and the power at all those voltages, falling; by
    chain a current to guess first and a place.
    """

    amps: Array
    volts: Array
    at_volts: Array
    at_watts: Array
    guess: Array
    place: IntArray


class Reach(NamedTuple):
    """Where a tracker looks: lowest, highest and first voltage [V], its step [V], most amps."""

    low: float
    high: float
    start: float
    step: float
    most: float


def room_for_sweep(chains: int) -> Sweep:
    """Make room for a look over chains side by side."""
    return Sweep(
        np.zeros(GRID),
        np.zeros((chains, GRID)),
        np.zeros(chains * GRID),
        np.zeros(chains * GRID),
        np.zeros(chains),
        np.zeros(chains, np.int64),
    )


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


@compiled
def hump(
    reach: Reach, chains: Chains, sweep: Sweep, mixed: Mixed, cell: Cell
) -> tuple[float, float]:
    """Give power [W] and voltage [V] of the one hump within reach."""
    low, high = reach.low, reach.high
    volts = min(max(reach.start, low), high)
    best_w, best_v, before_v, before = -np.inf, volts, -1.0, 0.0
    for _ in range(MOST_STEPS):
        amps, slope = total_amps(volts, reach.most, chains, sweep, mixed, cell)
        gain = amps + volts * slope
        if volts * amps > best_w:
            best_w, best_v = volts * amps, volts
        if gain > 0.0:
            low = volts
        else:
            high = volts
        line = volts - gain / (slope * BEND)
        if before_v >= 0.0 and gain != before:
            line = volts - gain * (volts - before_v) / (gain - before)
        before_v, before = volts, gain
        ahead = line if low <= line <= high else 0.5 * (low + high)
        if abs(ahead - volts) < VOLTS_DONE * volts:
            break
        volts = ahead
    return best_w, best_v


@compiled
def grid_amps(volts: float, chain: int, sweep: Sweep) -> float:
    """Read a chain's current at a voltage from its grid [A]."""
    row = sweep.volts[chain]
    if volts >= row[0]:
        return 0.0
    j = 0
    while j < len(row) - 2 and row[j + 1] > volts:
        j += 1
    along = (row[j] - volts) / max(row[j] - row[j + 1], 1e-12)
    return float(sweep.amps[j] + min(along, 1.0) * (sweep.amps[j + 1] - sweep.amps[j]))


@compiled
def look_over(most: float, chains: Chains, sweep: Sweep, mixed: Mixed, cell: Cell) -> None:
    """Fill the grid: each chain's voltage by current, and the power at all those voltages."""
    side_by_side, grid = len(chains.kinds), len(sweep.amps)
    for j in range(grid):
        sweep.amps[j] = most * j / grid
    for chain in range(side_by_side):
        row = sweep.volts[chain]
        row[:] = 0.0
        for kind in range(chains.kinds[chain]):
            number, light = chains.number[chain, kind], chains.light[chain, kind]
            add_even(sweep.amps, number, light, row, cell)
        for k in range(chains.mixed_number[chain]):
            add_mixed(sweep.amps, chains.mixed[chain, k], row, mixed)
    sweep.place[:] = 0
    for i in range(side_by_side * grid):  # all chains' voltages in one falling order
        chain, volts = 0, -np.inf
        for other in range(side_by_side):
            j = sweep.place[other]
            if j < grid and sweep.volts[other, j] > volts:
                chain, volts = other, sweep.volts[other, j]
        total = sweep.amps[sweep.place[chain]]
        sweep.place[chain] += 1
        for other in range(side_by_side):
            if other != chain:
                total += grid_amps(volts, other, sweep)
        sweep.at_volts[i], sweep.at_watts[i] = volts, volts * total


@compiled
def hump_from(
    reach: Reach, chains: Chains, sweep: Sweep, mixed: Mixed, cell: Cell
) -> tuple[float, float]:
    """Give power [W] and voltage [V] of a hump, its currents guessed from the grid."""
    for chain in range(len(chains.kinds)):
        sweep.guess[chain] = grid_amps(reach.start, chain, sweep)
    return hump(reach, chains, sweep, mixed, cell)


@compiled
def highest_hump(
    reach: Reach, chains: Chains, sweep: Sweep, mixed: Mixed, cell: Cell
) -> tuple[float, float]:
    """Give power [W] and voltage [V] of the highest hump within reach."""
    volts, watts, last = sweep.at_volts, sweep.at_watts, len(sweep.at_volts) - 1
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
            near = Reach(low, high, volts[i], 0.0, reach.most)
            one_w, one_v = hump_from(near, chains, sweep, mixed, cell)
            if one_w > found_w:
                found_w, found_v = one_w, one_v
    if found_w < 0.0:  # the window lies between two points of the grid
        found_w, found_v = hump_from(reach, chains, sweep, mixed, cell)
    return found_w, found_v


@compiled
def grid_watts(volts: float, chains: Chains, sweep: Sweep) -> float:
    """Read the power at a voltage from the grid [W]."""
    amps = 0.0
    for chain in range(len(chains.kinds)):
        amps += grid_amps(volts, chain, sweep)
    return volts * amps


@compiled
def climbed_hump(
    reach: Reach, highest: float, chains: Chains, sweep: Sweep, mixed: Mixed, cell: Cell
) -> tuple[float, float]:
    """Give power [W] and voltage [V] where a tracker ends that only ever climbs, step by step.

    It climbs on the grid, and so over dips too small for that. Power is -1 if it ends on the hump
    at ``highest`` [V].
    """
    at, step = reach.start, reach.step
    watts = grid_watts(at, chains, sweep)
    if grid_watts(at - step, chains, sweep) > grid_watts(at + step, chains, sweep):
        step = -step
    while reach.low < at + step < reach.high:
        ahead = grid_watts(at + step, chains, sweep)
        if ahead <= watts:
            break
        at, watts = at + step, ahead
    low, high = max(reach.low, at - abs(step)), min(reach.high, at + abs(step))
    if low <= highest <= high:
        return -1.0, highest
    near = Reach(low, high, at, 0.0, reach.most)
    return hump_from(near, chains, sweep, mixed, cell)
