"""The unevenly lit half-hours of an array, one after another, compiled.

Import this module inside the function that needs it: it brings numba along.
"""

from typing import NamedTuple

import numpy as np

from pvkit.compiled import compiled, inlined
from pvkit.electrical.array_kernel import (
    ALIKE,
    THIRDS,
    Lit,
    Room,
    join_module,
    join_string,
    sort_thirds,
)
from pvkit.electrical.cell_kernel import Array, Cell, even_peak, open_volts
from pvkit.electrical.chain_kernel import Chains, chain_volts
from pvkit.electrical.hump_kernel import (
    BEND,
    Bounds,
    Reach,
    chain_hump,
    climbed_hump,
    highest_hump,
)
from pvkit.electrical.sweep_kernel import Sweep, look_over
from pvkit.electrical.third_kernel import Mixed, fill_mixed

BUILT_ON = "f64cc4141b7c"  # the kernels imported here: see their test

LOWEST_SHARE = 0.02  # of the open-circuit voltage: below it lies no hump
LEAST_SHARE = 0.75  # of the faintest cell's photocurrent: below it lies no hump
ALL_THIRDS = 1.2  # brightest cell of a module over its faintest: no third is better bypassed
SHARE_LEFT = 0.1  # of the light, to the diode: about where a cell works
BELOW_KNEE = 0.93  # of the faintest cell's photocurrent


class Tracker(NamedTuple):
    """A tracker's window [V] and its step, a share of the voltage."""

    low: float
    high: float
    step: float


class Powers(NamedTuple):
    """What is found [W], [V], [A], all by half-hour.

    ``module`` and its amps (u, modules), or the strings' four, may have no rows: then they are not
    looked for.
    """

    even: Array
    module: Array
    module_amps: Array
    string: Array
    string_v: Array
    local: Array
    local_v: Array


@compiled
def peaks(
    amps: tuple[float, float], reach: Reach, chains: Chains, sweep: Sweep, mixed: Mixed, cell: Cell
) -> tuple[float, float, float, float]:
    """Give power and voltage at the highest hump, and at the one a climbing tracker ends on.

    ``amps`` are the least current worth a look and the most that can flow [A].
    """
    look_over(amps[0], amps[1], chains, sweep, mixed, cell)
    watts, volts = highest_hump(amps[1], reach, chains, sweep, mixed, cell)
    local_w, local_v = -1.0, volts
    if reach.step > 0.0:
        at_best = (volts, amps[1])
        local_w, local_v = climbed_hump(at_best, reach, chains, sweep, mixed, cell)
    if local_w < 0.0:
        local_w = watts
    elif local_w > watts:  # a hump that slipped between two points of the grid
        watts, volts = local_w, local_v
    return max(watts, 0.0), volts, max(local_w, 0.0), local_v


@inlined
def lowest(values: Array) -> float:
    """Give the lowest of some values."""
    least = np.inf
    for value in values:
        least = min(least, value)
    return least


@inlined
def highest(values: Array) -> float:
    """Give the highest of some values, all above 0."""
    most = 0.0
    for value in values:
        most = max(most, value)
    return most


@inlined
def faintest(room: Room) -> float:
    """Give the light of the faintest cell of all [W m⁻²]."""
    least = np.inf
    for module in range(len(room.least)):
        least = min(least, lowest(room.least[module]))
    return least


@compiled
def mean_light(h: int, module: int, lit: Lit, cell: Cell) -> float:
    """Give the mean light on a module's cells [W m⁻²]."""
    total, sections = 0.0, lit.full.shape[2]
    for section in range(sections):
        full, number = lit.full[h, module, section], lit.number[h, module, section]
        total += full + (lit.shaded[h, module, section] - full) * number / cell.in_series
    return float(total / sections)


@compiled
def module_peak(
    module: int, even: tuple[float, float], room: Room, cell: Cell
) -> tuple[float, float]:
    """Give an unevenly lit module's own maximum [W] and its voltage [V].

    ``even`` is current and voltage of the module evenly lit. Where no cell gets much less than
    another, the hump on which all thirds work is the highest, and is climbed from below.
    """
    join_module(module, room)
    least, most = lowest(room.least[module]), highest(room.most[module])
    open_v = THIRDS * open_volts(most, cell) * cell.in_series
    reach = Reach(LOWEST_SHARE * open_v, open_v, min(even[1], open_v), 0.0)
    least_a, most_a = least * cell.current_per_light, most * cell.current_per_light
    if most <= ALL_THIRDS * least:
        start = min(even[0], BELOW_KNEE * least_a)
        bounds = Bounds(0.0, most_a, start, THIRDS * BEND)
        return chain_hump(bounds, reach, room.one, room.mixed, cell)
    amps = (LEAST_SHARE * least_a, most_a)
    return peaks(amps, reach, room.one, room.one_sweep, room.mixed, cell)[:2]


