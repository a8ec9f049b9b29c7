"""Some tiles of a packing: which rows to take, and which places in them."""

from collections.abc import Sequence
from itertools import pairwise
from math import hypot

from pvkit.site.packing import Packed, Row, Tile

_ALIKE_M = 1e-6


def some_of(rows: Packed, count: int, tile: Tile, first: int | None = None) -> Packed:
    """Take so many tiles of a packing, close together: few neighbouring rows, evenly filled.

    Parameters
    ----------
    rows : a packing of at least ``count`` tiles
    count : how many to take
    tile : what was packed
    first : the lowest row to take from; the choice nearest the packing's middle if left out

    Returns
    -------
    rows from the lowest up; empty if there are not enough from ``first`` upwards
    """
    caps = [len(row.us_m) for row in rows]
    wanted = range(len(rows)) if first is None else (first,)
    middle = (rows[0].v_m + rows[-1].v_m) / 2 if rows else 0.0
    for many in range(1, len(rows) + 1):
        windows = [n for n in wanted if n + many <= len(rows) and sum(caps[n : n + many]) >= count]
        if windows:
            n = min(windows, key=lambda n: abs((rows[n].v_m + rows[n + many - 1].v_m) / 2 - middle))
            some = rows[n : n + many]
            return _peeled(some, count, tile) if _holed(some, tile) else _thinned(some, count, tile)
    return ()


def _thinned(rows: Packed, count: int, tile: Tile) -> Packed:
    """Leave ``count`` tiles in some rows, as even as the rows allow, in the middle of each."""
    caps = [len(row.us_m) for row in rows]
    most = next(q for q in range(1, max(caps) + 1) if sum(min(c, q) for c in caps) >= count)
    keep = [min(cap, most) for cap in caps]
    for n in range(len(keep) - 1, -1, -1):
        keep[n] -= min(sum(keep) - count, keep[n] - 1 if n else keep[n])
    every = [u for row in rows for u in row.us_m]
    middle = (min(every) + max(every) + tile.along_m) / 2
    return tuple(
        Row(row.v_m, _nearest(row.us_m, many, middle - tile.along_m / 2))
        for row, many in zip(rows, keep, strict=True)
        if many
    )


def _nearest(us: Sequence[float], many: int, middle: float) -> tuple[float, ...]:
    """Give neighbours in a row, nearest the middle."""
    starts = range(len(us) - many + 1)
    ends = [(us[n], us[n + many - 1]) for n in starts]
    spread = [(end - start, abs(start + end - 2 * middle)) for start, end in ends]
    best = min(starts, key=lambda n: spread[n])
    return tuple(us[best : best + many])


def _holed(rows: Packed, tile: Tile) -> bool:
    """Tell whether a row has a gap in it, round something that is kept clear."""
    steps = [b - a for row in rows for a, b in pairwise(row.us_m)]
    return max(steps, default=0.0) > tile.step_m + _ALIKE_M


def _peeled(rows: Packed, count: int, tile: Tile) -> Packed:
    """Take tiles off the outside until ``count`` are left, each row from its end."""
    left = [(row.v_m, u) for row in rows for u in row.us_m]
    last = float("nan")
    while len(left) > count:
        mean_v, mean_u = (sum(each) / len(left) for each in zip(*left, strict=True))
        ranks = [
            (
                _neighbours(each, left, tile),
                each[0] != last,
                -hypot(each[0] - mean_v, each[1] - mean_u),
            )
            for each in left
        ]
        last = left.pop(min(range(len(left)), key=lambda n: ranks[n]))[0]
    kept = ((row.v_m, tuple(u for u in row.us_m if (row.v_m, u) in left)) for row in rows)
    return tuple(Row(v, us) for v, us in kept if us)


def _neighbours(
    each: tuple[float, float], others: Sequence[tuple[float, float]], tile: Tile
) -> int:
    """Count the tiles that lie beside one, or above or below it."""
    v, u = each
    near_v, near_u = tile.pitch_m + _ALIKE_M, tile.step_m + _ALIKE_M
    return sum(abs(w - v) <= near_v and abs(t - u) <= near_u for w, t in others) - 1
