"""Where the modules of each array go when the surveyor leaves it open: grid, row pitch, corner."""

from collections.abc import Sequence
from dataclasses import replace
from math import cos, hypot, radians, sin

from pvkit.site.dodging import Kept, dodged, in_the_way
from pvkit.site.grids import candidates, left_open, overhang_limit_m, positioned
from pvkit.site.kit import Array, Roof
from pvkit.site.plan import Block, roof_box, roof_outline
from pvkit.site.polygons import reach_outside_m
from pvkit.site.survey import Site
from pvkit.site.usable import kept_clear

# Corners tried along each side of an outline, where the middle does not fit.
_CORNERS = 9
_SEARCHED = 8


def site_blocks(site: Site, roof: Roof) -> dict[str, Block]:
    """Lay out the arrays of one roof of a site, by name, clear of all that is kept clear there.

    Parameters
    ----------
    site : a checked survey
    roof : one of its roofs

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> site = load_site("bungalow_extension")
    >>> site_blocks(site, site.roof[0])["main"].rows
    (3, 3)
    """
    lying = [array for array in site.array if array.roof == roof.name]
    laid = blocks(roof, lying, kept_clear(site, roof))
    return {array.name: block for array, block in zip(lying, laid, strict=True)}


def blocks(roof: Roof, arrays: Sequence[Array], kept: Kept = ()) -> tuple[Block, ...]:
    """Lay out the arrays of one roof, in their order.

    A key left out is chosen: modules portrait on a slope and landscape on a flat roof, else the
    other way if only that fits; as few rows as the width allows, evenly filled; flat rows at the
    pitch that keeps them clear of each other's shade, closer if the roof is too short; the block in
    the middle of the roof, several blocks one above the other or else side by side. An array of
    which only the number is told goes round what is in its way. What fits nowhere is laid in the
    middle all the same, for the checks to refuse.

    Parameters
    ----------
    roof : the roof
    arrays : the arrays that lie on it
    kept : what is kept clear of, from :func:`pvkit.site.usable.kept_clear`
    """
    found = [_block(roof, array) for array in arrays]
    free = [n for n, array in enumerate(arrays) if _free(array)]
    if len(free) > 1:
        moved = _beside([found[n] for n in free], roof)
        for n, block in zip(free, moved, strict=True):
            found[n] = block
    for n, array in enumerate(arrays):
        if left_open(array) and _has_trouble(found[n], roof, kept):
            others = tuple(o for m, b in enumerate(found) if m != n for o in b.module_outlines())
            found[n] = dodged(roof, array, kept, others) or found[n]
    return tuple(found)


def _free(array: Array) -> bool:
    return array.x_m is None and array.y_m is None and array.positions_m is None


def _has_trouble(block: Block, roof: Roof, kept: Kept) -> bool:
    return reach_m(block, roof) > overhang_limit_m() or bool(in_the_way(block, kept))


def reach_m(block: Block, roof: Roof) -> float:
    """Give how far a block reaches off its roof; 0 if it lies on it."""
    rows = [block.row_outline(row) for row in range(len(block.rows))]
    if roof.outline_m is not None:
        return max(reach_outside_m(row, roof_outline(roof)) for row in rows)
    left, right, low, high = roof_box(roof)
    corners = [corner for row in rows for corner in row]
    off_x = max(max(left - x, x - right) for x, _ in corners)
    off_y = max(max(low - y, y - high) for _, y in corners)
    return max(off_x, off_y, 0.0)


def _block(roof: Roof, array: Array) -> Block:
    if array.positions_m is not None:
        return positioned(roof, array)
    limit, first = overhang_limit_m(), None
    searched = 0
    for free in candidates(roof, array):
        block = _placed(free, roof, array)
        first = first or block
        if reach_m(block, roof) <= limit:
            return block
        if roof.outline_m is not None and searched < _SEARCHED:
            searched += 1
            inside = _searched(block, roof, array)
            if inside is not None:
                return inside
    assert first is not None
    return first


def _placed(block: Block, roof: Roof, array: Array) -> Block:
    """Put a block in the middle of its roof, or where the array says."""
    left, right, low, high = roof_box(roof)
    middle = _centred(block, (left + right) / 2, (low + high) / 2)
    x = middle.x_m if array.x_m is None else array.x_m
    y = middle.y_m if array.y_m is None else array.y_m
    return replace(block, x_m=x, y_m=y)


def _centred(block: Block, x_m: float, y_m: float) -> Block:
    at_corner = replace(block, x_m=0.0, y_m=0.0)
    dx, dy = at_corner.at(block.width_m / 2, block.depth_m / 2)
    return replace(block, x_m=x_m - dx, y_m=y_m - dy)


def _searched(block: Block, roof: Roof, array: Array) -> Block | None:
    """Look for the corner nearest the middle at which a block lies within an outline."""
    if array.x_m is not None or array.y_m is not None:
        return None
    left, right, low, high = roof_box(roof)
    steps = [n / (_CORNERS - 1) - 0.5 for n in range(_CORNERS)]
    width, depth = _extent(block)
    room_x, room_y = right - left - width, high - low - depth
    if min(room_x, room_y) < 0:
        return None
    shifts = [(a * room_x, b * room_y) for a in steps for b in steps]
    for dx, dy in sorted(shifts, key=lambda shift: hypot(*shift)):
        moved = replace(block, x_m=block.x_m + dx, y_m=block.y_m + dy)
        if reach_m(moved, roof) <= overhang_limit_m():
            return moved
    return None


def _extent(block: Block) -> tuple[float, float]:
    """Give a block's size along the roof's x and y."""
    c, s = abs(cos(radians(block.turn_deg))), abs(sin(radians(block.turn_deg)))
    return block.width_m * c + block.depth_m * s, block.width_m * s + block.depth_m * c


def _beside(found: list[Block], roof: Roof) -> list[Block]:
    """Put several blocks one above the other, or else side by side, as one in the middle."""
    left, right, low, high = roof_box(roof)
    gap, sizes = max(block.gap_m for block in found), [_extent(block) for block in found]
    wide, deep = (sum(side) + gap * (len(found) - 1) for side in zip(*sizes, strict=True))
    middle_x, middle_y = (left + right) / 2, (low + high) / 2
    if deep <= high - low + overhang_limit_m():
        start, placed = middle_y - deep / 2, []
        for block, (_, depth) in zip(found, sizes, strict=True):
            placed.append(_centred(block, middle_x, start + depth / 2))
            start += depth + gap
        return placed
    if wide <= right - left + overhang_limit_m():
        start, placed = middle_x - wide / 2, []
        for block, (width, _) in zip(found, sizes, strict=True):
            placed.append(_centred(block, start + width / 2, middle_y))
            start += width + gap
        return placed
    return found
