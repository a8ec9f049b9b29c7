"""The minutes of a year, compiled: spans of power added up, and sums over sorted minutes.

Import this module inside the function that needs it: it brings numba along.
"""

import numpy as np
from numpy.typing import NDArray

from pvkit.compiled import compiled, compiled_to_make_arrays

Array = NDArray[np.float64]


@compiled
def _switch(power: Array, moment: float, kw: float) -> None:
    """Add a step within a minute, shared with the next so that both have their means."""
    minute = int(moment)
    late = kw * (moment - minute)
    power[minute] += kw - late
    power[minute + 1] += late


@compiled_to_make_arrays
def added_up(start: Array, length: Array, kw: Array, steady_kw: float, minutes: int) -> Array:
    """Add up spans of steady power, (minutes,) mean of each minute [kW].

    Starts and lengths are in minutes; a span that runs past the year's end comes round to its
    beginning.
    """
    power, level = np.zeros(minutes + 2), steady_kw
    for i in range(len(start)):
        on = start[i] % minutes
        off = on + length[i]
        if off >= minutes:
            off -= minutes
            level += kw[i]
        _switch(power, on, kw[i])
        _switch(power, off, -kw[i])
    for minute in range(minutes):
        level += power[minute]
        power[minute] = level
    return power[:minutes]


@compiled_to_make_arrays
def sums_from_low(minutes: Array) -> Array:
    """Sum each row's lowest 0, 1, .. 30 of 30 sorted values: (n, 30) to (n, 31)."""
    rows, columns = minutes.shape
    below = np.empty((rows, columns + 1))
    for row in range(rows):
        total = 0.0
        below[row, 0] = total
        for column in range(columns):
            total += minutes[row, column]
            below[row, column + 1] = total
    return below
