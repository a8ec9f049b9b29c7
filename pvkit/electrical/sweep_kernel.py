"""A first look over chains at a grid of currents: where their power may have humps, compiled.

Import this module inside the function that needs it: it brings numba along.
"""

from typing import NamedTuple

import numpy as np

from pvkit.compiled import compiled, inlined
from pvkit.electrical.cell_kernel import Array, Cell, IntArray, add_even
from pvkit.electrical.chain_kernel import Chains
from pvkit.electrical.third_kernel import Mixed, add_mixed

BUILT_ON = "7c37d38e2b4b"  # the kernels imported here: see their test

GRID = 128  # currents up to the most that can flow


class Sweep(NamedTuple):
    """Room for a look over chains side by side.

    Parameters
    ----------
    amps : (k,) grid of currents, of which the first ``size`` count
    volts : (chains, k) each chain's voltage there
    at_volts, at_watts : all chains' voltages in one falling order, and the power there
    size : (2,) number of currents, and of voltages
    guess, place : (chains,) a current to guess first, and where one stands
    """

    amps: Array
    volts: Array
    at_volts: Array
    at_watts: Array
    size: IntArray
    guess: Array
    place: IntArray


def room_for_sweep(chains: int) -> Sweep:
    """Make room for a look over chains side by side."""
    points = GRID + 1
    return Sweep(
        np.zeros(points),
        np.zeros((chains, points)),
        np.zeros(chains * points),
        np.zeros(chains * points),
        np.zeros(2, np.int64),
        np.zeros(chains),
        np.zeros(chains, np.int64),
    )


@inlined
def between(volts: float, j: int, chain: int, sweep: Sweep) -> float:
    """Read a chain's current between a point of its grid and the next [A]."""
    if j < 0:
        return 0.0
    row, j = sweep.volts[chain], min(j, sweep.size[0] - 2)
    along = (row[j] - volts) / max(row[j] - row[j + 1], 1e-12)
    return float(sweep.amps[j] + min(along, 1.0) * (sweep.amps[j + 1] - sweep.amps[j]))


@inlined
def grid_amps(volts: float, chain: int, sweep: Sweep) -> float:
    """Read a chain's current at a voltage from its grid [A]."""
    low, high = -1, sweep.size[0]
    while high - low > 1:
        middle = (low + high) // 2
        if sweep.volts[chain, middle] > volts:
            low = middle
        else:
            high = middle
    return between(volts, low, chain, sweep)


@inlined
def grid_watts(volts: float, sweep: Sweep) -> float:
    """Read the power at a voltage from the grid [W]."""
    amps = 0.0
    for chain in range(len(sweep.guess)):
        amps += grid_amps(volts, chain, sweep)
    return volts * amps


@compiled
def look_over(
    least: float, most: float, chains: Chains, sweep: Sweep, mixed: Mixed, cell: Cell
) -> None:
    """Fill the grid from the least current worth a look to the most that can flow."""
    size = 2 + int((1.0 - least / most) * (GRID - 2))
    sweep.size[0], sweep.size[1] = size, size * len(chains.kinds)
    amps = sweep.amps[:size]
    for j in range(size):
        amps[j] = least + (most - least) * j / size
    for chain in range(len(chains.kinds)):
        row = sweep.volts[chain, :size]
        row[:] = 0.0
        for kind in range(chains.kinds[chain]):
            number, light = chains.number[chain, kind], chains.light[chain, kind]
            add_even(amps, number, light, row, cell)
        for k in range(chains.mixed_number[chain]):
            add_mixed(amps, chains.mixed[chain, k], row, mixed)
    put_in_order(sweep)


@compiled
def put_in_order(sweep: Sweep) -> None:
    """Put all chains' voltages in one falling order, with the power there."""
    side_by_side, size = len(sweep.guess), sweep.size[0]
    sweep.place[:] = 0
    for i in range(side_by_side * size):
        chain, volts = 0, -np.inf
        for other in range(side_by_side):
            j = sweep.place[other]
            if j < size and sweep.volts[other, j] > volts:
                chain, volts = other, sweep.volts[other, j]
        total = sweep.amps[sweep.place[chain]]
        sweep.place[chain] += 1
        for other in range(side_by_side):
            if other != chain:
                total += between(volts, sweep.place[other] - 1, other, sweep)
        sweep.at_volts[i], sweep.at_watts[i] = volts, volts * total
