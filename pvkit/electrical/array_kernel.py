"""An array's thirds told apart by their light, and put in series as modules and strings, compiled.

Import this module inside the function that needs it: it brings numba along.
"""

from typing import NamedTuple

import numpy as np

from pvkit.compiled import compiled
from pvkit.electrical.cell_kernel import Array, Cell, IntArray
from pvkit.electrical.chain_kernel import Chains, room_for_chains
from pvkit.electrical.sweep_kernel import Sweep, room_for_sweep
from pvkit.electrical.third_kernel import Mixed, room_for_mixed

BUILT_ON = "3e5730c9e135"  # the kernels imported here: see their test

ALIKE = 0.01  # cells, or thirds, whose light differs by less are as if evenly lit
SIDES_ALIKE = 0.03  # two sections side by side see only their mean light
KINDS = 700  # of ALIKE each: down to 3 % of the brightest
DARKEST = 1e-3  # of the light on open cells: darker ones are taken as lit by that
THIRDS = 3


class Lit(NamedTuple):
    """Light on the cells of each section, and each half-hour's own cell numbers.

    Parameters
    ----------
    full, shaded : (u, modules, sections) light on the open and on the shaded cells [W m⁻²]
    number : (u, modules, sections) shaded cells in series
    current_per_light, saturation_a, volts_scale : (u,) as in :class:`Cell`
    """

    full: Array
    shaded: Array
    number: Array
    current_per_light: Array
    saturation_a: Array
    volts_scale: Array


class Room(NamedTuple):
    """Room to work in: kinds of thirds, and chains for the strings and for one module.

    ``light`` (modules, 3) is that of an evenly lit third or -1, ``place`` its place among the
    uneven ones or -1, ``least`` and ``most`` the light of its faintest and brightest cells.
    """

    light: Array
    place: IntArray
    least: Array
    most: Array
    mixed: Mixed
    chains: Chains
    sweep: Sweep
    one: Chains
    one_sweep: Sweep


def room_for(modules: int, sections: int, strings: int) -> Room:
    """Make room for one thread's work."""
    return Room(
        np.zeros((modules, THIRDS)),
        np.zeros((modules, THIRDS), np.int64),
        np.zeros((modules, THIRDS)),
        np.zeros((modules, THIRDS)),
        room_for_mixed(THIRDS * modules, sections // THIRDS),
        room_for_chains(strings, KINDS, THIRDS * modules),
        room_for_sweep(strings),
        room_for_chains(1, THIRDS, THIRDS),
        room_for_sweep(1),
    )


@compiled
def sort_thirds(h: int, lit: Lit, room: Room, cell: Cell) -> tuple[int, float]:
    """Tell evenly lit thirds from uneven ones; give the number of these and the brightest light."""
    sides = room.mixed.sides
    beside = sides.shape[1]
    uneven, brightest = 0, 0.0
    for module in range(lit.full.shape[1]):
        for third in range(THIRDS):
            mean, least, most, alike = 0.0, np.inf, 0.0, True
            for side in range(beside):
                section = third * beside + side
                full = lit.full[h, module, section]
                dark = max(lit.shaded[h, module, section], DARKEST * full)
                number = min(lit.number[h, module, section], cell.in_series)
                if 0.0 < number < cell.in_series and full - dark >= ALIKE * full:
                    least, most, alike = min(least, dark), max(most, full), False
                else:
                    light = full + (dark - full) * number / cell.in_series
                    number, dark = cell.in_series, light
                    mean += light / beside
                    least, most = min(least, light), max(most, light)
                sides[uneven, side, 0], sides[uneven, side, 1] = number, dark
                sides[uneven, side, 2] = full
            brightest = max(brightest, most)
            room.least[module, third], room.most[module, third] = least, most
            room.light[module, third], room.place[module, third] = mean, -1
            if not alike or most - least > SIDES_ALIKE * most:
                room.light[module, third], room.place[module, third] = -1.0, uneven
                uneven += 1
    return uneven, brightest


@compiled
def join_module(module: int, room: Room) -> None:
    """Put the thirds of one module in series."""
    kinds, uneven, chains = 0, 0, room.one
    for third in range(THIRDS):
        if room.place[module, third] >= 0:
            chains.mixed[0, uneven] = room.place[module, third]
            uneven += 1
        else:
            chains.light[0, kinds], chains.number[0, kinds] = room.light[module, third], 1.0
            kinds += 1
    chains.kinds[0], chains.mixed_number[0] = kinds, uneven


@compiled
def join_string(chain: int, brightest: float, room: Room) -> None:
    """Put the thirds of consecutive modules in series, like ones counted together."""
    chains, in_series = room.chains, len(room.light) // len(room.chains.kinds)
    light, number, uneven = chains.light[chain], chains.number[chain], 0
    light[:], number[:] = 0.0, 0.0
    for module in range(chain * in_series, (chain + 1) * in_series):
        for third in range(THIRDS):
            if room.place[module, third] >= 0:
                chains.mixed[chain, uneven] = room.place[module, third]
                uneven += 1
            else:
                share = max(room.light[module, third] / brightest, DARKEST)
                kind = min(int(-np.log(share) / ALIKE), KINDS - 1)
                light[kind] += room.light[module, third]
                number[kind] += 1.0
    kinds = 0
    for kind in range(KINDS):
        if number[kind] > 0.0:
            light[kinds], number[kinds] = light[kind] / number[kind], number[kind]
            kinds += 1
    chains.kinds[chain], chains.mixed_number[chain] = kinds, uneven
