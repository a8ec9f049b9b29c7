"""Rectangles in rows inside a polygon: the search behind every layout.

Rows run level across the page (along u), one above the other (along v). Which stretches of a row
lie inside the polygon is found exactly; which rows to take is the best choice out of many heights,
so that rows step past a window or a rooflight. The polygon's corners give those heights: for
straight edges along and across the rows nothing better exists, for slanted ones it is a search.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from pvkit.site.strips import Array, Stretch, edges_of, free_stretches

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

# A tile may reach this far out of the area, so that one on its edge is not lost to rounding [m].
_ROUNDING_M = 1e-6
_ALIKE_M = 1e-6
# Heights between those that the corners give, for slanted edges; and the most heights looked at.
_BETWEEN = 24
_MOST_HEIGHTS = 2000
# More than the modules an array may have; a roof of a hectare need not be packed in full.
_MOST = 1000


@dataclass(frozen=True, slots=True)
class Tile:
    """What is packed: a module, or two back to back.

    Parameters
    ----------
    along_m, deep_m : its sides along the row and across it, in plan
    gap_m : between two in a row
    pitch_m : between the lower edges of two rows, at least
    """

    along_m: float
    deep_m: float
    gap_m: float
    pitch_m: float

    @property
    def step_m(self) -> float:
        """From one tile's left side to the next one's."""
        return self.along_m + self.gap_m


@dataclass(frozen=True, slots=True)
class Row:
    """A row of tiles: its lower edge, and their left sides in order."""

    v_m: float
    us_m: tuple[float, ...]


Packed = tuple[Row, ...]


def count_of(rows: Packed) -> int:
    """Give the number of tiles in some rows."""
    return sum(len(row.us_m) for row in rows)


@lru_cache(maxsize=256)
def packed(area: "BaseGeometry", tile: Tile, turn_deg: float = 0.0) -> Packed:
    """Lay as many tiles in rows as an area takes.

    Parameters
    ----------
    area : a shapely polygon, or several
    tile : what to lay
    turn_deg : the rows' turn against the area's x, as a block's

    Returns
    -------
    rows from the lowest up, u and v turned with the rows; columns aligned where that costs no tile

    Examples
    --------
    >>> from shapely.geometry import box
    >>> rows = packed(box(0, 0, 10, 4), Tile(1.8, 1.1, 0.02, 1.7))
    >>> count_of(rows), len(rows)
    (10, 2)
    """
    edges = edges_of(area, turn_deg)
    if not len(edges):
        return ()
    heights = _heights(edges, tile)
    free = [free_stretches(edges, height, tile.deep_m) for height in heights]
    counts = np.array([sum(_fitting(stretch, tile) for stretch in each) for each in free])
    taken = _best_rows(heights, counts, tile.pitch_m)
    taken = taken[: int(np.searchsorted(counts[taken].cumsum(), _MOST)) + 1]
    found = _aligned([(float(heights[n]), free[n]) for n in taken], tile)
    return _centred(found, [free[n] for n in taken], tile, edges)


def _heights(edges: Array, tile: Tile) -> Array:
    """Give the lower edges of the rows worth a look."""
    low, high = float(edges[:, 1].min()), float(edges[:, 1].max())
    top = high - tile.deep_m
    if top < low:
        return np.zeros(0)
    corners = np.unique(edges[:, 1].round(6))
    steps = int((high - low) / tile.pitch_m) + 1
    if 4 * corners.size * steps > _MOST_HEIGHTS:
        corners = np.array([low, high])
    ladder = np.arange(-steps, steps + 1) * tile.pitch_m
    between = np.linspace(0.0, tile.pitch_m, _BETWEEN, endpoint=False)
    starts = np.concatenate([corners, corners - tile.deep_m, low + between])
    every = (starts[:, None] + ladder[None, :]).ravel()
    every = np.clip(every[(every > low - _ALIKE_M) & (every < top + _ALIKE_M)], low, top)
    return np.unique(every.round(7))


def _fitting(stretch: Stretch, tile: Tile) -> int:
    room = stretch[1] - stretch[0] + tile.gap_m + _ROUNDING_M
    return min(int(room / tile.step_m), _MOST) if room > 0 else 0


def _best_rows(heights: Array, counts: NDArray[Any], pitch_m: float) -> list[int]:
    """Choose rows at least a pitch apart that hold the most, by working down from the top."""
    after = np.searchsorted(heights, heights + pitch_m - _ALIKE_M)
    best = np.zeros((len(heights) + 1, 2), dtype=np.int64)  # tiles, and rows spared
    take = np.zeros(len(heights), dtype=np.bool_)
    for n in range(len(heights) - 1, -1, -1):
        with_it = (best[after[n], 0] + counts[n], best[after[n], 1] - 1)
        without = (best[n + 1, 0], best[n + 1, 1])
        take[n] = counts[n] > 0 and with_it >= without
        best[n] = with_it if take[n] else without
    chosen, n = [], 0
    while n < len(heights):
        if take[n]:
            chosen.append(n)
        n = int(after[n]) if take[n] else n + 1
    return chosen


def _aligned(rows: Sequence[tuple[float, list[Stretch]]], tile: Tile) -> Packed:
    """Put the tiles of each row in place: in columns if as many fit so, else from the left."""
    ends = {s for _, free in rows for start, end in free for s in (start, end - tile.along_m)}
    phases = sorted({round(s % tile.step_m, 6) for s in ends})
    total = sum(_fitting(stretch, tile) for _, free in rows for stretch in free)
    for phase in phases:
        laid = tuple(
            Row(v, tuple(u for stretch in free for u in _on_grid(stretch, tile, phase)))
            for v, free in rows
        )
        if count_of(laid) == total:
            return laid
    return tuple(
        Row(v, tuple(u for stretch in free for u in _from_left(stretch, tile))) for v, free in rows
    )


def _on_grid(stretch: Stretch, tile: Tile, phase: float) -> list[float]:
    start, end = stretch
    first = phase + tile.step_m * -(-(start - phase - _ALIKE_M) // tile.step_m)
    return _line(first, (first, end + _ALIKE_M), tile)


def _from_left(stretch: Stretch, tile: Tile) -> list[float]:
    return _line(stretch[0], stretch, tile)


def _line(first: float, room: Stretch, tile: Tile) -> list[float]:
    return [first + n * tile.step_m for n in range(_fitting(room, tile))]


def _centred(rows: Packed, free: Sequence[list[Stretch]], tile: Tile, edges: Array) -> Packed:
    """Share what is left at the sides, and above and below, as far as every tile stays inside."""
    if not rows:
        return rows
    slack = [
        (u - start, end - u - tile.along_m)
        for row, stretches in zip(rows, free, strict=True)
        for u in row.us_m
        for start, end in stretches
        if start - _ALIKE_M <= u and u + tile.along_m <= end + 2 * _ALIKE_M
    ]
    aside = (min(right for _, right in slack) - min(left for left, _ in slack)) / 2
    rows = _moved(rows, aside, 0.0)
    low, high = float(edges[:, 1].min()), float(edges[:, 1].max())
    spare = high - rows[-1].v_m - tile.deep_m - (rows[0].v_m - low)
    lifted = _moved(rows, 0.0, spare / 2)
    return lifted if all(_lies_free(row, tile, edges) for row in lifted) else rows


def _lies_free(row: Row, tile: Tile, edges: Array) -> bool:
    free = free_stretches(edges, row.v_m, tile.deep_m)
    ends = [(u + _ALIKE_M, u + tile.along_m - _ALIKE_M) for u in row.us_m]
    return all(any(s <= left and right <= e for s, e in free) for left, right in ends)


def _moved(rows: Packed, du: float, dv: float) -> Packed:
    return tuple(Row(row.v_m + dv, tuple(u + du for u in row.us_m)) for row in rows)
