"""Thirds of a module whose cells are unevenly lit: their curves by points, compiled.

A third is what one bypass diode bridges: a section of cells in series (plain module), or two such
sections side by side (half-cut module).

Import this module inside the function that needs it: it brings numba along.
"""

from typing import NamedTuple

import numpy as np

from pvkit.compiled import compiled, inlined
from pvkit.electrical.cell_kernel import (
    Array,
    Cell,
    IntArray,
    cell_volts,
    drawn_amps,
    drawn_reversed,
    open_volts,
)

BUILT_ON = "124a9545a8d8"  # the kernels imported here: see their test

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
CLOSEST_V = 1e-6
CURVE_STEPS, ROUGH_STEPS = 3, 1


class Mixed(NamedTuple):
    """Thirds whose cells are unevenly lit, and room to draw their curves.

    Parameters
    ----------
    sides : (thirds, sections side by side, 3) shaded cells, their light, light of the others
    curve : (thirds, 3, k) volts, rising from the bypass diode's drop, amps, dI/dV
    points : (thirds,) of the curve that are filled
    section : (sections side by side, 3, k) the same of one third's sections
    last, place : (sections side by side,) the last point of each, and where one stands
    """

    sides: Array
    curve: Array
    points: IntArray
    section: Array
    last: IntArray
    place: IntArray


def room_for_mixed(thirds: int, beside: int) -> Mixed:
    """Make room for unevenly lit thirds of so many sections side by side."""
    return Mixed(
        np.zeros((thirds + 1, beside, 3)),
        np.zeros((thirds, 3, beside * SECTION_POINTS + 2)),
        np.zeros(thirds, np.int64),
        np.zeros((beside, 3, SECTION_POINTS)),
        np.zeros(beside, np.int64),
        np.zeros(beside, np.int64),
    )


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
                at = cell.breakdown_v * (1.0 - room)
                off, bend = drawn_amps(at, shunt, cell)
                put_point(points, (at, off, bend), start, side, curve, cell)
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


@inlined
def cubic_between(k: int, curve: Array) -> tuple[float, float, float, float]:
    """Give what carries a curve from one point to the next, by the part of the way in volts.

    That is the way, and the factors of the part of it, its square and its cube: together the cubic
    that meets both points and slopes.
    """
    wide, fall = curve[0, k + 1] - curve[0, k], curve[1, k + 1] - curve[1, k]
    first = curve[2, k] * wide
    cubic = curve[2, k + 1] * wide + first - 2.0 * fall
    return wide, first, fall - first - cubic, cubic


@inlined
def on_curve(volts: float, k: int, curve: Array) -> tuple[float, float]:
    """Give current and slope between two points of a curve."""
    wide, first, square, cubic = cubic_between(k, curve)
    along = (volts - curve[0, k]) / wide
    amps = curve[1, k] + along * (first + along * (square + cubic * along))
    return amps, (first + along * (2.0 * square + 3.0 * cubic * along)) / wide


@inlined
def find_along(left: float, steps: int, by: tuple[float, float, float]) -> tuple[float, float]:
    """Give the part of the way at which a cubic reaches ``left``, and its slope by that part."""
    first, square, cubic = by
    fall = first + square + cubic
    along, steep = left / fall, fall
    for _ in range(steps):
        over = along * (first + along * (square + cubic * along)) - left
        steep = first + along * (2.0 * square + 3.0 * cubic * along)
        steep = steep if steep < 0.0 else fall
        along = min(max(along - over / steep, 0.0), 1.0)
    return along, steep


@compiled
def fill_mixed(third: int, brightest: float, mixed: Mixed, cell: Cell) -> None:
    """Draw an unevenly lit third's curve: its sections' mean current at all their voltages."""
    beside, stop, sections = mixed.sides.shape[1], np.inf, mixed.section
    for side in range(beside):
        last = section_curve(mixed.sides[third, side], brightest, sections[side], cell)
        mixed.last[side], mixed.place[side] = last, 0
        stop = min(stop, sections[side, 0, last])
    place, volts, points, part = mixed.place, -cell.bypass_v, 0, 1.0 / beside
    curve = mixed.curve[third]
    while True:
        amps, slope, ahead = 0.0, 0.0, stop
        for side in range(beside):
            last, k = mixed.last[side] - 1, place[side]
            while k < last and sections[side, 0, k + 1] <= volts + CLOSEST_V:
                k += 1
            place[side] = k
            if abs(sections[side, 0, k] - volts) <= CLOSEST_V:
                amps, slope = amps + sections[side, 1, k], slope + sections[side, 2, k]
            else:
                flows, falls = on_curve(volts, k, sections[side])
                amps, slope = amps + flows, slope + falls
            if sections[side, 0, k + 1] > volts:
                ahead = min(ahead, sections[side, 0, k + 1])
        curve[0, points], curve[1, points], curve[2, points] = volts, amps * part, slope * part
        points += 1
        if volts >= stop or points == curve.shape[1]:
            break
        volts = ahead
    mixed.points[third] = points


@compiled
def mixed_volts(amps: float, third: int, mixed: Mixed) -> tuple[float, float]:
    """Give an unevenly lit third's voltage [V] at a current, and dV/dI [ohm]."""
    curve = mixed.curve[third]
    if amps >= curve[1, 0]:
        return curve[0, 0], 0.0
    k, beyond = 0, mixed.points[third] - 1
    while beyond - k > 1:
        middle = (k + beyond) // 2
        if curve[1, middle] > amps:
            k = middle
        else:
            beyond = middle
    wide, first, square, cubic = cubic_between(k, curve)
    along, steep = find_along(amps - curve[1, k], CURVE_STEPS, (first, square, cubic))
    return curve[0, k] + along * wide, wide / steep


@compiled
def add_mixed(amps: Array, third: int, row: Array, mixed: Mixed) -> None:
    """Add to ``row`` an unevenly lit third's voltage [V] at currents that rise."""
    curve, k, j = mixed.curve[third], mixed.points[third] - 2, 0
    while j < len(amps) and amps[j] < curve[1, 0]:
        while k > 0 and curve[1, k] <= amps[j]:
            k -= 1
        wide, first, square, cubic = cubic_between(k, curve)
        while j < len(amps) and amps[j] < curve[1, k]:
            along, _ = find_along(amps[j] - curve[1, k], ROUGH_STEPS, (first, square, cubic))
            row[j] += curve[0, k] + along * wide
            j += 1
    for after in range(j, len(amps)):
        row[after] += curve[0, 0]
