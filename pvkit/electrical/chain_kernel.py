"""Thirds of modules in series: a chain's voltage and current, compiled.

A chain is the thirds of one string, or of one module. Thirds that are evenly lit and alike are
counted, not repeated.

Import this module inside the function that needs it: it brings numba along.
"""

from typing import NamedTuple

import numpy as np

from pvkit.compiled import compiled, inlined
from pvkit.electrical.cell_kernel import Array, Cell, IntArray, even_volts
from pvkit.electrical.third_kernel import Mixed, mixed_volts

BUILT_ON = "77c517a608d5"  # the kernels imported here: see their test

AMPS_DONE = 1e-5  # of the largest current: a Newton step this small leaves 1e-8
MOST_STEPS = 60


class Chains(NamedTuple):
    """Thirds in series, by chain: evenly lit kinds with their number, and the uneven ones."""

    light: Array
    number: Array
    kinds: IntArray
    mixed: IntArray
    mixed_number: IntArray


def room_for_chains(chains: int, kinds: int, thirds: int) -> Chains:
    """Make room for chains side by side."""
    return Chains(
        np.zeros((chains, kinds)),
        np.zeros((chains, kinds)),
        np.zeros(chains, np.int64),
        np.zeros((chains, thirds), np.int64),
        np.zeros(chains, np.int64),
    )


@inlined
def chain_volts(
    amps: float, chain: int, chains: Chains, mixed: Mixed, cell: Cell
) -> tuple[float, float]:
    """Give a chain's voltage [V] at a current, and dV/dI [ohm]."""
    volts, slope = 0.0, 0.0
    for kind in range(chains.kinds[chain]):
        one, falls = even_volts(amps, chains.light[chain, kind], cell)
        number = chains.number[chain, kind]
        volts, slope = volts + number * one, slope + number * falls
    for k in range(chains.mixed_number[chain]):
        one, falls = mixed_volts(amps, chains.mixed[chain, k], mixed)
        volts, slope = volts + one, slope + falls
    return volts, slope


@compiled
def chain_amps(
    at: tuple[float, float, float], chain: int, chains: Chains, mixed: Mixed, cell: Cell
) -> tuple[float, float]:
    """Give a chain's current [A] at a voltage, and dI/dV.

    ``at`` is the voltage, a current to try first and the most that can flow, either way.
    """
    volts, amps, most = at
    low, high, slope = -most, most, -1.0
    for _ in range(MOST_STEPS):
        found, slope = chain_volts(amps, chain, chains, mixed, cell)
        over = found - volts
        if over > 0.0:
            low = amps
        else:
            high = amps
        ahead = 0.5 * (low + high)
        if slope < 0.0 and low <= amps - over / slope <= high:
            ahead = amps - over / slope
        step, amps = ahead - amps, ahead
        if abs(step) < AMPS_DONE * most:
            break
    return amps, (1.0 / slope if slope < 0.0 else -np.inf)
