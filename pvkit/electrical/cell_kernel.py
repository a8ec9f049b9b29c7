"""Current and voltage of one cell, and of cells evenly lit in series, compiled.

Every current is that of a whole cell: a half cell under the same light carries half of it at the
same voltage, so two sections side by side carry the mean of their two currents.

Import this module inside the function that needs it: it brings numba along.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pvkit.compiled import compiled, inlined

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

TO_GO_V = 2e-8  # or half of it, in the logarithm's steps
NO_DIODE = -30.0  # of kT/q: further in reverse a diode lets nothing through
LEAST_LEFT = 0.1  # of the light to spare, after the shunt's share
VOLTS_DONE = 1e-5  # a Newton step this small leaves 2e-9 V to go
PEAK_DONE_V = 5e-5  # a step this small leaves 1e-7 V, and 1e-11 of the power
MOST_STEPS = 60
SHORT_OF_BREAKDOWN = 1.0 - 1e-6
SHUNT_AT = 0.88  # of the open-circuit voltage: about where a cell works
NEAR_BYPASS = 0.1  # of the current: with less light than that to spare, look at the bypass diode


class Cell(NamedTuple):
    """One whole cell at one temperature, and how many of them a section has in series.

    Parameters
    ----------
    current_per_light : photocurrent over light [A per W m⁻²]
    shunt_per_light : shunt conductance over light [S per W m⁻²]
    saturation_a, volts_scale, series_ohm : of the diode, [A], n kT/q [V], [ohm]
    reverse_fraction, breakdown_v, reverse_exponent : Bishop's reverse term: share of the shunt
        current that multiplies, [V] below 0, [-]
    bypass_v : forward drop of the bypass diode [V]
    in_series : cells in series in a section
    usual_v : diode voltage from which to search [V]
    log_saturation : logarithm of ``saturation_a``
    """

    current_per_light: float
    shunt_per_light: float
    saturation_a: float
    volts_scale: float
    series_ohm: float
    reverse_fraction: float
    breakdown_v: float
    reverse_exponent: float
    bypass_v: float
    in_series: float
    usual_v: float
    log_saturation: float


@inlined
def drawn_reversed(
    room: float, many: float, shunt: float, cell: Cell
) -> tuple[float, float, float]:
    """Give voltage [V], what is drawn there [A] and its slope [S], of a cell that is in reverse.

    ``room`` is 1 - V/V_br, ``many`` Bishop's multiplier, a power of it that the caller keeps.
    """
    volts, rise = cell.breakdown_v * (1.0 - room), 0.0
    if volts > NO_DIODE * cell.volts_scale:
        rise = cell.saturation_a * np.exp(volts / cell.volts_scale)
    leak = shunt * cell.reverse_fraction * many
    amps = rise - cell.saturation_a + (shunt + leak) * volts
    slope = leak * (1.0 + cell.reverse_exponent * volts / (cell.breakdown_v * room))
    return volts, amps, slope + rise / cell.volts_scale + shunt


@inlined
def drawn_amps(volts: float, shunt: float, cell: Cell) -> tuple[float, float]:
    """Give what diode and shunt draw off the photocurrent [A], and its slope [S].

    The reverse term counts below 0 V only: above, the data sheet's curve already holds all there
    is, and identical cells give it back exactly.
    """
    if volts < 0.0:
        room = 1.0 - volts / cell.breakdown_v
        _, amps, slope = drawn_reversed(room, room**-cell.reverse_exponent, shunt, cell)
        return amps, slope
    rise = cell.saturation_a * np.exp(volts / cell.volts_scale)
    return rise - cell.saturation_a + shunt * volts, rise / cell.volts_scale + shunt


@inlined
def cell_volts(amps: float, light: float, start: float, cell: Cell) -> tuple[float, float]:
    """Give a cell's voltage [V] at a current and its slope dV/dI [ohm].

    ``start`` is a diode voltage to try first. Where light is to spare, what is brought to 0 is
    V - a ln((left - V/R_sh) / I_0 + 1): nearly straight in V, so that one logarithm or two will do,
    and how it bends tells what is left to go.
    """
    left, scale = light * cell.current_per_light - amps, cell.volts_scale
    shunt, volts = light * cell.shunt_per_light, start
    side = scale * shunt
    for _ in range(MOST_STEPS):
        less = left - shunt * volts
        if less < LEAST_LEFT * left or left <= 0.0:
            break
        rise = less + cell.saturation_a
        gap = scale * (np.log(rise) - cell.log_saturation) - volts
        step = gap * rise / (rise + side)
        volts += step
        if (side * step) ** 2 < TO_GO_V * scale * rise**2:
            rise -= shunt * step
            return volts - amps * cell.series_ohm, -scale / (rise + side) - cell.series_ohm
    return searched_volts(amps, light, cell)


@compiled
def searched_volts(amps: float, light: float, cell: Cell) -> tuple[float, float]:
    """Give the same of a cell that may have little light to spare, or none: in reverse."""
    left = light * cell.current_per_light - amps
    shunt = light * cell.shunt_per_light
    low, high = cell.breakdown_v * SHORT_OF_BREAKDOWN, 0.0
    volts, slope = 0.0, 1.0
    if left > 0.0:  # from above, where Newton's steps never pass the root
        volts = high = cell.volts_scale * np.log(left / cell.saturation_a + 1.0)
        low = 0.0
        less = left - shunt * volts
        if less > 0.5 * left:  # the shunt's share taken off, nearly there
            volts = cell.volts_scale * np.log(less / cell.saturation_a + 1.0)
    for _ in range(MOST_STEPS):
        drawn, slope = drawn_amps(volts, shunt, cell)
        if drawn > left:
            high = volts
        else:
            low = volts
        ahead = volts - (drawn - left) / slope
        if ahead < low or ahead > high:
            ahead = 0.5 * (low + high)
        step, volts = ahead - volts, ahead
        if abs(step) < VOLTS_DONE:
            break
    return volts - amps * cell.series_ohm, -1.0 / slope - cell.series_ohm


@inlined
def even_volts(amps: float, light: float, cell: Cell) -> tuple[float, float]:
    """Give an evenly lit third's voltage [V] at a current, and dV/dI [ohm]."""
    left = light * cell.current_per_light - amps
    if left < NEAR_BYPASS * amps:
        shunt = light * cell.shunt_per_light
        bypassed = amps * cell.series_ohm - cell.bypass_v / cell.in_series  # a cell's diode volts
        if drawn_amps(bypassed, shunt, cell)[0] >= left:
            return -cell.bypass_v, 0.0
    volts, slope = cell_volts(amps, light, cell.usual_v, cell)
    return cell.in_series * volts, cell.in_series * slope


