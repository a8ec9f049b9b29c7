"""Thirds of a module whose cells are unevenly lit: their curves by points, compiled.

A third is what one bypass diode bridges: a section of cells in series (plain module), or two such
sections side by side (half-cut module).

Import this module inside the function that needs it: it brings numba along.
"""

from typing import NamedTuple

import numpy as np

from pvkit.compiled import compiled, inlined
from pvkit.electrical.cell_kernel import Array, Cell, IntArray
from pvkit.electrical.section_kernel import SECTION_POINTS, section_curve

BUILT_ON = "04942e6e0015"  # the kernels imported here: see their test

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
