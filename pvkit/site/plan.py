"""An array's block of modules laid out on its roof, in the roof's own x and y.

x runs along the roof's width and y up its depth from its lower left corner, seen from outside; on
a flat roof both are level. A block has rows, counted from its lower left corner along x, then up;
on a flat roof it may be turned against the roof's sides, and its rows lean. Where modules were
placed one by one, round a chimney or a window, each run of neighbours counts as a row.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import ceil, cos, radians, sin, tan
from typing import Literal

from pvkit.site.kit import Array, Roof
from pvkit.tables import constant

Point = tuple[float, float]
Outline = tuple[Point, ...]
Orientation = Literal["portrait", "landscape"]

# Modules placed one by one are neighbours in a row if they are this near to it: a site file may
# give positions to the nearest millimetre or two.
NEIGHBOUR_M = 0.003


@dataclass(frozen=True, slots=True)
class Block:
    """Modules in rows.

    Parameters
    ----------
    x_m, y_m : the block's own lower left corner, as seen standing in front of the block
    turn_deg : bearing the block faces less that of the roof; 0 on a pitched roof
    lean_deg : tilt of the modules from the roof's surface; 0 on a pitched roof
    orientation : portrait modules stand on their shorter side
    rows : modules in each row, the lowest first
    along_m, up_m : a module's side along the row, and the other
    gap_m : between the modules of a row
    pitch_m : between the lower edges of two rows
    starts : u and v of each row's lower left corner; empty for rows ``pitch_m`` apart, flush left
    """

    x_m: float
    y_m: float
    turn_deg: float
    lean_deg: float
    orientation: Orientation
    rows: tuple[int, ...]
    along_m: float
    up_m: float
    gap_m: float
    pitch_m: float
    starts: tuple[Point, ...] = ()

    @property
    def row_starts(self) -> tuple[Point, ...]:
        """Give u along the block and v up it of each row's lower left corner."""
        return self.starts or tuple((0.0, row * self.pitch_m) for row in range(len(self.rows)))

    @property
    def lines(self) -> tuple[int, ...]:
        """Give which line each row stands in, from the lowest: runs beside a gap share theirs."""
        levels: list[float] = []
        for v in sorted(v for _, v in self.row_starts):
            if not levels or v - levels[-1] > NEIGHBOUR_M:
                levels.append(v)
        return tuple(
            max(n for n, level in enumerate(levels) if level <= v) for _, v in self.row_starts
        )

    @property
    def width_m(self) -> float:
        """From the left end of the leftmost row to the right end of the rightmost."""
        pairs = zip(self.row_starts, self.rows, strict=True)
        return max(u + self.row_width_m(modules) for (u, _), modules in pairs)

    @property
    def depth_m(self) -> float:
        """From the lowest row's lower edge to the highest row's upper edge, in plan."""
        return max(v for _, v in self.row_starts) + self.row_depth_m

    @property
    def row_depth_m(self) -> float:
        """Depth of one row in plan."""
        return self.up_m * cos(radians(self.lean_deg))

    def row_width_m(self, modules: int) -> float:
        """Give the width of a row of so many modules."""
        return modules * self.along_m + (modules - 1) * self.gap_m

    def at(self, u_m: float, v_m: float) -> Point:
        """Give the roof's x and y of a point of the block, u along its rows and v up it."""
        c, s = cos(radians(self.turn_deg)), sin(radians(self.turn_deg))
        return self.x_m + u_m * c + v_m * s, self.y_m - u_m * s + v_m * c

    def row_outline(self, row: int) -> Outline:
        """Give the four corners of a row in plan, its lower left one first."""
        u, v = self.row_starts[row]
        return self._rectangle(u, v, self.row_width_m(self.rows[row]), self.row_depth_m)

    def module_outlines(self) -> tuple[Outline, ...]:
        """Give the four corners of each module in plan, in the order of their numbers."""
        step = self.along_m + self.gap_m
        return tuple(
            self._rectangle(u + place * step, v, self.along_m, self.row_depth_m)
            for (u, v), modules in zip(self.row_starts, self.rows, strict=True)
            for place in range(modules)
        )

    def _rectangle(self, u_m: float, v_m: float, width_m: float, depth_m: float) -> Outline:
        right, top = u_m + width_m, v_m + depth_m
        return (self.at(u_m, v_m), self.at(right, v_m), self.at(right, top), self.at(u_m, top))


