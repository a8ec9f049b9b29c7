"""The sun's energy as the home meets it: half-hours, and how cloud parts the light within each."""

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from pvkit.sky.record import Sky
from pvkit.tables import rows

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Solar:
    """A year of a new system's metered a.c. energy.

    Parameters
    ----------
    kwh : (n,) metered a.c. energy of each half-hour [kWh]
    bright_share : (n,) part of the half-hour in its brighter light; 1 is even light [-]
    bright : (n,) power in it over the half-hour's mean; the rest is as much dimmer [-]
    over_limit_kwh : (n,) energy that the inverter's limit cuts off, as a.c. energy; a battery on
        the d.c. side may take it [kWh]
    """

    kwh: Array
    bright_share: Array
    bright: Array
    over_limit_kwh: Array

    @classmethod
    def even(cls, kwh: Array) -> "Solar":
        """Take energy as even over each half-hour, none of it cut off.

        Examples
        --------
        >>> float(Solar.even(np.array([0.6])).bright_share[0])
        1.0
        """
        ones = np.ones(len(kwh))
        return cls(kwh, ones, ones, np.zeros(len(kwh)))

    @classmethod
    def under(
        cls, sky: Sky, kwh: Array, over_limit_kwh: Array | None = None, most_kwh: float = np.inf
    ) -> "Solar":
        """Take energy under the cloud of a sky.

        Parameters
        ----------
        sky : the year's light
        kwh, over_limit_kwh : as above; nothing cut off if it is left out
        most_kwh : what the inverter's rating gives in a half-hour; bright minutes keep to it
        """
        share, bright = minute_light(clearness(sky))
        over = np.zeros(len(kwh)) if over_limit_kwh is None else over_limit_kwh
        most = np.divide(most_kwh, kwh, out=np.full(len(kwh), np.inf), where=kwh > 0.0)
        return cls(kwh, share, np.minimum(bright, np.maximum(most, 1.0)), over)


def clearness(sky: Sky) -> Array:
    """Give the part of the light outside the air that reaches level ground, (n,), 0 by night."""
    height = np.cos(np.radians(sky.sun.solar_zenith))
    outside = sky.sun.dni_extra * np.maximum(height, 0.0)
    lit = outside > 0.0
    return np.clip(np.divide(sky.ghi, outside, out=np.zeros(len(lit)), where=lit), 0.0, 1.0)


def minute_light(clear: Array) -> tuple[Array, Array]:
    """Give how cloud parts the light of half-hours, from their clearness.

    A half-hour of one clearness may be steady or broken; the table holds the mean of many, so
    what is used at home is right on average, not in each half-hour.

    Parameters
    ----------
    clear : (n,) clearness of each half-hour [-]

    Returns
    -------
    Two (n,): part of the half-hour in the brighter light, and that light over the mean

    Source
    ------
    ``minute_light_by_clearness.csv``

    Examples
    --------
    >>> share, bright = minute_light(np.array([0.55]))
    >>> float(share[0]), float(bright[0])
    (0.441, 1.357)
    """
    edges, share, bright = _table()
    place = np.searchsorted(edges, clear, side="right") - 1
    return share[place], bright[place]


@cache
def _table() -> tuple[Array, Array, Array]:
    table = rows("minute_light_by_clearness.csv")
    names = ("clearness_from", "bright_share", "bright")
    edges, share, bright = (np.array([float(row[name]) for row in table]) for name in names)
    return edges, share, bright
