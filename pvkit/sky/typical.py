"""Which year each month of a typical year is taken from."""

import numpy as np

from pvkit.sky.sun import Array, IntArray
from pvkit.tables import constant


def typical_months(daily: Array, month: IntArray) -> tuple[int, ...]:
    """Choose for each month the year whose days are spread most like those of all years.

    Parameters
    ----------
    daily : (years, days, 3) light on level ground, temperature and wind of each day
    month : (days,) 0 to 11

    Returns
    -------
    for each of the 12 months, the place of its year

    Source
    ------
    Finkelstein & Schafer, *Biometrika* 58 (1971) 641-645, as BS EN ISO 15927-4:2005 uses it:
    the mean distance between a month's cumulative distribution and that of the same month in all
    years. That standard ranks by light, temperature and humidity alike and then by wind; here the
    three are weighed (``online.weight``), light the most, because nothing else moves the yield
    nearly as much.

    Examples
    --------
    >>> days = np.stack([np.full((365, 3), value) for value in (1.0, 2.0, 9.0)])
    >>> set(typical_months(days, np.repeat(np.arange(12), [31] * 11 + [24])))
    {1}
    """
    weights = [constant(f"online.weight.{name}") for name in ("ghi", "temp_air", "wind_speed")]
    chosen = []
    for number in range(12):
        some = daily[:, month == number]
        distance = sum(
            weight * _distances(some[:, :, column]) for column, weight in enumerate(weights)
        )
        chosen.append(int(np.argmin(distance)))
    return tuple(chosen)


def _distances(days: Array) -> Array:
    """Give each year's mean distance to the distribution of all years, (years,)."""
    every = np.sort(days.ravel())
    of_all = np.arange(1, len(every) + 1) / len(every)
    own = np.array(
        [np.searchsorted(np.sort(year), every, side="right") / len(year) for year in days]
    )
    return np.asarray(np.abs(own - of_all).mean(axis=1))