def with_places(block: Block, places: Sequence[Point]) -> Block:
    """Put the modules of a block one by one.

    Parameters
    ----------
    block : sides, gap, turn and lean of the modules; its rows and its own place are left aside
    places : each module's lower left corner, u along the rows and v up them, turned with them but
        from the roof's own origin; the modules are numbered in this order

    Returns
    -------
    the block whose lower left corner is that of the box round its modules

    Examples
    --------
    >>> one = Block(0, 0, 0, 0, "portrait", (1,), 1.1, 1.7, 0.02, 1.72)
    >>> laid = with_places(one, [(1.0, 0.5), (2.12, 0.5), (4.0, 0.5), (1.0, 2.22)])
    >>> laid.rows, laid.lines, (laid.x_m, laid.y_m)
    ((2, 1, 1), (0, 0, 1), (1.0, 0.5))
    """
    left, low = min(u for u, _ in places), min(v for _, v in places)
    step = block.along_m + block.gap_m
    starts: list[Point] = []
    rows: list[int] = []
    for u, v in places:
        if starts and _next_to(starts[-1], rows[-1] * step, (u - left, v - low)):
            rows[-1] += 1
        else:
            starts.append((u - left, v - low))
            rows.append(1)
    x, y = replace(block, x_m=0.0, y_m=0.0).at(left, low)
    laid = replace(block, x_m=x, y_m=y, rows=tuple(rows), starts=tuple(starts))
    return replace(laid, pitch_m=_least_pitch_m(laid) or block.pitch_m)


def _least_pitch_m(block: Block) -> float | None:
    """Give the least distance up the block between two rows that stand behind one another."""
    ends = [
        (u, u + block.row_width_m(modules), v)
        for (u, v), modules in zip(block.starts, block.rows, strict=True)
    ]
    return min(
        (
            w - v
            for left, right, v in ends
            for start, end, w in ends
            if w - v > NEIGHBOUR_M and start < right and left < end
        ),
        default=None,
    )


def _next_to(start: Point, along_m: float, place: Point) -> bool:
    off_u, off_v = abs(start[0] + along_m - place[0]), abs(start[1] - place[1])
    return max(off_u, off_v) <= NEIGHBOUR_M


def roof_outline(roof: Roof) -> Outline:
    """Give a roof's corners, in order."""
    if roof.outline_m is not None:
        return roof.outline_m
    width, depth = roof.width_m or 0.0, roof.depth_m or 0.0
    return ((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth))


def roof_box(roof: Roof) -> tuple[float, float, float, float]:
    """Give the least and greatest x, then the least and greatest y, of a roof.

    Examples
    --------
    >>> top = Roof(name="top", kind="flat", azimuth_deg=180, width_m=9, depth_m=5.5)
    >>> roof_box(top)
    (0.0, 9.0, 0.0, 5.5)
    """
    xs, ys = zip(*roof_outline(roof), strict=True)
    return min(xs), max(xs), min(ys), max(ys)


def lean_deg(array: Array, roof: Roof) -> float:
    """Give the tilt of an array's modules from the surface of its roof."""
    if roof.kind == "pitched":
        return 0.0
    return constant("flat_roof.tilt_deg") if array.tilt_deg is None else array.tilt_deg


def turn_deg(array: Array, roof: Roof) -> float:
    """Give the angle by which an array is turned from the way its roof faces, -180 to 180."""
    if roof.kind == "pitched" or array.azimuth_deg is None:
        return 0.0
    return (array.azimuth_deg - roof.azimuth_deg + 180.0) % 360.0 - 180.0


@cache
def usual_pitch_m(up_m: float, lean: float) -> float:
    """Give the pitch at which a row stands clear of the shade of the one before it.

    Parameters
    ----------
    up_m : length of the row's slope
    lean : its tilt [deg]

    Source
    ------
    Plane geometry: up cos(tilt) + up sin(tilt) / tan(limit), the limit from ``layout`` in the
    tables, for a sun square to the rows.
    """
    tilt, limit = radians(lean), radians(constant("layout.shading_limit_deg"))
    return up_m * (cos(tilt) + sin(tilt) / tan(limit))


def filled_rows(modules: int, columns: int) -> tuple[int, ...]:
    """Share modules over rows of at most ``columns``, the last row taking what is left.

    Examples
    --------
    >>> filled_rows(7, 4)
    (4, 3)
    """
    count = ceil(modules / columns)
    return (columns,) * (count - 1) + (modules - columns * (count - 1),)
