"""Where a level strip lies wholly inside an area: plane geometry on the area's edges."""

from math import cos, radians, sin
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

Array = NDArray[np.float64]
Stretch = tuple[float, float]

# A strip may reach this far out of the area, so that one on its edge is not lost to rounding [m].
ROUNDING_M = 1e-6
_LEVEL_M = 1e-9


def edges_of(area: "BaseGeometry", turn_deg: float = 0.0) -> Array:
    """Give the edges of an area, outer and inner, as seen along rows turned against its x.

    Parameters
    ----------
    area : a shapely polygon, or several that do not overlap
    turn_deg : of the rows, as a block's

    Returns
    -------
    (edges, 4) u and v of the start, u and v of the end
    """
    parts = [part for part in getattr(area, "geoms", [area]) if not part.is_empty]
    rings = [np.asarray(ring.coords) for p in parts for ring in (p.exterior, *p.interiors)]
    if not rings:
        return np.zeros((0, 4))
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    turned = [ring[:, :2] @ np.array([[c, s], [-s, c]]) for ring in rings]
    return np.concatenate([np.hstack([ring[:-1], ring[1:]]) for ring in turned])


def free_stretches(edges: Array, height: float, deep_m: float) -> list[Stretch]:
    """Give the stretches along u over which a strip lies wholly inside an area.

    Wherever an edge runs within the strip, something of it lies outside; between those places it
    lies all inside or all outside.

    Parameters
    ----------
    edges : from :func:`edges_of`
    height : v of the strip's lower edge
    deep_m : from there to its upper edge

    Examples
    --------
    >>> from shapely.geometry import box
    >>> edges = edges_of(box(0, 0, 9, 4).difference(box(3, 1, 4, 2)))
    >>> free_stretches(edges, 1.5, 1.0), free_stretches(edges, 2.0, 1.0)
    ([(0.0, 3.0), (4.0, 9.0)], [(0.0, 9.0)])
    """
    low, high = height + ROUNDING_M, height + deep_m - ROUNDING_M
    vs = edges[:, 1::2]
    met = edges[(vs.max(axis=1) > low) & (vs.min(axis=1) < high)]
    stretches = _between(_run_within(met, low, high))
    if not stretches:
        return []
    middle = (low + high) / 2
    across = met[(met[:, 1] > middle) != (met[:, 3] > middle)]
    crossings = np.sort(_run_within(across, middle, middle)[:, 0])
    middles = np.array([(start + end) / 2 for start, end in stretches])
    inside = np.searchsorted(crossings, middles) % 2 == 1
    return [stretch for stretch, lies in zip(stretches, inside, strict=True) if lies]


def _run_within(edges: Array, low: float, high: float) -> Array:
    """Give the least and greatest u of the part of each edge between two heights, by the least."""
    u1, v1, u2, v2 = edges.T
    rise = v2 - v1
    level = np.abs(rise) < _LEVEL_M
    slope = np.where(level, 1.0, rise)
    start = np.where(level, 0.0, np.clip((np.clip(v1, low, high) - v1) / slope, 0.0, 1.0))
    end = np.where(level, 1.0, np.clip((np.clip(v2, low, high) - v1) / slope, 0.0, 1.0))
    ends = np.sort([u1 + start * (u2 - u1), u1 + end * (u2 - u1)], axis=0)
    return np.asarray(ends[:, np.argsort(ends[0])].T)


def _between(blocked: Array) -> list[Stretch]:
    """Give what lies between some blocked stretches, in order of their starts."""
    found: list[Stretch] = []
    if not len(blocked):
        return found
    at = float(blocked[0, 1])
    for start, end in blocked[1:]:
        if start > at:
            found.append((at, float(start)))
        at = max(at, float(end))
    return found
