"""How far apart rows on a flat roof must stand to be clear of each other's shade.

Every function takes a row that leans by ``tilt_deg`` and is ``up_m`` long up its slope, on a level
roof. A row throws its shade as far as its upper edge stands high, over the tangent of the sun's
elevation as seen square to the rows (the profile angle).
"""

from dataclasses import dataclass
from math import asin, atan2, cos, degrees, radians, sin, tan

from pvkit.tables import constant


@dataclass(frozen=True, slots=True)
class SunAt:
    """Where the sun stands.

    Parameters
    ----------
    elevation_deg : above the level, without refraction
    azimuth_deg : clockwise from north
    """

    elevation_deg: float
    azimuth_deg: float


def shortest_day_sun(latitude: float, solar_hour: float = 12.0) -> SunAt:
    """Give where the sun stands on the shortest day of the northern winter.

    Parameters
    ----------
    latitude : north positive [deg]
    solar_hour : hour by the sun's own clock, 12 when it stands highest

    Returns
    -------
    its elevation is below 0 while it is down

    Source
    ------
    Spherical astronomy: sin e = sin φ sin δ + cos φ cos δ cos h, with δ = -23.44° (the obliquity of
    the ecliptic); at noon e = 66.56° - φ.

    Examples
    --------
    >>> round(shortest_day_sun(51.5).elevation_deg, 2)
    15.06
    """
    phi, delta = radians(latitude), -radians(constant("solstice.declination_deg"))
    hour = radians(15.0 * (solar_hour - 12.0))
    sine = sin(phi) * sin(delta) + cos(phi) * cos(delta) * cos(hour)
    elevation = asin(sine)
    south = sin(phi) * cos(delta) * cos(hour) - cos(phi) * sin(delta)
    west = cos(delta) * sin(hour)
    return SunAt(degrees(elevation), (180.0 + degrees(atan2(west, south))) % 360.0)


def profile_deg(sun: SunAt, facing_deg: float) -> float:
    """Give the sun's elevation as seen square to rows that face one way.

    Parameters
    ----------
    sun : where it stands
    facing_deg : the way the rows face

    Returns
    -------
    90 or more if it stands behind or beside the rows, which then cannot shade each other

    Source
    ------
    tan(profile) = tan(elevation) / cos(sun's azimuth - rows' azimuth); Duffie & Beckman, Solar
    Engineering of Thermal Processes, profile angle.

    Examples
    --------
    >>> [round(profile_deg(SunAt(15.0, 180.0), facing), 6) for facing in (180.0, 0.0)]
    [15.0, 165.0]
    """
    ahead = cos(radians(sun.azimuth_deg - facing_deg))
    return degrees(atan2(tan(radians(sun.elevation_deg)), ahead))


def row_gap_m(height_m: float, profile: float) -> float:
    """Give the level gap behind a row that keeps the next one clear of its shade.

    Parameters
    ----------
    height_m : from the lower to the upper edge of the row
    profile : the sun's elevation square to the rows, or a shading limit angle [deg]

    Returns
    -------
    0 if the sun stands behind the rows; infinite if it is down
    """
    if profile <= 0:
        return float("inf")
    return max(height_m / tan(radians(profile)), 0.0) if profile < 90 else 0.0


def row_pitch_m(up_m: float, tilt_deg: float, profile: float) -> float:
    """Give the pitch at which rows stand clear of each other's shade.

    Parameters
    ----------
    up_m : length of a row up its slope
    tilt_deg : its tilt from the roof
    profile : the sun's elevation square to the rows, or a shading limit angle [deg]

    Source
    ------
    Plane geometry: up cos(tilt) + up sin(tilt) / tan(profile).

    Examples
    --------
    >>> round(row_pitch_m(1.134, 10.0, 15.0), 2)
    1.85
    """
    tilt = radians(tilt_deg)
    return up_m * cos(tilt) + row_gap_m(up_m * sin(tilt), profile)


def shading_limit_deg(up_m: float, tilt_deg: float, pitch_m: float) -> float:
    """Give the sun's elevation square to the rows below which a row shades the next one.

    Parameters
    ----------
    up_m, tilt_deg, pitch_m : as for :func:`row_pitch_m`

    Returns
    -------
    90 where rows touch; 0 where they lie flat

    Examples
    --------
    >>> round(shading_limit_deg(1.134, 10.0, row_pitch_m(1.134, 10.0, 15.0)), 6)
    15.0
    """
    tilt = radians(tilt_deg)
    rise, gap = up_m * sin(tilt), pitch_m - up_m * cos(tilt)
    return degrees(atan2(rise, max(gap, 0.0))) if rise > 0 else 0.0


def usual_profile_deg(latitude: float, facing_deg: float) -> float:
    """Give the sun that rows are spaced for if nobody says: noon on the shortest day.

    Rows that look well away from south would need no gap at noon; they are spaced for the upper
    end of the shading limit angles of practice, so that mornings and evenings do not go to waste.

    Parameters
    ----------
    latitude : of the site [deg]
    facing_deg : the way the rows face

    Examples
    --------
    >>> round(usual_profile_deg(53.0, 180.0), 2), usual_profile_deg(53.0, 90.0)
    (13.56, 20.0)
    """
    noon = profile_deg(shortest_day_sun(latitude), facing_deg)
    highest = constant("layout.shading_limit_high_deg")
    return min(noon, highest) if noon > 0 else highest


def ground_cover(up_m: float, pitch_m: float) -> float:
    """Give the ground cover ratio of rows: their length up the slope over their pitch.

    Examples
    --------
    >>> round(ground_cover(1.134, 1.85), 2)
    0.61
    """
    return up_m / pitch_m
