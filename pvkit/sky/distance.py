"""How far apart two places are."""

from math import asin, cos, radians, sin, sqrt

# Mean radius of the Earth, IUGG (Moritz 2000, Geodetic Reference System 1980).
EARTH_RADIUS_KM = 6371.0


def great_circle_km(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Give the distance between two places over the Earth's surface [km].

    Parameters
    ----------
    one, other : latitude and longitude [°]

    Examples
    --------
    >>> round(great_circle_km((0.0, 0.0), (0.0, 90.0)))  # a quarter of the way round
    10008
    """
    lat, lon = radians(one[0]), radians(one[1])
    other_lat, other_lon = radians(other[0]), radians(other[1])
    rise, turn = (other_lat - lat) / 2.0, (other_lon - lon) / 2.0
    half_chord = sqrt(sin(rise) ** 2 + cos(lat) * cos(other_lat) * sin(turn) ** 2)
    return 2.0 * EARTH_RADIUS_KM * asin(min(1.0, half_chord))
