"""Modules round what stands on a roof, where a plain block of them has no room."""

from collections.abc import Iterator
from functools import lru_cache
from typing import TYPE_CHECKING

from pvkit.site.grids import module_count, one_module, overhang_limit_m, pitches_m, ways
from pvkit.site.kit import Array, Roof
from pvkit.site.packing import Packed, Tile, count_of, packed
from pvkit.site.plan import Block, Outline, lean_deg, turn_deg, with_places
from pvkit.site.thinning import some_of
from pvkit.site.usable import KeptClear, polygon, usable_area, widened, without

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

Kept = tuple[KeptClear, ...]
Outlines = tuple[Outline, ...]


def tile_of(one: Block) -> Tile:
    """Give what is packed for a module."""
    return Tile(one.along_m, one.row_depth_m, one.gap_m, one.pitch_m)


def block_of(rows: Packed, one: Block) -> Block:
    """Give the block of a packing's modules, numbered along each row and then up."""
    return with_places(one, [(u, row.v_m) for row in rows for u in row.us_m])


def free_area(
    roof: Roof, kept: Kept, others: Outlines, turn: float, *, margins: bool
) -> "BaseGeometry":
    """Give the part of a roof that an array's modules may take beside those of other arrays.

    Parameters
    ----------
    roof, kept, margins : as for :func:`pvkit.site.usable.usable_area`
    others : modules of the other arrays
    turn : of the array's rows, for the walkways
    """
    area = usable_area(roof, kept, margins=margins, walks_deg=turn)
    return without(area, [polygon(other) for other in others])


@lru_cache(maxsize=256)
def dodged(roof: Roof, array: Array, kept: Kept = (), others: Outlines = ()) -> Block | None:
    """Place an array's modules clear of all that is in their way.

    The margins are kept if the modules then fit at any row pitch worth having; if they do not,
    only what they would stand in is kept clear, and the check of margins will say so.

    Parameters
    ----------
    roof : the roof
    array : how many modules of which kind; where they go is left open
    kept : what is kept clear of, from :func:`pvkit.site.usable.kept_clear`
    others : modules of the other arrays of this roof

    Returns
    -------
    the block, or None if the roof does not take so many
    """
    count = module_count(array)
    for margins in (True, False):
        for one, rows in _packings(roof, array, kept, others, margins=margins):
            if count_of(rows) >= count:
                return block_of(some_of(rows, count, tile_of(one)), one)
    return None


def most_that_fit(
    roof: Roof, array: Array, kept: Kept = (), others: Outlines = (), *, margins: bool = False
) -> int:
    """Give the largest number of an array's modules that a search finds room for.

    Parameters
    ----------
    roof, array, kept, others : as for :func:`dodged`
    margins : keep the margins, too, and flat rows at their usual pitch

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> site = load_site("bungalow_extension")
    >>> roof, array = site.roof[0], site.array[0]
    >>> most_that_fit(roof, array), most_that_fit(roof, array, margins=True)
    (21, 8)
    """
    found = list(_packings(roof, array, kept, others, margins=margins))
    if margins:
        widest = {one.orientation: one.pitch_m for one, _ in reversed(found)}
        found = [(one, rows) for one, rows in found if one.pitch_m == widest[one.orientation]]
    return max((count_of(rows) for _, rows in found), default=0)


def _packings(
    roof: Roof, array: Array, kept: Kept, others: Outlines, *, margins: bool
) -> Iterator[tuple[Block, Packed]]:
    """Give every way of packing the roof, the widest row pitches first."""
    turn = turn_deg(array, roof)
    area = free_area(roof, kept, others, turn, margins=margins)
    tried = [
        (step, one_module(array, roof, way, pitch))
        for way in ways(array, roof)
        for step, pitch in enumerate(_pitches(array, roof, way))
    ]
    for _, one in sorted(tried, key=lambda pair: pair[0]):
        yield one, packed(area, tile_of(one), turn)


def _pitches(array: Array, roof: Roof, way: str) -> list[float]:
    one = one_module(array, roof, "portrait" if way == "portrait" else "landscape")
    return pitches_m(array, one.up_m, lean_deg(array, roof))


def in_the_way(block: Block, kept: Kept) -> dict[str, list[int]]:
    """Give the numbers of a block's modules that lie in each thing to be kept clear of."""
    found: dict[str, list[int]] = {}
    outlines = block.module_outlines() if kept else ()
    for thing in kept:
        hit = [n for n, each in enumerate(outlines, 1) if _touches(each, thing.outline)]
        if hit:
            found[thing.name] = hit
    return found


def _touches(module: Outline, thing: Outline) -> bool:
    """Tell whether a module reaches into something by more than a tape would see."""
    apart = any(
        max(p[axis] for p in one) <= min(p[axis] for p in other)
        for axis in (0, 1)
        for one, other in ((module, thing), (thing, module))
    )
    if apart:
        return False
    inner = widened(polygon(module), -overhang_limit_m())
    return bool(inner.intersects(polygon(thing)))
