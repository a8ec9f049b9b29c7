"""Surplus of one half-hour, minute by minute, and what takes from it in turn, compiled.

A half-hour's minutes of demand are sorted, so that those below a level stand together. The surplus
is kept in layers: a share of the half-hour, a run of its sorted minutes, and the level the sun
still reaches there. What takes a steady power lowers the level; what runs only where there is
enough parts the run of minutes; what is full before the half-hour ends parts the share.

Import this module inside the function that needs it: it brings numba along.
"""

import numpy as np
from numpy.typing import NDArray

from pvkit.compiled import inlined

Array = NDArray[np.float64]

# Rows of the layers' table: share of the half-hour; level in each minute [kWh]; the run's first
# minute and the one after its last; surplus over the run [kWh]; room to work in.
SHARE, LEVEL, FIRST, LAST, OVER, REST, CUT = range(7)
# Two kinds of light; a battery, two elements and a car part each layer in two or three.
MOST_LAYERS = 2 * 2 * 3 * 3 * 3


def room_for_layers() -> Array:
    """Make the layers' table for one thread, (7, layers)."""
    return np.zeros((7, MOST_LAYERS))


@inlined
def lower(kwh: Array, level: float, first: int, last: int) -> int:
    """Give where the minutes below a level end, within a run of minutes from low to high."""
    while first < last:
        middle = (first + last) >> 1
        if kwh[middle] < level:
            first = middle + 1
        else:
            last = middle
    return first


@inlined
def over(level: float, first: int, last: int, kwh: Array, below: Array) -> float:
    """Add up how far a level stands over the minutes of a run [kWh]."""
    if first >= last or level <= kwh[first]:
        return 0.0
    end = last if level > kwh[last - 1] else lower(kwh, level, first, last)
    return float(max(0.0, (end - first) * level - (below[end] - below[first])))


@inlined
def offered(least: float, most: float, size: int, layers: Array, kwh: Array, below: Array) -> float:
    """Add up what may be taken: in each minute with at least ``least``, up to ``most`` [kWh]."""
    total = 0.0
    for j in range(size):
        here, cut = layers[OVER, j], int(layers[LAST, j])
        rest = 0.0
        if here > 0.0:
            level, first = layers[LEVEL, j], int(layers[FIRST, j])
            if least > 0.0:
                cut = lower(kwh, level - least, first, cut)
                here = (cut - first) * level - (below[cut] - below[first])
            rest = over(level - most, first, cut, kwh, below)
            total += layers[SHARE, j] * (here - rest)
        layers[REST, j], layers[CUT, j] = rest, float(cut)
    return max(total, 0.0)


@inlined
def take(part: float, most: float, size: int, layers: Array, below: Array) -> int:
    """Take a part of what was just offered; give the new number of layers."""
    was = size
    for j in range(was):
        if layers[OVER, j] <= 0.0:
            continue
        if layers[CUT, j] < layers[LAST, j]:
            size = _part_minutes(j, size, layers, below)
        if part < 1.0:
            _copy(j, size, layers)
            layers[SHARE, size] *= 1.0 - part
            size += 1
        layers[SHARE, j] *= part
        layers[LEVEL, j] -= most
        layers[OVER, j] = layers[REST, j]
    return size


@inlined
def _part_minutes(j: int, size: int, layers: Array, below: Array) -> int:
    """Part a layer at its cut; the minutes without enough become a layer of their own."""
    first, cut = int(layers[FIRST, j]), int(layers[CUT, j])
    here = (cut - first) * layers[LEVEL, j] - (below[cut] - below[first])
    left = layers[OVER, j] - here
    if left > 0.0:
        _copy(j, size, layers)
        layers[FIRST, size], layers[OVER, size] = layers[CUT, j], left
        size += 1
    layers[LAST, j], layers[OVER, j] = layers[CUT, j], here
    return size


@inlined
def _copy(here: int, there: int, layers: Array) -> None:
    for row in range(REST):
        layers[row, there] = layers[row, here]
