"""The unevenly lit half-hours of an array, one after another, compiled.

Import this module inside the function that needs it: it brings numba along.
"""

from typing import NamedTuple

from pvkit.electrical.array_kernel import (
    ALIKE,
    THIRDS,
    Lit,
    Room,
    has_single_hump,
    join_module,
    join_string,
    sort_thirds,
)
from pvkit.electrical.cell_kernel import Array, Cell, compiled, even_peak, open_volts
from pvkit.electrical.chain_kernel import Chains, chain_volts
from pvkit.electrical.hump_kernel import (
    Reach,
    Sweep,
    climbed_hump,
    highest_hump,
    hump,
    look_over,
)
from pvkit.electrical.third_kernel import Mixed, fill_mixed

BUILT_ON = "8c2a41fdc198"  # the kernels imported here: see their test

LOWEST_SHARE = 0.02  # of the open-circuit voltage: below it lies no hump


class Tracker(NamedTuple):
    """A tracker's window [V] and its step, a share of the voltage."""

    low: float
    high: float
    step: float


class Powers(NamedTuple):
    """What is found [W], [V], [A], all by half-hour; ``module`` and its amps (u, modules)."""

    even: Array
    module: Array
    module_amps: Array
    string: Array
    string_v: Array
    local: Array
    local_v: Array


@compiled
def peaks(
    reach: Reach, single: bool, chains: Chains, sweep: Sweep, mixed: Mixed, cell: Cell
) -> tuple[float, float, float, float]:
    """Give power and voltage at the highest hump, and at the one a climbing tracker ends on."""
    if single:
        watts, volts = hump(reach, chains, sweep, mixed, cell)
        return max(watts, 0.0), volts, max(watts, 0.0), volts
    look_over(reach.most, chains, sweep, mixed, cell)
    watts, volts = highest_hump(reach, chains, sweep, mixed, cell)
    local_w, local_v = -1.0, volts
    if reach.step > 0.0:
        local_w, local_v = climbed_hump(reach, volts, chains, sweep, mixed, cell)
    if local_w < 0.0:
        local_w = watts
    elif local_w > watts:  # a hump that slipped between two points of the grid
        watts, volts = local_w, local_v
    return max(watts, 0.0), volts, max(local_w, 0.0), local_v


@compiled
def mean_light(h: int, module: int, lit: Lit, cell: Cell) -> float:
    """Give the mean light on a module's cells [W m⁻²]."""
    total, sections = 0.0, lit.full.shape[2]
    for section in range(sections):
        full, number = lit.full[h, module, section], lit.number[h, module, section]
        total += full + (lit.shaded[h, module, section] - full) * number / cell.in_series
    return float(total / sections)


@compiled
def solve_modules(
    h: int, brightest: float, lit: Lit, room: Room, cell: Cell, out: Powers
) -> tuple[float, float]:
    """Fill each module's own maximum; give current and voltage of a module evenly lit."""
    modules, even_a, even_v = len(room.light), 0.0, 0.0
    most, highest = brightest * cell.current_per_light, THIRDS * open_volts(brightest, cell)
    highest *= cell.in_series
    out.even[h] = 0.0
    for module in range(modules):
        amps, volts, watts = even_peak(mean_light(h, module, lit, cell), cell)
        volts, watts = THIRDS * volts, THIRDS * watts
        out.even[h] += watts
        even_a, even_v = even_a + amps / modules, even_v + volts / modules
        light = room.light[module]
        if light.min() < light.max() * (1.0 - ALIKE):
            join_module(module, room)
            reach = Reach(LOWEST_SHARE * highest, highest, min(volts, highest), 0.0, most)
            single = has_single_hump(module, module + 1, room)
            room.one_sweep.guess[:] = amps
            watts, volts, _, _ = peaks(reach, single, room.one, room.one_sweep, room.mixed, cell)
        out.module[h, module], out.module_amps[h, module] = watts, watts / volts
    return even_a, even_v


@compiled
def cell_at(h: int, lit: Lit, base: Cell) -> Cell:
    """Give the cell at one half-hour's temperature."""
    return Cell(
        lit.current_per_light[h],
        base.shunt_per_light,
        lit.saturation_a[h],
        lit.volts_scale[h],
        base.series_ohm,
        base.reverse_fraction,
        base.breakdown_v,
        base.reverse_exponent,
        base.bypass_v,
        base.in_series,
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
        even_a, even_v = solve_modules(h, brightest, lit, room, cell, out)
        most = brightest * cell.current_per_light
        highest = THIRDS * in_series * open_volts(brightest, cell) * cell.in_series
        low, high = max(tracker.low, LOWEST_SHARE * highest), min(tracker.high, highest)
        if low < high:
            start = min(max(in_series * even_v, low), high)
            reach = Reach(low, high, start, tracker.step * start, most)
            single = has_single_hump(0, len(room.light), room)
            room.sweep.guess[:] = even_a
            found = peaks(reach, single, room.chains, room.sweep, room.mixed, cell)
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
