"""How bright each day of a month is, when only the month's mean is known."""

from math import exp

import numpy as np

from pvkit.sky.sun import Array
from pvkit.tables import constant

# Hollands & Huget (1983), Solar Energy 30, 195-209: the brightest day of a month with mean
# clearness K is a + b K + c (K - d)^8.
BRIGHTEST = (0.6313, 0.267, -11.9, 0.75)
# Haurwitz (1945), Journal of Meteorology 2, 154-166, as in SAND2012-2389: cloudless light on level
# ground is a cos z exp(-b / cos z), in W/m2.
HAURWITZ = (1098.0, 0.059)


def clear_sky(cos_zenith: Array) -> Array:
    """Give the light on level ground under a cloudless sky [W m⁻²].

    Parameters
    ----------
    cos_zenith : cosine of the sun's zenith angle, 0 while it is down

    Source
    ------
    Haurwitz (1945), as restated by Reno, Hansen & Stein (2012), SAND2012-2389.
    """
    strength, absorption = HAURWITZ
    up = np.where(cos_zenith > 0.0, cos_zenith, 1.0)
    return np.where(cos_zenith > 0.0, strength * up * np.exp(-absorption / up), 0.0)


def brightest_day(mean: float) -> float:
    """Give the clearness of the brightest day of a month, from the month's mean.

    Source
    ------
    Hollands & Huget (1983), *Solar Energy* 30, 195-209.

    Examples
    --------
    >>> round(brightest_day(0.40), 4)
    0.7354
    """
    a, b, c, d = BRIGHTEST
    return a + b * mean + c * (mean - d) ** 8


def days_by_rank(mean: float, days: int, brightest: float) -> Array:
    """Give the clearness of a month's days, dullest first.

    Bendt's distribution is an exponential cut off at both ends; its one free number (gamma) is
    solved so that the mean is the month's, rather than taken from the published fit.

    Parameters
    ----------
    mean : clearness of the month
    days : how many days to give, at the middles of as many equal shares
    brightest : clearness of the brightest day

    Source
    ------
    Bendt, Collares-Pereira & Rabl (1981), *Solar Energy* 27, 1-5.

    Examples
    --------
    >>> days_by_rank(0.40, 5, brightest_day(0.40)).round(3)
    array([0.123, 0.265, 0.404, 0.539, 0.671])
    """
    from scipy.optimize import brentq

    lowest = constant("clearness.lowest")
    width = brightest - lowest
    target = (mean - lowest) / width
    steepness = float(brentq(lambda x: _mean_of_cut_exponential(x) - target, -200.0, 200.0))
    shares = (np.arange(days) + 0.5) / days
    if abs(steepness) < 1e-6:  # gamma passes through 0: an even spread
        return np.asarray(lowest + width * shares)
    return np.asarray(lowest + width * np.log1p(shares * np.expm1(steepness)) / steepness)


def order_of_days(days: int, rng: np.random.Generator) -> Array:
    """Give every day of the year a score whose neighbours are alike, as weather is.

    Source
    ------
    Graham & Hollands (1990), *Solar Energy* 44, 333-341: a Gaussian series of first order.
    """
    memory = constant("region.day_memory")
    shocks = rng.standard_normal(days)
    score = np.empty(days)
    score[0] = shocks[0]
    for day in range(1, days):
        score[day] = memory * score[day - 1] + (1.0 - memory**2) ** 0.5 * shocks[day]
    return score


def scaled_below(shape: Array, ceiling: Array, weight: Array, total: Array) -> Array:
    """Scale each row of ``shape``, held below ``ceiling``, until its weighted sum is ``total``.

    Parameters
    ----------
    shape, ceiling, weight : (rows, items), none below 0
    total : (rows,) the weighted sum each row must have; where even the ceiling falls short of
        it, the ceiling is lifted in proportion

    Returns
    -------
    (rows, items)
    """
    low, high = np.zeros(len(shape)), np.full(len(shape), 64.0)
    for _ in range(60):  # halving 60 times leaves nothing that a float64 can hold
        middle = (low + high) / 2.0
        enough = (np.minimum(shape * middle[:, None], ceiling) * weight).sum(axis=1) >= total
        low, high = np.where(enough, low, middle), np.where(enough, middle, high)
    scaled = np.minimum(shape * high[:, None], ceiling)
    return np.asarray(scaled * (total / (scaled * weight).sum(axis=1))[:, None])


def _mean_of_cut_exponential(steepness: float) -> float:
    """Give the mean of exp(steepness u) on 0..1."""
    if abs(steepness) < 1e-4:
        return 0.5 + steepness / 12.0
    return 1.0 / (1.0 - exp(-steepness)) - 1.0 / steepness
