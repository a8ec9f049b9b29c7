"""Light on one array's plane, with and without what the skyline hides."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.roof.horizon import horizon_elevation, sky_seen_fraction
from pvkit.roof.perez import SkySplit
from pvkit.site.place import Horizon

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Plane:
    """What the light on an array depends on beside the sky.

    Parameters
    ----------
    surface_tilt : from level [deg]
    surface_azimuth : the way it faces, clockwise from north [deg]
    albedo : share of light that the ground throws back
    horizon : distant skyline, None for a clear one
    """

    surface_tilt: float
    surface_azimuth: float
    albedo: float
    horizon: Horizon | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Light:
    """Light on a plane over the daylight half-hours [W m⁻²].

    Parameters
    ----------
    daylight : (d,) positions in the year
    aoi : (d,) angle of incidence of direct light [deg]
    direct_open, sky_open : (d,) before anything hides them; direct is the beam and the light
        from around the sun, sky the rest of the diffuse light
    direct, sky : (d,) after the skyline
    ground : (d,) thrown back by the ground
    """

    daylight: IntArray
    aoi: Array
    direct_open: Array
    sky_open: Array
    direct: Array
    sky: Array
    ground: Array


def plane_light(split: SkySplit, plane: Plane) -> Light:
    """Weigh the parts of the sky's light by the angles of one plane.

    Parameters
    ----------
    split : the plane-independent part, from :func:`pvkit.roof.perez.sky_split`
    plane : tilt, direction, ground and skyline

    Returns
    -------
    light on the plane, in the parts that glass and obstacles treat differently

    Source
    ------
    Perez et al. (1990) eq. (9): isotropic (1 + cos β)/2, circumsolar a/b, horizon sin β; ground
    reflection albedo (1 - cos β)/2 (Liu & Jordan 1963). The light from around the sun is hidden
    together with the sun itself.
    """
    tilt = np.radians(plane.surface_tilt)
    cos_aoi = _cos_aoi(split, plane)
    facing = np.maximum(cos_aoi, 0.0)
    direct = facing * (split.dni + split.circumsolar / split.cos_zenith)
    isotropic = split.isotropic * (1 + np.cos(tilt)) / 2
    sky = np.maximum(isotropic + split.horizon_band * np.sin(tilt), 0.0)
    seen_direct, seen_sky = _seen(split, plane)
    return Light(
        daylight=split.daylight,
        aoi=np.degrees(np.arccos(np.clip(cos_aoi, -1.0, 1.0))),
        direct_open=direct,
        sky_open=sky,
        direct=direct * seen_direct,
        sky=sky * seen_sky,
        ground=split.ghi * plane.albedo * (1 - np.cos(tilt)) / 2,
    )


def _cos_aoi(split: SkySplit, plane: Plane) -> Array:
    tilt, azimuth = np.radians(plane.surface_tilt), np.radians(plane.surface_azimuth)
    cosine = np.cos(split.zenith_rad) * np.cos(tilt) + np.sin(split.zenith_rad) * np.sin(
        tilt
    ) * np.cos(split.azimuth_rad - azimuth)
    return np.asarray(cosine, dtype=np.float64)


def _seen(split: SkySplit, plane: Plane) -> tuple[Array | float, float]:
    if plane.horizon is None:
        return 1.0, 1.0
    skyline = horizon_elevation(plane.horizon, split.azimuth_rad)
    above = (np.pi / 2 - split.zenith_rad > skyline).astype(np.float64)
    return above, sky_seen_fraction(plane.horizon, plane.surface_tilt, plane.surface_azimuth)
