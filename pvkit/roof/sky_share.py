"""What a plane keeps of the sky's diffuse light, summed over the sky-view table."""

import numpy as np
from numpy.typing import NDArray

from pvkit.roof.horizon import horizon_elevation
from pvkit.roof.light import Plane

Array = NDArray[np.float64]
Float32 = NDArray[np.float32]

# Points along each side of a part of the sky at which its weight is taken.
_POINTS = 4


def left_of_sky(hidden: Float32, weight: Array) -> Array:
    """Give the share of a sky's light on a plane that a table leaves.

    Parameters
    ----------
    hidden : (seasons, bearings, elevations, sections) from a :class:`SkyView`
    weight : (bearings, elevations) from :func:`sky_weights`

    Returns
    -------
    (seasons, sections), exactly 1 where nothing is hidden
    """
    from pvkit.roof.light_kernel import sum_table

    lost = np.zeros((hidden.shape[0], hidden.shape[3]))
    sum_table(hidden, weight, lost)
    return np.asarray(1.0 - lost / weight.sum(), dtype=np.float64)


def sky_weights(bearings: int, elevations: int, plane: Plane, top_deg: float = 90.0) -> Array:
    """Give what each part of an isotropic sky of radiance 1/pi sends onto a plane.

    Without a skyline they sum to (1 + cos tilt) / 2 (Liu & Jordan 1963).

    Parameters
    ----------
    bearings, elevations : number of parts
    plane : its tilt, direction and distant skyline
    top_deg : elevation above which the sky is taken to be dark

    Returns
    -------
    (bearings, elevations) shares of a level plane's light
    """
    turn, step = 2 * np.pi / bearings, np.pi / 2 / elevations
    bearing = _middles(bearings * _POINTS, turn / _POINTS)[:, None]
    elevation = _middles(elevations * _POINTS, step / _POINTS)[None, :]
    tilt, azimuth = np.radians(plane.surface_tilt), np.radians(plane.surface_azimuth)
    cosine = np.sin(elevation) * np.cos(tilt) + np.cos(elevation) * np.sin(tilt) * np.cos(
        bearing - azimuth
    )
    weight = np.maximum(cosine, 0.0) * np.cos(elevation) * turn * step / _POINTS**2 / np.pi
    weight = weight * (elevation < np.radians(top_deg))
    if plane.horizon is not None:
        weight = weight * (elevation > horizon_elevation(plane.horizon, bearing[:, 0])[:, None])
    parts = weight.reshape(bearings, _POINTS, elevations, _POINTS)
    return np.asarray(parts.sum(axis=(1, 3)), dtype=np.float64)


def _middles(count: int, step: float) -> Array:
    return np.asarray((np.arange(count) + 0.5) * step, dtype=np.float64)
