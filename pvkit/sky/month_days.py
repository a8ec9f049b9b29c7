"""A year's days from monthly means: their brightness, and what runs smoothly through the months."""

from dataclasses import dataclass

import numpy as np

from pvkit.sky.clearness import brightest_day, days_by_rank, order_of_days, scaled_below
from pvkit.sky.sun import Array, BoolArray, IntArray
from pvkit.tables import constant


@dataclass(frozen=True, slots=True, eq=False)
class Days:
    """Brightness of the days of a year.

    Parameters
    ----------
    clearness : (days,) light on level ground over that above the air
    twin : (days,) the day whose clouds a day has: days of like brightness come in pairs
    mirrored : (days,) True where it has them the other way round, afternoon for morning
    """

    clearness: Array
    twin: IntArray
    mirrored: BoolArray


def days_of_months(totals: Array, month: IntArray, above: Array, clear: Array) -> Days:
    """Spread each month's light over its days.

    A month's days follow Bendt's distribution, no day brighter than a cloudless one, in an order
    in which bright days follow bright days about as often as they do outside.

    Parameters
    ----------
    totals : (12,) light on level ground in each month, in the unit of ``above``
    month : (days,) 0 to 11
    above : (days,) light above the air on level ground
    clear : (days,) light of a cloudless sky on level ground

    Returns
    -------
    the days; the months' totals are exact

    Source
    ------
    Bendt, Collares-Pereira & Rabl (1981), with the brightest day of Hollands & Huget (1983) or
    Haurwitz's cloudless day, whichever is duller (in a British winter the first is brighter than
    any cloudless day).
    """
    rng = np.random.default_rng(int(constant("region.seed")))
    score = order_of_days(len(month), rng)
    clearness, twin = np.empty(len(month)), np.arange(len(month))
    mirrored = np.zeros(len(month), bool)
    for number, total in enumerate(totals):
        days = np.flatnonzero(month == number)
        days = days[np.argsort(score[days])]
        pairs = days[: len(days) // 2 * 2].reshape(-1, 2)
        twin[pairs[:, 1]] = pairs[:, 0]
        # Of one pair the brighter day is mirrored, of the next the duller.
        mirrored[np.concatenate([pairs[0::2, 1], pairs[1::2, 0]])] = True
        clearness[days] = _one_month(float(total), above[days], clear[days])
    return Days(clearness, twin, mirrored)


def smooth_days(monthly: Array, month: IntArray) -> Array:
    """Let a quantity run smoothly through the year while every month keeps its mean.

    Straight lines join the middles of the months, through heights solved so that the months'
    means come out.

    Parameters
    ----------
    monthly : (12,) means
    month : (days,) 0 to 11

    Examples
    --------
    >>> month = np.repeat(np.arange(12), 30)
    >>> days = smooth_days(np.arange(12.0), month)
    >>> float(days[month == 3].mean().round(9))
    3.0
    """
    day = np.arange(len(month)) + 0.5
    middles = np.array([day[month == number].mean() for number in range(12)])
    lines = np.stack([np.interp(day, middles, unit, period=len(month)) for unit in np.eye(12)])
    means = np.stack([lines[:, month == number].mean(axis=1) for number in range(12)])
    return np.asarray(np.linalg.solve(means, monthly) @ lines)


def _one_month(total: float, above: Array, clear: Array) -> Array:
    """Give the clearness of one month's days, dullest first."""
    mean = total / above.sum()
    brightest = min(brightest_day(mean), clear.sum() / above.sum())
    shape = days_by_rank(mean, len(above), brightest)
    scaled = scaled_below(shape[None], (clear / above)[None], above[None], np.array([total]))
    return np.asarray(scaled[0])
