"""Thirds of a module whose cells are unevenly lit: their curves by points, compiled.

A third is what one bypass diode bridges: a section of cells in series (plain module), or two such
sections side by side (half-cut module).

Import this module inside the function that needs it: it brings numba along.
"""

from typing import NamedTuple

import numpy as np

from pvkit.compiled import compiled
from pvkit.electrical.cell_kernel import Array, Cell, IntArray, cell_volts, drawn_amps, open_volts

BUILT_ON = "910db38abce1"  # the kernels imported here: see their test

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
SECTION_POINTS = len(BREAKDOWN) + REVERSE_POINTS + len(FORWARD)
LEAST_SPREAD = 0.01  # of the brightest photocurrent: keeps points of dark cells apart
CLOSEST_V = 1e-6
CURVE_STEPS, ROUGH_STEPS = 3, 2


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


@compiled
def put_point(
    k: int, drawn: tuple[float, float, float], side: Array, curve: Array, cell: Cell
) -> None:
    """Put one point on a section's curve.

    ``drawn`` is the shaded cells' diode voltage [V], the current drawn there [A] and its slope.
    """
    shaded, light, full = side[0], side[1], side[2]
    at, off, bend = drawn
    amps = light * cell.current_per_light - off
    volts = shaded * (at - amps * cell.series_ohm)
    rise = shaded * (1.0 + bend * cell.series_ohm)
    others = cell.in_series - shaded
    if others > 0.0:
        other_v, other_slope = cell_volts(amps, full, cell)
        volts += others * other_v
        rise -= others * other_slope * bend
    curve[0, k], curve[1, k], curve[2, k] = volts, amps, -bend / rise


@compiled
def reverse_points(side: Array, brightest: float, curve: Array, cell: Cell) -> int:
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
                put_point(points, (at, off, bend), side, curve, cell)
                points += 1
            room = (gap / BELOW_BREAKDOWN) ** (1.0 / cell.reverse_exponent)
    factor = room ** (-1.0 / (count - 1))
    for _ in range(count):
        at = cell.breakdown_v * (1.0 - room)
        off, bend = drawn_amps(at, shunt, cell)
        put_point(points, (at, off, bend), side, curve, cell)
        room, points = room * factor, points + 1
    return points


@compiled
def section_curve(side: Array, brightest: float, curve: Array, cell: Cell) -> int:
    """Fill ``curve`` with a section's volts, rising, its amps and dI/dV; give the last point.

    The shaded cells' diode voltage is chosen and all else follows, so that nothing is searched
    for. The points reach from below the bypass diode's drop to above every open circuit.
    """
    points = reverse_points(side, brightest, curve, cell)
    shunt, most = side[1] * cell.shunt_per_light, brightest * cell.current_per_light
    spread = max(side[1] * cell.current_per_light, LEAST_SPREAD * most)
    for own, of_most in FORWARD:
        rise = own * spread + of_most * most + cell.saturation_a
        at = cell.volts_scale * np.log(rise / cell.saturation_a)
        off = rise - cell.saturation_a + shunt * at
        put_point(points, (at, off, rise / cell.volts_scale + shunt), side, curve, cell)
        points += 1
    return points - 1


@compiled
def on_curve(volts: float, k: int, curve: Array) -> tuple[float, float]:
    """Give current and slope between two points of a curve: the cubic that meets both."""
    wide = curve[0, k + 1] - curve[0, k]
    along, fall = (volts - curve[0, k]) / wide, curve[1, k + 1] - curve[1, k]
    first = curve[2, k] * wide
    cubic = curve[2, k + 1] * wide + first - 2.0 * fall
    square = fall - first - cubic
    amps = curve[1, k] + along * (first + along * (square + cubic * along))
    return amps, (first + along * (2.0 * square + 3.0 * cubic * along)) / wide


@compiled
def fill_mixed(third: int, brightest: float, mixed: Mixed, cell: Cell) -> None:
    """Draw an unevenly lit third's curve: its sections' mean current at all their voltages."""
    beside, stop = mixed.sides.shape[1], np.inf
    for side in range(beside):
        one = mixed.section[side]
        mixed.last[side] = section_curve(mixed.sides[third, side], brightest, one, cell)
        stop = min(stop, one[0, mixed.last[side]])
    place, volts, points = mixed.place, -cell.bypass_v, 0
    place[:] = 0
    curve = mixed.curve[third]
    while True:
        amps, slope, ahead = 0.0, 0.0, stop
        for side in range(beside):
            one = mixed.section[side]
            last = mixed.last[side] - 1
            while place[side] < last and one[0, place[side] + 1] <= volts + CLOSEST_V:
                place[side] += 1
            flows, falls = on_curve(volts, place[side], one)
            amps, slope = amps + flows / beside, slope + falls / beside
            if one[0, place[side] + 1] > volts:
                ahead = min(ahead, one[0, place[side] + 1])
        curve[0, points], curve[1, points], curve[2, points] = volts, amps, slope
        points += 1
        if volts >= stop or points == curve.shape[1]:
            break
        volts = ahead
    mixed.points[third] = points


@compiled
def volts_on_curve(amps: float, k: int, steps: int, curve: Array) -> tuple[float, float]:
    """Give voltage [V] and slope dV/dI at a current between two points of a curve."""
    low, high = curve[0, k], curve[0, k + 1]
    fall = (curve[1, k + 1] - curve[1, k]) / (high - low)
    volts, slope = low + (amps - curve[1, k]) / fall, fall
    for _ in range(steps):
        flows, slope = on_curve(volts, k, curve)
        slope = slope if slope < 0.0 else fall
        volts = min(max(volts - (flows - amps) / slope, low), high)
    return volts, 1.0 / slope


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
    return volts_on_curve(amps, k, CURVE_STEPS, curve)


@compiled
def add_mixed(amps: Array, third: int, row: Array, mixed: Mixed) -> None:
    """Add to ``row`` an unevenly lit third's voltage [V] at currents that rise."""
    curve, k = mixed.curve[third], mixed.points[third] - 2
    for j in range(len(amps)):
        while k > 0 and curve[1, k] <= amps[j]:
            k -= 1
        if amps[j] >= curve[1, 0]:
            row[j] += curve[0, 0]
        else:
            row[j] += volts_on_curve(amps[j], k, ROUGH_STEPS, curve)[0]