@compiled
def solve_modules(h: int, lit: Lit, room: Room, cell: Cell, out: Powers) -> float:
    """Fill each module's own maximum, where asked for; give the volts of a module evenly lit."""
    modules, even_v, own = len(room.light), 0.0, len(out.module) > 0
    out.even[h] = 0.0
    for module in range(modules):
        amps, volts, watts = even_peak(mean_light(h, module, lit, cell), cell)
        volts, watts = THIRDS * volts, THIRDS * watts
        out.even[h] += watts
        even_v += volts / modules
        if not own:
            continue
        light = room.light[module]
        if lowest(light) < highest(light) * (1.0 - ALIKE):
            watts, volts = module_peak(module, (amps, volts), room, cell)
        out.module[h, module] = max(watts, 0.0)
        out.module_amps[h, module] = max(watts, 0.0) / volts if volts > 0.0 else 0.0
    return even_v


@compiled
def cell_at(h: int, lit: Lit, base: Cell) -> Cell:
    """Give the cell at one half-hour's temperature."""
    scale, log_saturation = lit.volts_scale[h], np.log(lit.saturation_a[h])
    photo_a = highest(lit.full[h, 0]) * lit.current_per_light[h]
    usual = max(SHARE_LEFT * photo_a, lit.saturation_a[h])
    return Cell(
        lit.current_per_light[h],
        base.shunt_per_light,
        lit.saturation_a[h],
        scale,
        base.series_ohm,
        base.reverse_fraction,
        base.breakdown_v,
        base.reverse_exponent,
        base.bypass_v,
        base.in_series,
        scale * (np.log(usual) - log_saturation),
        log_saturation,
    )


@compiled
def wire(h: int, lit: Lit, room: Room, cell: Cell) -> float:
    """Draw the curves of uneven thirds and put all in series; give the brightest light."""
    uneven, brightest = sort_thirds(h, lit, room, cell)
    if brightest > 0.0:
        for third in range(uneven):
            fill_mixed(third, brightest, room.mixed, cell)
        for chain in range(len(room.chains.kinds)):
            join_string(chain, brightest, room)
    return brightest


@compiled
def solve(
    part: tuple[int, int], lit: Lit, base: Cell, tracker: Tracker, room: Room, out: Powers
) -> None:
    """Fill ``out`` for the half-hours from the first of ``part`` up to the last."""
    in_series = len(room.light) // len(room.chains.kinds)
    for h in range(part[0], part[1]):
        cell = cell_at(h, lit, base)
        brightest = wire(h, lit, room, cell)
        if brightest <= 0.0:
            continue
        even_v = solve_modules(h, lit, room, cell, out)
        if not len(out.string):
            continue
        open_v = THIRDS * in_series * open_volts(brightest, cell) * cell.in_series
        low, high = max(tracker.low, LOWEST_SHARE * open_v), min(tracker.high, open_v)
        if low < high:
            start = in_series * even_v
            least = LEAST_SHARE * faintest(room) * cell.current_per_light
            if len(room.chains.kinds) > 1 or start <= low:  # any current may be the best
                least = 0.0
            start = min(max(start, low), high)
            reach = Reach(low, high, start, tracker.step * start)
            amps = (least, brightest * cell.current_per_light)
            found = peaks(amps, reach, room.chains, room.sweep, room.mixed, cell)
            out.string[h], out.string_v[h], out.local[h], out.local_v[h] = found


@compiled
def trace(h: int, lit: Lit, base: Cell, room: Room, amps: Array, volts: Array) -> None:
    """Fill ``volts`` (strings, k) of each string at the currents ``amps`` (k,)."""
    cell = cell_at(h, lit, base)
    if wire(h, lit, room, cell) <= 0.0:
        return
    for chain in range(len(volts)):
        for j in range(len(amps)):
            volts[chain, j], _ = chain_volts(amps[j], chain, room.chains, room.mixed, cell)
