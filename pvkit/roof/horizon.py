"""What a distant skyline hides: the sun at times, and a share of the sky always."""

import numpy as np
from numpy.typing import NDArray

from pvkit.site.place import Horizon

Array = NDArray[np.float64]

# Fine enough that the share of sky hidden moves by less than 1e-4 when halved.
_BEARING_STEP_DEG = 2.0
_ELEVATION_STEP_DEG = 1.0


def horizon_elevation(horizon: Horizon, bearing_rad: Array) -> Array:
    """Give the skyline's elevation at each bearing, straight between the measured points.

    Parameters
    ----------
    horizon : measured bearings and elevations [deg], joined round through north
    bearing_rad : bearings asked for [rad]

    Returns
    -------
    elevations [rad]

    Examples
    --------
    >>> line = Horizon(bearing_deg=(90.0, 180.0), elevation_deg=(10.0, 20.0))
    >>> np.degrees(horizon_elevation(line, np.radians([135.0, 0.0]))).round(3)
    array([15.   , 13.333])
    """
    elevation = np.interp(
        np.degrees(bearing_rad), horizon.bearing_deg, horizon.elevation_deg, period=360.0
    )
    return np.asarray(np.radians(elevation), dtype=np.float64)


def sky_seen_fraction(horizon: Horizon, surface_tilt: float, surface_azimuth: float) -> float:
    """Give the share of a plane's own isotropic sky light that the skyline leaves.

    Parameters
    ----------
    horizon : the skyline
    surface_tilt, surface_azimuth : the plane [deg]

    Returns
    -------
    0 to 1; 1 with a skyline at level

    Source
    ------
    The sum of cos(angle of incidence) over the visible sky above the plane, divided by the same
    sum over all sky above the plane (Lambert's law), by the midpoint rule.
    """
    bearing, elevation = _grid()
    weight = _cos_incidence(bearing, elevation, surface_tilt, surface_azimuth) * np.cos(elevation)
    seen = elevation > horizon_elevation(horizon, bearing)
    return float((weight * seen).sum() / weight.sum())


def _grid() -> tuple[Array, Array]:
    bearings = np.radians(np.arange(_BEARING_STEP_DEG / 2, 360.0, _BEARING_STEP_DEG))
    elevations = np.radians(np.arange(_ELEVATION_STEP_DEG / 2, 90.0, _ELEVATION_STEP_DEG))
    bearing, elevation = np.meshgrid(bearings, elevations)
    return bearing.ravel(), elevation.ravel()


def _cos_incidence(bearing: Array, elevation: Array, tilt_deg: float, azimuth_deg: float) -> Array:
    tilt, azimuth = np.radians(tilt_deg), np.radians(azimuth_deg)
    cosine = np.sin(elevation) * np.cos(tilt) + np.cos(elevation) * np.sin(tilt) * np.cos(
        bearing - azimuth
    )
    return np.asarray(np.maximum(cosine, 0.0), dtype=np.float64)
