"""The grids of modules an array may take on its roof: which way they lie, row pitch, columns."""

from collections.abc import Iterator
from math import ceil, cos, radians, sin

from pvkit.site.kit import Array, ModuleSheet, Roof
from pvkit.site.parts import module_sheet
from pvkit.site.plan import (
    Block,
    Orientation,
    filled_rows,
    lean_deg,
    roof_box,
    turn_deg,
    usual_pitch_m,
    with_places,
)
from pvkit.tables import numbers

# Pitches tried between the usual one and rows closed up, where the usual one does not fit.
_PITCHES = 5


def overhang_limit_m() -> float:
    """Give how far a module may reach past a measured edge."""
    return float(numbers("limits.toml")["layout.overhang_m"].value)


def sheet_of(array: Array) -> ModuleSheet:
    """Give the data sheet of an array's modules."""
    return array.datasheet or module_sheet(array.module or "")


def module_count(array: Array) -> int:
    """Give the number of modules of an array."""
    if array.positions_m is not None:
        return len(array.positions_m)
    return array.count if array.count is not None else (array.rows or 1) * (array.columns or 1)


def left_open(array: Array) -> bool:
    """Tell whether an array says how many modules it has and leaves to the kit where they go."""
    told = (array.rows, array.columns, array.x_m, array.y_m, array.positions_m)
    return all(each is None for each in told)


def ways(array: Array, roof: Roof) -> tuple[Orientation, ...]:
    """Give the ways an array's modules may lie, the usual one for its roof first."""
    if array.orientation is not None:
        return (array.orientation,)
    return ("portrait", "landscape") if roof.kind == "pitched" else ("landscape", "portrait")


def one_module(array: Array, roof: Roof, way: Orientation, pitch_m: float | None = None) -> Block:
    """Give one module of an array as a block at the roof's origin.

    Parameters
    ----------
    array, roof : the array and its roof
    way : how it lies
    pitch_m : of the rows to come; the widest worth having if left out
    """
    sheet = sheet_of(array)
    sides = (sheet.width_m, sheet.length_m)
    along, up = sides if way == "portrait" else sides[::-1]
    lean, turn = lean_deg(array, roof), turn_deg(array, roof)
    pitch = pitches_m(array, up, lean)[0] if pitch_m is None else pitch_m
    return Block(0.0, 0.0, turn, lean, way, (1,), along, up, array.gap_m, pitch)


def pitches_m(array: Array, up_m: float, lean: float) -> list[float]:
    """Give the row pitches worth trying, the widest first.

    Parameters
    ----------
    array : its own ``row_pitch_m`` leaves no choice
    up_m, lean : length of a module up its slope, and its tilt from the roof [deg]
    """
    if array.row_pitch_m is not None:
        return [array.row_pitch_m]
    closed = up_m * cos(radians(lean)) + array.gap_m
    usual = usual_pitch_m(up_m, lean)
    if usual <= closed:
        return [closed]
    return [usual + (closed - usual) * step / (_PITCHES - 1) for step in range(_PITCHES)]


def candidates(roof: Roof, array: Array) -> Iterator[Block]:
    """Give every grid worth trying, the best first; each at the roof's origin."""
    for way in ways(array, roof):
        one = one_module(array, roof, way)
        for pitch in pitches_m(array, one.up_m, one.lean_deg):
            for columns in _columns(roof, array, one):
                rows = filled_rows(module_count(array), columns)
                yield Block(
                    0.0, 0.0, one.turn_deg, one.lean_deg, way, rows, one.along_m, one.up_m,
                    array.gap_m, pitch,
                )  # fmt: skip


def _columns(roof: Roof, array: Array, one: Block) -> list[int]:
    """Give the numbers of columns to try, most evenly filled rows first."""
    total = module_count(array)
    if array.columns is not None:
        return [min(array.columns, total)]
    if array.rows is not None:
        return [ceil(total / array.rows)]
    left, right, low, high = roof_box(roof)
    turn = radians(one.turn_deg)
    side = right - left if abs(cos(turn)) > abs(sin(turn)) else high - low
    most = int((side + array.gap_m + overhang_limit_m()) / (one.along_m + array.gap_m))
    most = max(1, min(most, total))
    even = ceil(total / ceil(total / most))
    return list(dict.fromkeys([even, *range(most, 0, -1)]))


def positioned(roof: Roof, array: Array) -> Block:
    """Give the block of an array whose modules were placed one by one.

    Examples
    --------
    >>> top = Roof(name="t", kind="flat", azimuth_deg=180, width_m=9, depth_m=5)
    >>> two = Array(name="a", roof="t", module="half-cut-430", positions_m=((1, 1), (5, 1)))
    >>> positioned(top, two).rows
    (1, 1)
    """
    one = one_module(array, roof, ways(array, roof)[0])
    c, s = cos(radians(one.turn_deg)), sin(radians(one.turn_deg))
    places = [(c * x - s * y, s * x + c * y) for x, y in array.positions_m or ()]
    return with_places(one, places)
