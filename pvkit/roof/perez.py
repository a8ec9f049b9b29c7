"""The part of the sky's light that no plane changes: Perez's split, once per sky."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.sky.year import Sky

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

# A probe plane that faces the sun keeps all three parts of Perez's sum above zero.
_PROBE_TILT_DEG = 20.0


@dataclass(frozen=True, slots=True, eq=False)
class SkySplit:
    """Light by where it comes from, over the daylight half-hours.

    Parameters
    ----------
    daylight : (d,) positions in the year of the half-hours with sun up and light
    zenith_rad, azimuth_rad : (d,) the sun
    cos_zenith : (d,) not below Perez's floor of cos 85°
    dni, ghi : (d,) [W m⁻²]
    circumsolar : (d,) diffuse light from around the sun, on the horizontal [W m⁻²]
    isotropic : (d,) diffuse light from all over the sky, on the horizontal [W m⁻²]
    horizon_band : (d,) brightening (or darkening) along the horizon, on a wall [W m⁻²]
    """

    daylight: IntArray
    zenith_rad: Array
    azimuth_rad: Array
    cos_zenith: Array
    dni: Array
    ghi: Array
    circumsolar: Array
    isotropic: Array
    horizon_band: Array


def sky_split(sky: Sky) -> SkySplit:
    """Split a year of sky light into the parts that each plane then weighs by its own angles.

    Parameters
    ----------
    sky : a year of half-hours

    Returns
    -------
    the split over daylight; light of half-hours whose middle has the sun down is all isotropic

    Source
    ------
    Perez et al. (1990), *Solar Energy* 44, 271-289, all-sites composite coefficients, through
    ``pvlib.irradiance.perez``: its isotropic and horizon terms for one probe plane give the two
    brightness coefficients back, and those do not depend on the plane.
    """
    daylight = np.flatnonzero(sky.ghi > 0)
    zenith, azimuth = sky.sun.solar_zenith[daylight], sky.sun.solar_azimuth[daylight]
    ghi, dni, dhi = sky.ghi[daylight], sky.dni[daylight], sky.dhi[daylight]
    up = (zenith < 90) & (dhi > 0)
    isotropic, circumsolar, band = dhi.copy(), np.zeros_like(dhi), np.zeros_like(dhi)
    isotropic[up], band[up] = _perez_parts(sky, daylight[up])
    circumsolar[up] = dhi[up] - isotropic[up]
    return SkySplit(
        daylight=daylight,
        zenith_rad=np.radians(zenith),
        azimuth_rad=np.radians(azimuth),
        cos_zenith=np.maximum(np.cos(np.radians(zenith)), np.cos(np.radians(85.0))),
        dni=np.where(zenith < 90, dni, 0.0),
        ghi=ghi,
        circumsolar=circumsolar,
        isotropic=isotropic,
        horizon_band=band,
    )


def _perez_parts(sky: Sky, at: IntArray) -> tuple[Array, Array]:
    """Give (1 - F1) dhi and F2 dhi of Perez's eq. (9)."""
    import pvlib

    zenith, azimuth = sky.sun.solar_zenith[at], sky.sun.solar_azimuth[at]
    parts = pvlib.irradiance.perez(
        _PROBE_TILT_DEG,
        azimuth,
        sky.dhi[at],
        sky.dni[at],
        sky.sun.dni_extra[at],
        zenith,
        azimuth,
        pvlib.atmosphere.get_relative_airmass(zenith),
        return_components=True,
    )
    tilt = np.radians(_PROBE_TILT_DEG)
    isotropic = np.asarray(parts["poa_isotropic"]) / ((1 + np.cos(tilt)) / 2)
    return isotropic, np.asarray(parts["poa_horizon"]) / np.sin(tilt)
