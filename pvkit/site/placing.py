"""Where the modules of each array go when the surveyor leaves it open: grid, row pitch, corner."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import ceil, cos, hypot, radians, sin

from pvkit.site.kit import Array, ModuleSheet, Roof
from pvkit.site.parts import module_sheet
from pvkit.site.plan import (
    Block,
    Orientation,
    filled_rows,
    lean_deg,
    roof_box,
    roof_outline,
    turn_deg,
    usual_pitch_m,
)
from pvkit.site.polygons import reach_outside_m
from pvkit.tables import numbers

# Pitches tried between the usual one and rows closed up, and corners tried along each side of an
# outline; both only where the first choice does not fit.
_PITCHES = 5
_CORNERS = 9
_SEARCHED = 8


def overhang_limit_m() -> float:
    """Give how far a module may reach past a measured edge."""
    return float(numbers("limits.toml")["layout.overhang_m"].value)


def blocks(roof: Roof, arrays: Sequence[Array]) -> tuple[Block, ...]:
    """Lay out the arrays of one roof, in their order.

    A key left out is chosen: modules portrait on a slope and landscape on a flat roof, else the
    other way if only that fits; as few rows as the width allows, evenly filled; flat rows at the
    pitch that keeps them clear of each other's shade, closer if the roof is too short; the block in
    the middle of the roof, several blocks one above the other or else side by side. What fits
    nowhere is laid in the middle all the same, for the checks to refuse.

    Parameters
    ----------
    roof : the roof
    arrays : the arrays that lie on it
    """
    found = tuple(_block(roof, array) for array in arrays)
    free = [n for n, array in enumerate(arrays) if array.x_m is None and array.y_m is None]
    if len(free) < 2:
        return found
    moved = dict(zip(free, _beside([found[n] for n in free], roof), strict=True))
    return tuple(moved.get(n, block) for n, block in enumerate(found))


def sheet_of(array: Array) -> ModuleSheet:
    """Give the data sheet of an array's modules."""
    return array.datasheet or module_sheet(array.module or "")


def module_count(array: Array) -> int:
    """Give the number of modules of an array."""
    return array.count if array.count is not None else (array.rows or 1) * (array.columns or 1)


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
    limit, first = overhang_limit_m(), None
    searched = 0
    for free in _candidates(roof, array):
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


def _candidates(roof: Roof, array: Array) -> Iterator[Block]:
    """Give every grid worth trying, the best first; each at the roof's corner."""
    usual: tuple[Orientation, ...] = ("portrait", "landscape")
    usual = usual if roof.kind == "pitched" else usual[::-1]
    ways = usual if array.orientation is None else (array.orientation,)
    sheet, total = sheet_of(array), module_count(array)
    for way in ways:
        sides = (sheet.width_m, sheet.length_m)
        along, up = sides if way == "portrait" else sides[::-1]
        lean, turn = lean_deg(array, roof), turn_deg(array, roof)
        for pitch in _pitches(array, up, lean):
            for columns in _columns(roof, array, along, turn):
                rows = filled_rows(total, columns)
                yield Block(0.0, 0.0, turn, lean, way, rows, along, up, array.gap_m, pitch)


def _pitches(array: Array, up_m: float, lean: float) -> list[float]:
    if array.row_pitch_m is not None:
        return [array.row_pitch_m]
    closed = up_m * cos(radians(lean)) + array.gap_m
    usual = usual_pitch_m(up_m, lean)
    if usual <= closed:
        return [closed]
    return [usual + (closed - usual) * step / (_PITCHES - 1) for step in range(_PITCHES)]


def _columns(roof: Roof, array: Array, along_m: float, turn: float) -> list[int]:
    """Give the numbers of columns to try, most evenly filled rows first."""
    total = module_count(array)
    if array.columns is not None:
        return [min(array.columns, total)]
    if array.rows is not None:
        return [ceil(total / array.rows)]
    left, right, low, high = roof_box(roof)
    across = abs(cos(radians(turn))) > abs(sin(radians(turn)))
    side = right - left if across else high - low
    most = int((side + array.gap_m + overhang_limit_m()) / (along_m + array.gap_m))
    most = max(1, min(most, total))
    even = ceil(total / ceil(total / most))
    return list(dict.fromkeys([even, *range(most, 0, -1)]))


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
