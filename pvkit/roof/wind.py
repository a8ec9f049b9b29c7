"""Peak velocity pressure of the wind at a height, by the closed form of BS EN 1991-1-4.

The UK reads the exposure factor off charts by height, distance to the sea and distance into town;
those charts decide. The closed form stands in for them: see :mod:`pvkit.roof.site_wind` for which
column of terrain is taken where, and how that was made safe.
"""

from dataclasses import dataclass
from functools import cache
from math import log

from pvkit.roof.loads import load_number
from pvkit.site.wind import Column
from pvkit.tables import rows

_TURN_DEG = 360.0


@dataclass(frozen=True, slots=True)
class Storm:
    """What the pressure of the wind hangs on.

    Parameters
    ----------
    map_m_per_s : basic wind velocity of the map, 10-minute mean at 10 m in open country, once in
        50 years, before altitude
    altitude_m : of the ground, above the sea
    height_m : above ground; the top of the building for modules on its roof
    column : terrain that the wind crosses
    direction_factor : 1 for the worst direction
    air_kg_per_m3 : 1.226 in the UK annex, 1.25 in the main text
    """

    map_m_per_s: float
    altitude_m: float
    height_m: float
    column: Column
    direction_factor: float
    air_kg_per_m3: float


@dataclass(frozen=True, slots=True)
class Pressure:
    """The wind's pressure, step by step.

    Parameters
    ----------
    altitude_factor : of the map's velocity
    basic_m_per_s : basic wind velocity at the site
    basic_pa : its pressure
    exposure : peak over basic pressure at the height
    peak_pa : peak velocity pressure
    """

    altitude_factor: float
    basic_m_per_s: float
    basic_pa: float
    exposure: float
    peak_pa: float


def peak_pressure(storm: Storm) -> Pressure:
    """Give the peak velocity pressure, which every wind force is a multiple of.

    Parameters
    ----------
    storm : wind, height and terrain

    Source
    ------
    BS EN 1991-1-4 eq. 4.1, 4.8 and 4.10 with its UK annex: vb = map × c_alt × c_dir × c_season
    × c_prob, qb = rho vb² / 2, qp = ce(z) qb. Not for hilltops and cliff edges, where an orography
    factor applies. Departs from the UK annex in: ce(z), see :func:`exposure`.

    Examples
    --------
    >>> storm = Storm(23.0, 50.0, 6.0, "country", 1.0, 1.226)
    >>> round(peak_pressure(storm).peak_pa)
    728
    """
    rise = altitude_factor(storm.altitude_m, storm.height_m)
    lasting = load_number("wind.season") * load_number("wind.chance")
    speed = storm.map_m_per_s * rise * storm.direction_factor * lasting
    basic = storm.air_kg_per_m3 * speed**2 / 2.0  # eq. 4.10
    multiple = exposure(storm.height_m, storm.column)
    return Pressure(rise, speed, basic, multiple, multiple * basic)


def altitude_factor(altitude_m: float, height_m: float) -> float:
    """Give how much faster the wind is up at a site than the map says.

    Source
    ------
    UK National Annex to BS EN 1991-1-4: 1 + 0.001 A up to 10 m above ground, and
    1 + 0.001 A (10 / z)^0.2 higher up.

    Examples
    --------
    >>> altitude_factor(50.0, 6.0)
    1.05
    """
    level = load_number("altitude.height_m")
    fade: float = (level / max(height_m, level)) ** load_number("altitude.exponent")
    return 1.0 + load_number("altitude.rate_per_m") * altitude_m * fade


def exposure(height_m: float, column: Column) -> float:
    """Give the peak over the basic pressure at a height in a terrain.

    Parameters
    ----------
    height_m : above ground; below the terrain's least height that one counts
    column : terrain that the wind crosses

    Source
    ------
    BS EN 1991-1-4 eq. 4.3 to 4.9, closed form of the main text: kr = 0.19 (z0 / 0.05)^0.07,
    cr = kr ln(z / z0), Iv = 1 / ln(z / z0), ce = (1 + 7 Iv) cr².

    Examples
    --------
    >>> round(exposure(6.0, "country"), 2), round(exposure(9.0, "town"), 2)
    (2.04, 1.18)
    """
    z0, least = roughness_m(column)
    depth = log(max(height_m, least) / z0)
    open_z0 = load_number("terrain.reference_z0_m")
    rougher: float = (z0 / open_z0) ** load_number("terrain.exponent")
    scale = load_number("terrain.scale") * rougher
    gust = 1.0 + load_number("terrain.gust") / depth
    mean = scale * depth
    return gust * mean * mean


@cache
def roughness_m(column: Column) -> tuple[float, float]:
    """Give a terrain's roughness length, and the least height that counts [m]."""
    row = _terrain(column)
    return float(row["z0_m"]), float(row["least_height_m"])


def terrain_words(column: Column) -> str:
    """Say what a column of terrain stands for."""
    return _terrain(column)["words"]


def _terrain(column: Column) -> dict[str, str]:
    return next(row for row in rows("wind_terrain.csv") if row["column"] == column)


def direction_factor(bearing_deg: float) -> float:
    """Give how strong the wind from one direction is beside the strongest.

    Parameters
    ----------
    bearing_deg : where it blows from, clockwise from north

    Source
    ------
    UK National Annex to BS EN 1991-1-4, by steps of 30°, a straight line between.

    Examples
    --------
    >>> direction_factor(240.0), direction_factor(255.0), direction_factor(345.0)
    (1.0, 0.995, 0.8)
    """
    table = direction_factors()
    step = _TURN_DEG / len(table)
    place, part = divmod(bearing_deg % _TURN_DEG / step, 1.0)
    here = int(place)
    first, second = table[here % len(table)], table[(here + 1) % len(table)]
    return round(first + (second - first) * part, 12)


@cache
def direction_factors() -> tuple[float, ...]:
    """Give the factor of every direction in the table, from north clockwise."""
    return tuple(float(row["factor"]) for row in rows("wind_direction.csv"))