@inlined
def add_even(amps: Array, number: float, light: float, row: Array, cell: Cell) -> None:
    """Add to ``row`` the voltage of evenly lit thirds at each current, to about a per cent [V].

    The shunt's current is taken at one voltage, so that nothing is searched for.
    """
    shunt_a = light * cell.shunt_per_light * open_volts(light, cell) * SHUNT_AT
    left = light * cell.current_per_light - shunt_a
    for j in range(len(amps)):
        volts = -cell.bypass_v
        if amps[j] < left:
            diode_v = cell.volts_scale * np.log((left - amps[j]) / cell.saturation_a + 1.0)
            volts = max(volts, cell.in_series * (diode_v - amps[j] * cell.series_ohm))
        row[j] += number * volts


@inlined
def open_volts(light: float, cell: Cell) -> float:
    """Give the voltage no cell passes under a light, its shunt left aside [V]."""
    return float(
        cell.volts_scale * np.log(light * cell.current_per_light / cell.saturation_a + 1.0)
    )


@compiled
def even_peak(light: float, cell: Cell) -> tuple[float, float, float]:
    """Give current [A], voltage [V] and power [W] of an evenly lit third at its maximum."""
    scale, shunt = cell.volts_scale, light * cell.shunt_per_light
    photo, open_v = light * cell.current_per_light, open_volts(light, cell)
    at = open_v - scale * np.log(1.0 + open_v / scale)  # diode volts, for a lone diode
    amps = 0.0
    for _ in range(MOST_STEPS):
        rise = cell.saturation_a * np.exp(at / scale)
        amps, slope = photo - (rise - cell.saturation_a) - shunt * at, -rise / scale - shunt
        arm = at - 2.0 * amps * cell.series_ohm
        gain = amps + slope * arm  # of power by diode voltage
        bend = 2.0 * slope * (1.0 - slope * cell.series_ohm) - rise / scale**2 * arm
        step = -gain / bend
        at, amps = at + step, amps + (slope - 0.5 * rise / scale**2 * step) * step
        if abs(step) < PEAK_DONE_V:
            break
    volts = cell.in_series * (at - amps * cell.series_ohm)
    return amps, volts, amps * volts
