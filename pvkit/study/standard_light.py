"""A year's light on a plane by the government procedure: published monthly means and a polynomial.

Used only for the estimate that stands beside the kit's own.
"""

from functools import cache
from math import cos, radians, sin

import numpy as np
from numpy.typing import NDArray

from pvkit.sky.region import LIGHT, monthly_means
from pvkit.tables import rows

Array = NDArray[np.float64]

OCTANT_DEG = 45.0
# By how far a plane faces from south, in steps of an octant.
ORIENTATIONS = ("South", "SE/SW", "East/West", "NE/NW", "North")


def from_south_deg(surface_azimuth: float) -> float:
    """Give how far from south a plane faces, east or west [deg].

    Examples
    --------
    >>> from_south_deg(200.0), from_south_deg(90.0), from_south_deg(350.0)
    (20.0, 90.0, 170.0)
    """
    return abs((surface_azimuth - 180.0 + 180.0) % 360.0 - 180.0)


def nearest_octant_kwh_per_m2(region: int, surface_tilt: float, surface_azimuth: float) -> float:
    """Light of a year on the plane of the nearest of eight directions, as the procedure has it.

    Parameters
    ----------
    region : number of SAP Appendix U
    surface_tilt, surface_azimuth : of the plane [deg]

    Returns
    -------
    S [kWh/m2]

    Source
    ------
    SAP 10.2 Appendix U, section U3.3 and Tables U3 to U5.

    Examples
    --------
    >>> round(nearest_octant_kwh_per_m2(6, 35.0, 190.0))
    1105
    """
    octant = round(from_south_deg(surface_azimuth) / OCTANT_DEG)
    return _year(region, surface_tilt, ORIENTATIONS[octant])


def between_octants_kwh_per_m2(region: int, surface_tilt: float, surface_azimuth: float) -> float:
    """Light of a year on a plane, on a straight line between the two directions beside it.

    Parameters and source as for :func:`nearest_octant_kwh_per_m2`.

    Examples
    --------
    >>> south, both = (between_octants_kwh_per_m2(6, 35.0, azimuth) for azimuth in (180, 190))
    >>> both < south
    True
    """
    steps = from_south_deg(surface_azimuth) / OCTANT_DEG
    low = min(int(steps), len(ORIENTATIONS) - 2)
    near, far = (_year(region, surface_tilt, ORIENTATIONS[low + n]) for n in (0, 1))
    return near + (steps - low) * (far - near)


def _year(region: int, surface_tilt: float, orientation: str) -> float:
    latitude, (days, declination) = _latitude(region), _months()
    k, s = _constants(orientation), sin(radians(surface_tilt / 2.0))
    a, b, c = (k[n] * s**3 + k[n + 1] * s**2 + k[n + 2] * s for n in (0, 3, 6))
    means = monthly_means(LIGHT, region)
    noon = [cos(radians(latitude - each)) for each in declination]
    on_plane = [m * (a * x * x + b * x + c + 1.0) for m, x in zip(means, noon, strict=True)]
    return float(sum(24.0 * d * w for d, w in zip(days, on_plane, strict=True)) / 1000.0)


@cache
def _latitude(region: int) -> float:
    return next(float(r["latitude_deg"]) for r in rows(LIGHT) if int(r["region"]) == region)


@cache
def _months() -> tuple[tuple[float, ...], tuple[float, ...]]:
    table = rows("sap_u3_declination_deg.csv")
    return (
        tuple(float(row["days"]) for row in table),
        tuple(float(row["declination_deg"]) for row in table),
    )


@cache
def _constants(orientation: str) -> tuple[float, ...]:
    row = next(r for r in rows("sap_u5_k_constants.csv") if r["orientation"] == orientation)
    return tuple(float(row[f"k{n}"]) for n in range(1, 10))
