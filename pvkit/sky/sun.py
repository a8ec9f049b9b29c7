"""Where the sun stands at the middle of every half-hour of the year."""

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pvkit.tables import constant

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]
HALF_HOURS_A_DAY = 48
HALF_HOURS = 365 * HALF_HOURS_A_DAY


@dataclass(frozen=True, slots=True, eq=False)
class Sun:
    """The sun over one place, at the middle of every half-hour of the reference year.

    Parameters
    ----------
    times : (n,) starts of the half-hours, UTC
    solar_zenith : (n,) angle from straight up, with refraction [°]
    solar_azimuth : (n,) clockwise from north [°]
    dni_extra : (n,) sunlight outside the air, facing the sun [W m⁻²]
    """

    times: pd.DatetimeIndex
    solar_zenith: Array
    solar_azimuth: Array
    dni_extra: Array


@dataclass(frozen=True, slots=True, eq=False)
class Above:
    """What the sun offers above the air over each step of the year.

    Parameters
    ----------
    horizontal : (steps,) mean light on level ground if there were no air [W m⁻²]
    cos_zenith : (steps,) mean cosine of the zenith angle, a sun below the horizon counted as 0
    up_fraction : (steps,) share of the step's half-hours whose middle has the sun up
    """

    horizontal: Array
    cos_zenith: Array
    up_fraction: Array


def sun_year(latitude: float, longitude: float, altitude_m: float) -> Sun:
    """Follow the sun over one place through the reference year.

    Parameters
    ----------
    latitude, longitude : degrees north and east
    altitude_m : height above the sea [m]; sets the air pressure, so the bending of low sunlight

    Returns
    -------
    the sun at the middle of every half-hour

    Source
    ------
    Reda & Andreas (2008), *Solar Position Algorithm for Solar Radiation Applications*,
    NREL/TP-560-34302, through pvlib.

    Examples
    --------
    >>> sun = sun_year(52.0, 0.0, 50.0)
    >>> round(90.0 - float(sun.solar_zenith.min()))  # midsummer noon: 90 - 52 + 23
    61
    """
    import pvlib

    year = int(constant("calendar.year"))
    times = pd.date_range(f"{year}-01-01", periods=HALF_HOURS, freq="30min", tz="UTC")
    middles = times + pd.Timedelta(minutes=15)
    position = pvlib.solarposition.get_solarposition(
        middles, latitude, longitude, altitude=altitude_m, method="nrel_numpy"
    )
    return Sun(
        times=times,
        solar_zenith=position["apparent_zenith"].to_numpy(np.float64),
        solar_azimuth=position["azimuth"].to_numpy(np.float64),
        dni_extra=np.asarray(
            pvlib.irradiance.get_extra_radiation(middles.day_of_year.to_numpy()), np.float64
        ),
    )


def cos_zenith(sun: Sun) -> Array:
    """Give the cosine of the sun's zenith angle, 0 while it is below the horizon."""
    return np.maximum(np.cos(np.radians(sun.solar_zenith)), 0.0)


def above(sun: Sun, halves: int) -> Above:
    """Gather what the sun offers above the air over steps of ``halves`` half-hours."""
    cosine = cos_zenith(sun)
    return Above(
        horizontal=steps(sun.dni_extra * cosine, halves),
        cos_zenith=steps(cosine, halves),
        up_fraction=steps((cosine > 0.0).astype(np.float64), halves),
    )


def steps(half_hourly: Array, halves: int) -> Array:
    """Take the mean over each step of ``halves`` half-hours."""
    return np.asarray(half_hourly.reshape(-1, halves).mean(axis=1))
