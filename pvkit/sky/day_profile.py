"""How a day's light falls into its hours: even clearness, then clouds, below a clear sky."""

import numpy as np

from pvkit.sky.clearness import scaled_below
from pvkit.sky.month_days import Days
from pvkit.sky.sun import Array
from pvkit.tables import constant

HOURS = 24
# Aguiar & Collares-Pereira (1992), Solar Energy 49, 167-174 (secondary copy): hourly clearness
# departs from its mean by sigma y, with K the day's clearness and h the sun's height,
#   sigma = A exp(B (1 - sin h)), A = a0 exp(-a1 (K - a2)^2), B = b0 (K - b1)^2 + b2 K^5,
# and y a Gaussian series of first order with memory c0 + c1 cos(c2 K - c3).
SPREAD_A = (0.14, 20.0, 0.35)
SPREAD_B = (3.0, 0.45, 16.0)
MEMORY = (0.38, 0.06, 7.4, 2.5)


def hours_of_days(days: Days, above: Array, clear: Array, sine: Array) -> Array:
    """Give the clearness of every hour, each day's energy kept.

    An overcast or broken sky lets through the same share all day (Liu & Jordan's shape), a
    Gaussian noise makes clouds come and go, and no hour is brighter than a cloudless one. Days
    come in twins of like brightness with mirrored clouds, so that the year favours neither morning
    nor afternoon.

    Parameters
    ----------
    days : brightness of each day, and whose clouds it shares
    above : (days, 24) light above the air on level ground [W m⁻²]
    clear : (days, 24) light of a cloudless sky on level ground [W m⁻²]
    sine : (days, 24) sine of the sun's height

    Returns
    -------
    (days, 24) light on level ground over that above the air

    Source
    ------
    Liu & Jordan (1960), *Solar Energy* 4(3), 1-19; noise of Aguiar & Collares-Pereira (1992),
    *Solar Energy* 49, 167-174, of which the share ``region.cloud_share`` is used.
    """
    daily = days.clearness
    noise = _spread(daily[:, None], sine) * _clouds(days)
    # A dip below zero is folded back: a dark hour, not a negative one.
    shape = np.abs(daily[:, None] + constant("region.cloud_share") * noise)
    ceiling = np.divide(clear, above, out=np.zeros_like(above), where=above > 0.0)
    return scaled_below(shape, ceiling, above, daily * above.sum(axis=1))


def _spread(daily: Array, sine: Array) -> Array:
    """Give the standard deviation of hourly clearness."""
    a0, a1, a2 = SPREAD_A
    b0, b1, b2 = SPREAD_B
    at_zenith = a0 * np.exp(-a1 * (daily - a2) ** 2)
    growth = b0 * (daily - b1) ** 2 + b2 * daily**5
    return at_zenith * np.exp(growth * (1.0 - sine))


def _clouds(days: Days) -> Array:
    """Give unit-variance noise with memory from hour to hour."""
    c0, c1, c2, c3 = MEMORY
    memory = c0 + c1 * np.cos(c2 * days.clearness - c3)
    rng = np.random.default_rng([int(constant("region.seed")), HOURS])
    shocks = rng.standard_normal((len(memory), HOURS))[days.twin]
    noise = np.empty_like(shocks)
    noise[:, 0] = shocks[:, 0]
    for hour in range(1, HOURS):
        noise[:, hour] = memory * noise[:, hour - 1] + np.sqrt(1 - memory**2) * shocks[:, hour]
    noise[days.mirrored] = noise[days.mirrored, ::-1]
    return noise
