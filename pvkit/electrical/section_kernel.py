"""Cells in series of which some are shaded: their curve by points, compiled.

Import this module inside the function that needs it: it brings numba along.
"""

import numpy as np

from pvkit.compiled import compiled, inlined
from pvkit.electrical.cell_kernel import (
    Array,
    Cell,
    cell_volts,
    drawn_reversed,
    open_volts,
)

BUILT_ON = "fa90f7b20253"  # the kernels imported here: see their test

# Points of a section's curve. In reverse: the room left to breakdown grows to 1 by one factor; if
# breakdown comes before the bypass diode, currents through it as shares of what the others lead.
# Forward: current drawn by the shaded cells' diodes, as shares of their own and of the brightest
# photocurrent.
REVERSE_POINTS = 8
BREAKDOWN = (1.0, 0.98, 0.95, 0.9, 0.8, 0.6)
BELOW_BREAKDOWN = 0.35
FORWARD = (
    (1e-4, 0.0),
    (0.003, 0.0),
    (0.02, 0.0),
    (0.06, 0.0),
    (0.15, 0.0),
    (0.4, 0.0),
    (1.0, 0.0),
    (1.0, 0.1),
    (1.0, 0.4),
    (1.0, 1.0),
)
LOG_OWN = np.log([own for own, _ in FORWARD])
SECTION_POINTS = len(BREAKDOWN) + REVERSE_POINTS + len(FORWARD)
LEAST_SPREAD = 0.01  # of the brightest photocurrent: keeps points of dark cells apart
FIRST_RISE = 2.0  # of the saturation current, at least: the first forward point is above 0 V


@inlined
def put_point(
    k: int, drawn: tuple[float, float, float], start: float, side: Array, curve: Array, cell: Cell
) -> None:
    """Put one point on a section's curve.

    ``drawn`` is the shaded cells' diode voltage [V], the current drawn there [A] and its slope;
    ``start`` one of the other cells to try first.
    """
    shaded, light, full = side[0], side[1], side[2]
    at, off, bend = drawn
    amps = light * cell.current_per_light - off
    volts = shaded * (at - amps * cell.series_ohm)
    rise = shaded * (1.0 + bend * cell.series_ohm)
    others = cell.in_series - shaded
    if others > 0.0:
        other_v, other_slope = cell_volts(amps, full, start, cell)
        volts += others * other_v
        rise -= others * other_slope * bend
    curve[0, k], curve[1, k], curve[2, k] = volts, amps, -bend / rise


@compiled
def reverse_points(side: Array, brightest: float, start: float, curve: Array, cell: Cell) -> int:
    """Put the points at which a section's shaded cells stand in reverse; give their number.

    They begin where the others, at open circuit, leave the bypass diode's drop; or where breakdown
    lets all through that the others lead, if that comes first.
    """
    shaded, light, full = side[0], side[1], side[2]
    shunt, others = light * cell.shunt_per_light, cell.in_series - shaded
    room = (cell.bypass_v + others * open_volts(brightest, cell)) / shaded / cell.breakdown_v + 1.0
    points, count = 0, 2
    if others > 0.0:
        count = REVERSE_POINTS
        leak = shunt * cell.reverse_fraction * -cell.breakdown_v
        gap = leak / ((full - light) * cell.current_per_light)
        if room < gap ** (1.0 / cell.reverse_exponent):
            for share in BREAKDOWN:
                room = (gap / share) ** (1.0 / cell.reverse_exponent)
                drawn = drawn_reversed(room, share / gap, shunt, cell)
                put_point(points, drawn, start, side, curve, cell)
                points += 1
            room = (gap / BELOW_BREAKDOWN) ** (1.0 / cell.reverse_exponent)
    factor = room ** (-1.0 / (count - 1))
    many, fewer = room**-cell.reverse_exponent, factor**-cell.reverse_exponent
    for _ in range(count):
        drawn = drawn_reversed(room, many, shunt, cell)
        put_point(points, drawn, start, side, curve, cell)
        room, many, points = room * factor, many * fewer, points + 1
    return points


@compiled
def section_curve(side: Array, brightest: float, curve: Array, cell: Cell) -> int:
    """Fill ``curve`` with a section's volts, rising, its amps and dI/dV; give the last point.

    The shaded cells' diode voltage is chosen and all else follows, so that nothing is searched
    for. The points reach from below the bypass diode's drop to above every open circuit.
    """
    spare = max((side[2] - side[1]) * cell.current_per_light, cell.saturation_a)
    start = (np.log(spare) - cell.log_saturation) * cell.volts_scale
    points = reverse_points(side, brightest, start, curve, cell)
    shunt, most = side[1] * cell.shunt_per_light, brightest * cell.current_per_light
    spread = max(side[1] * cell.current_per_light, LEAST_SPREAD * most)
    spread += FIRST_RISE / FORWARD[0][0] * cell.saturation_a
    base = np.log(spread) - cell.log_saturation
    for k in range(len(FORWARD)):
        own, of_most = FORWARD[k]
        rise = own * spread + of_most * most
        at = base + LOG_OWN[k] if of_most == 0.0 else np.log(rise) - cell.log_saturation
        at *= cell.volts_scale
        off = rise - cell.saturation_a + shunt * at
        drawn = (at, off, rise / cell.volts_scale + shunt)
        put_point(points, drawn, start, side, curve, cell)
        points += 1
    return points - 1
