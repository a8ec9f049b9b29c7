"""Hours into half-hours, each hour's energy kept."""

import numpy as np

from pvkit.sky.record import Readings
from pvkit.sky.sun import Array, Sun, cos_zenith


def half_hourly(sun: Sun, hours: Readings) -> Readings:
    """Split every hour's light over its two half-hours as the sun stands in them.

    The clearness of an hour holds for both of its halves, so ``ghi`` and ``dhi`` go with the
    sun's light above the air, and ``dni`` is shared by the halves whose middle has the sun up.
    An hour with light while the sun is down at both middles (dusk) keeps its ``ghi``, evenly,
    all of it as light of the sky; its ``dni`` is dropped.

    Parameters
    ----------
    sun : half-hourly sun of the place
    hours : readings of the 8,760 UTC hours of the year

    Returns
    -------
    readings of the 17,520 half-hours, each pair with its hour's mean (``temp_air`` follows the
    slope between hours, ``wind_speed`` stays)

    Examples
    --------
    >>> from pvkit.sky.sun import sun_year
    >>> hours = Readings(*np.full((5, 8760), 100.0))
    >>> halves = half_hourly(sun_year(52.0, 0.0, 0.0), hours)
    >>> float(halves.ghi.mean().round(9))
    100.0
    """
    cosine = cos_zenith(sun)
    by_light = _shares(sun.dni_extra * cosine)
    by_sun = _shares((cosine > 0.0).astype(np.float64))
    dusk = by_sun.sum(axis=1) == 0.0
    even = np.where(dusk[:, None], 1.0, by_light)
    return Readings(
        ghi=(hours.ghi[:, None] * even).ravel(),
        dni=(hours.dni[:, None] * by_sun).ravel(),
        dhi=(np.where(dusk, hours.ghi, hours.dhi)[:, None] * even).ravel(),
        temp_air=_sloped(hours.temp_air),
        wind_speed=np.repeat(hours.wind_speed, 2),
    )


def _shares(weight: Array) -> Array:
    """Give each half-hour's weight over its hour's mean; nothing where the hour has none."""
    pairs = weight.reshape(-1, 2)
    mean = pairs.mean(axis=1, keepdims=True)
    return np.asarray(np.divide(pairs, mean, out=np.zeros_like(pairs), where=mean > 0.0))


def _sloped(hourly: Array) -> Array:
    """Let each hour's halves follow the slope between its neighbours, its mean kept."""
    quarter = (np.roll(hourly, -1) - np.roll(hourly, 1)) / 8.0
    return np.asarray(np.stack([hourly - quarter, hourly + quarter], axis=1).ravel())
