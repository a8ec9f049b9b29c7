"""A year of one plane from sun to meter, compiled, for maps of many planes.

Import this module inside the function that needs it: it brings numba along.
"""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pvkit.compiled import compiled

Array = NDArray[np.float64]


class Sun(NamedTuple):
    """What every plane sees alike, (d,) over daylight [W m⁻² where not said].

    Parameters
    ----------
    east, north, up : the way to the sun
    direct : beam and light from around the sun, square to it, where nothing hides the sun
    seen : share of the direct light that obstacles leave [-]
    isotropic, band, ground : light from all over the sky, along the horizon, off the ground
    temp_air : [°C]
    cooling : heat taken from a module for each kelvin [W m⁻² K⁻¹]
    other_w : power of the site's other arrays at the inverter [W]
    """

    east: Array
    north: Array
    up: Array
    direct: Array
    seen: Array
    isotropic: Array
    band: Array
    ground: Array
    temp_air: Array
    cooling: Array
    other_w: Array


class Table(NamedTuple):
    """A module's maximum power by light and temperature, as in the power table."""

    power_per_light: Array
    volts: Array
    first_log: float
    log_step: float
    first_degc: float
    degc_step: float


class Chain(NamedTuple):
    """From the module to the meter; a step left out has the value that changes nothing."""

    glass: float
    modules: float
    in_series: float
    strings: float
    uneven: float
    optimised: float
    optimiser_most_w: float
    optimiser_efficiency: float
    optimiser_standby_w: float
    dc_ohm: float
    ac_rating_w: float
    limit_w: float
    convert: float
    own_use: float
    linear: float
    square: float
    ac_ohm: float
    grid_v: float
    in_service: float


class Plane(NamedTuple):
    """One plane: its tilt and direction [rad], and what of its light arrives [-].

    Parameters
    ----------
    tilt, azimuth : [rad]
    sky_seen : share of its sky light that skyline and obstacles leave
    sky_glass, ground_glass : share that passes the glass
    clean : share that dirt leaves
    """

    tilt: float
    azimuth: float
    sky_seen: float
    sky_glass: float
    ground_glass: float
    clean: float


@compiled
def plane_year(sun: Sun, table: Table, chain: Chain, plane: Plane, ac_w: Array) -> float:
    """Fill the metered power of every daylight half-hour (d,) [W]; give its sum.

    The same steps in the same order as :func:`pvkit.electrical.system.system_output` takes for an
    evenly lit array; ``ac_w`` may be empty, then only the sum is kept.
    """
    cos_tilt, sin_tilt = math.cos(plane.tilt), math.sin(plane.tilt)
    to_east, to_north = sin_tilt * math.sin(plane.azimuth), sin_tilt * math.cos(plane.azimuth)
    square_on = 1.0 - math.exp(-1.0 / chain.glass) if chain.glass > 0.0 else 1.0
    rows, columns = table.power_per_light.shape
    total, keep = 0.0, len(ac_w) > 0
    for t in range(len(sun.up)):
        cosine = sun.up[t] * cos_tilt + sun.east[t] * to_east + sun.north[t] * to_north
        direct = 0.0
        if cosine > 0.0:
            direct = cosine * sun.direct[t] * sun.seen[t]
            if chain.glass > 0.0:
                direct *= (1.0 - math.exp(-cosine / chain.glass)) / square_on
        sky = sun.isotropic[t] * (1.0 + cos_tilt) / 2.0 + sun.band[t] * sin_tilt
        ground = sun.ground[t] * (1.0 - cos_tilt) / 2.0
        absorbed = (
            direct + max(sky, 0.0) * plane.sky_seen * plane.sky_glass + ground * plane.ground_glass
        )
        light = absorbed * plane.clean
        warm = (sun.temp_air[t] + absorbed / sun.cooling[t] - table.first_degc) / table.degc_step
        faint = (math.log(max(light, 1.0)) - table.first_log) / table.log_step
        row = min(max(int(faint), 0), rows - 2)
        column = min(max(int(warm), 0), columns - 2)
        along, across = faint - row, warm - column
        both = along * across
        w1, w2, w3 = 1.0 - along - across + both, across - both, along - both
        made = light * (
            table.power_per_light[row, column] * w1
            + table.power_per_light[row, column + 1] * w2
            + table.power_per_light[row + 1, column] * w3
            + table.power_per_light[row + 1, column + 1] * both
        )
        volts = chain.in_series * (
            table.volts[row, column] * w1
            + table.volts[row, column + 1] * w2
            + table.volts[row + 1, column] * w3
            + table.volts[row + 1, column + 1] * both
        )
        dc_w = sun.other_w[t] + _to_inverter(made, volts, chain)
        metered = _to_meter(dc_w, chain)
        total += metered
        if keep:
            ac_w[t] = metered
    return total


@compiled
def _to_inverter(made: float, volts: float, chain: Chain) -> float:
    """Take uneven modules, d.c. cables and optimisers off one module's power, times the modules."""
    watts = made * chain.modules * (1.0 - chain.uneven)
    string_a = watts / (volts * chain.strings)
    watts = max(watts - string_a * string_a * chain.dc_ohm * chain.strings, 0.0)
    if chain.optimised == 0.0:
        return watts
    above = max(made - chain.optimiser_most_w, 0.0) * chain.modules
    carried = max(watts - above, 0.0)
    own_use = max(carried - chain.optimiser_standby_w * chain.modules, 0.0)
    return min(carried * chain.optimiser_efficiency, own_use)


@compiled
def _to_meter(dc_w: float, chain: Chain) -> float:
    """Take conversion, limit, a.c. cables and time out of service off the power [W]."""
    made = dc_w
    if chain.convert > 0.0:
        net = max(dc_w / chain.ac_rating_w - chain.own_use, 0.0)
        slope = 1.0 + chain.linear
        root = math.sqrt(max(slope * slope + 4.0 * chain.square * net, 0.0))
        made = min(2.0 * net / (slope + root) * chain.ac_rating_w, dc_w)
    held = min(made, chain.limit_w)
    amps = held / chain.grid_v
    return max(held - amps * amps * chain.ac_ohm, 0.0) * chain.in_service


@compiled
def sky_left(skyline: Array, plane: Plane) -> float:
    """Give the share of a plane's own sky light above a skyline.

    ``skyline`` is the elevation at the middle of even steps of bearing [rad]. In each step the
    light above it is summed by elevation, weighted by the cosine of incidence.
    """
    steps, bands = len(skyline), 90
    turn, rise = 2.0 * math.pi / steps, math.pi / 2.0 / bands
    cos_tilt, sin_tilt = math.cos(plane.tilt), math.sin(plane.tilt)
    seen = whole = 0.0
    for b in range(steps):
        toward = sin_tilt * math.cos((b + 0.5) * turn - plane.azimuth)
        for e in range(bands):
            elevation = (e + 0.5) * rise
            level = math.cos(elevation)
            weight = (math.sin(elevation) * cos_tilt + level * toward) * level
            if weight > 0.0:
                whole += weight
                if elevation > skyline[b]:
                    seen += weight
    return seen / whole
