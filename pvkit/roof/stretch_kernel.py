"""The stretch of the sky that one solid hides along one bearing, compiled.

Import this module inside the function that needs it: it brings numba along.
"""

import math

import numpy as np
from numpy.typing import NDArray

from pvkit.compiled import inlined

Array = NDArray[np.float64]
Point = tuple[float, float, float]

JUST_AHEAD_M = 1e-9


@inlined
def face_stretch(
    faces: Array, k: int, cell: Point, way: tuple[float, float]
) -> tuple[float, float]:
    """Give the slopes (rise over level run) between which a flat face hides the sky along a way.

    ``way`` is a level step of one metre, east and north. A face that is missed gives a low above
    the high.
    """
    east, north = way
    t1, z1, t2, z2, found = 0.0, 0.0, 0.0, 0.0, 0
    dx, dy = faces[k, 3, 0] - cell[0], faces[k, 3, 1] - cell[1]
    side, ahead, up = east * dy - north * dx, east * dx + north * dy, faces[k, 3, 2] - cell[2]
    for corner in range(4):
        dx, dy = faces[k, corner, 0] - cell[0], faces[k, corner, 1] - cell[1]
        next_side, next_ahead = east * dy - north * dx, east * dx + north * dy
        next_up = faces[k, corner, 2] - cell[2]
        if (side > 0.0) != (next_side > 0.0):
            part = side / (side - next_side)
            t2, z2 = ahead + part * (next_ahead - ahead), up + part * (next_up - up)
            if found == 0:
                t1, z1 = t2, z2
            found += 1
        side, ahead, up = next_side, next_ahead, next_up
    if found == 0 or (t1 <= 0.0 and t2 <= 0.0):
        return math.inf, -math.inf
    if t1 <= 0.0:
        t1, z1 = JUST_AHEAD_M, z2 + (z1 - z2) * (t2 - JUST_AHEAD_M) / (t2 - t1)
    elif t2 <= 0.0:
        t2, z2 = JUST_AHEAD_M, z1 + (z2 - z1) * (t1 - JUST_AHEAD_M) / (t1 - t2)
    one, other = z1 / t1, z2 / t2
    return min(one, other), max(one, other)


@inlined
def round_stretch(
    rounds: Array, k: int, cell: Point, way: tuple[float, float]
) -> tuple[float, float]:
    """Give the slopes between which an upright cylinder hides the sky along a way."""
    east, north = way
    dx, dy = rounds[k, 0] - cell[0], rounds[k, 1] - cell[1]
    side, ahead = east * dy - north * dx, east * dx + north * dy
    if abs(side) >= rounds[k, 2] or rounds[k, 4] <= cell[2]:
        return math.inf, -math.inf
    half = math.sqrt(rounds[k, 2] * rounds[k, 2] - side * side)
    near, far = max(ahead - half, JUST_AHEAD_M), ahead + half
    if far <= 0.0:
        return math.inf, -math.inf
    low = (rounds[k, 3] - cell[2]) / far if rounds[k, 3] > cell[2] else -math.inf
    return low, (rounds[k, 4] - cell[2]) / near
