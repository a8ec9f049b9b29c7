"""Which modules lie where the wind pulls hardest: corners and edges of roof and array.

Everything is in plan: on a slope the roof's y is shortened by its tilt.
"""

from dataclasses import dataclass
from math import cos, hypot, radians
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pvkit.roof.loads import load_number
from pvkit.roof.site_wind import building_top_m
from pvkit.site.kit import Roof
from pvkit.site.plan import Block, Outline, Point, roof_outline

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
Zone = Literal["inner", "edge", "corner"]

_TOUCH_M = 1e-9


@dataclass(frozen=True, slots=True)
class Strip:
    """The strip along one edge of the roof, and its corners.

    Parameters
    ----------
    start, end : the edge, in plan
    inward : a metre square to it, into the roof
    depth_m : depth of the strip, e/10
    corner_m : length of its corners, e/4
    corner_at_start, corner_at_end : whether the roof turns outward there, so that there is one
    """

    start: Point
    end: Point
    inward: Point
    depth_m: float
    corner_m: float
    corner_at_start: bool
    corner_at_end: bool

    @property
    def length_m(self) -> float:
        """Length of the edge."""
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])

    def outline(self, low_m: float, high_m: float) -> Outline:
        """Give the part of the strip between two places along its edge."""
        length = self.length_m
        along = ((self.end[0] - self.start[0]) / length, (self.end[1] - self.start[1]) / length)
        places = ((low_m, 0.0), (high_m, 0.0), (high_m, self.depth_m), (low_m, self.depth_m))
        return tuple(
            (
                self.start[0] + along[0] * s + self.inward[0] * d,
                self.start[1] + along[1] * s + self.inward[1] * d,
            )
            for s, d in places
        )

    def corners(self) -> tuple[Outline, ...]:
        """Give the outlines of its corners."""
        length = self.length_m
        reach = min(self.corner_m, length)
        first = (self.outline(0.0, reach),) if self.corner_at_start else ()
        last = (self.outline(length - reach, length),) if self.corner_at_end else ()
        return first + last


def roof_strips(roof: Roof) -> tuple[Strip, ...]:
    """Give the strip along every edge of a roof; the wind may blow square onto any of them.

    Parameters
    ----------
    roof : flat, or one slope taken by itself, whose ridge counts as an edge

    Source
    ------
    BS EN 1991-1-4 7.2.3: e = min(b, 2h), b the width across the wind; edge e/10 deep, corner e/4
    along it. On an outline of any form b is its width as the wind onto that edge sees it. Departs
    from the standard in: zones H and I are one, ``inner``; slopes take the same strips.

    Examples
    --------
    >>> top = Roof(name="t", kind="flat", azimuth_deg=180, width_m=12, depth_m=8, height_m=6)
    >>> [(round(s.depth_m, 2), round(s.corner_m, 2)) for s in roof_strips(top)[:2]]
    [(1.2, 3.0), (0.8, 2.0)]
    """
    points = _round_anticlockwise(in_plan(roof_outline(roof), roof))
    tall = load_number("zone.heights") * zone_height_m(roof)
    strips = []
    for n, start in enumerate(points):
        before, end = points[n - 1], points[(n + 1) % len(points)]
        after = points[(n + 2) % len(points)]
        length = hypot(end[0] - start[0], end[1] - start[1])
        if length <= _TOUCH_M:
            continue
        along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
        across = [x * along[0] + y * along[1] for x, y in points]
        e = min(max(across) - min(across), tall)
        strips.append(
            Strip(
                start,
                end,
                (-along[1], along[0]),
                e * load_number("zone.strip_share"),
                e * load_number("zone.corner_share"),
                _turns_out(before, start, end),
                _turns_out(start, end, after),
            )
        )
    return tuple(strips)


def zone_height_m(roof: Roof) -> float:
    """Give the height that sets the size of the zones: a flat roof's surface, a slope's ridge."""
    return roof.height_m if roof.kind == "flat" else building_top_m(roof)


def module_zones(roof: Roof, block: Block) -> tuple[Zone, ...]:
    """Give the zone of each module, in the order of their numbers: the worst any part lies in.

    Parameters
    ----------
    roof : the roof
    block : its modules in plan
    """
    outlines = np.array([in_plan(outline, roof) for outline in block.module_outlines()])
    edge = np.zeros(len(outlines), dtype=np.bool_)
    corner = np.zeros(len(outlines), dtype=np.bool_)
    for strip in roof_strips(roof):
        beside, at_end = _in_strip(outlines, strip)
        edge |= beside
        corner |= at_end
    return tuple(
        "corner" if c else "edge" if e else "inner" for e, c in zip(edge, corner, strict=True)
    )


def open_edges(block: Block) -> tuple[bool, ...]:
    """Tell which modules lie at an open edge of the array: no neighbour on one side or more.

    A row farther off than the block's pitch by half a row, as over a walkway, gives no shelter.

    Parameters
    ----------
    block : the modules in plan

    Examples
    --------
    >>> open_edges(Block(0, 0, 0, 0, "landscape", (3, 3, 3), 1.7, 1.1, 0.02, 1.5))
    (True, True, True, True, False, True, True, True, True)
    """
    step = block.along_m + block.gap_m
    rows = zip(block.row_starts, block.rows, strict=True)
    places = np.array([(u + n * step, v) for (u, v), count in rows for n in range(count)])
    ends = [n in (0, count - 1) for count in block.rows for n in range(count)]
    across = places[:, None, 0] - places[None, :, 0]
    behind = places[None, :, 1] - places[:, None, 1]
    beside = np.abs(across) < block.along_m / 2.0 + _TOUCH_M
    reach = block.pitch_m + block.row_depth_m / 2.0
    in_front = (beside & (behind < -_TOUCH_M) & (behind > -reach)).any(axis=1)
    at_back = (beside & (behind > _TOUCH_M) & (behind < reach)).any(axis=1)
    return tuple(bool(x) for x in np.array(ends) | ~in_front | ~at_back)


def in_plan(outline: Outline, roof: Roof) -> Outline:
    """Give an outline of the roof's own x and y as seen from above."""
    shorter = cos(radians(roof.tilt_deg)) if roof.kind == "pitched" else 1.0
    return tuple((x, y * shorter) for x, y in outline)


def _in_strip(outlines: Array, strip: Strip) -> tuple[Flags, Flags]:
    """Tell which modules reach into a strip, and which into its corners.

    A module turned against the edge is taken with the rectangle round it, square to the edge: on
    the safe side by a hand's breadth.
    """
    inward = np.array(strip.inward)
    along = np.array([inward[1], -inward[0]])
    from_start = outlines - np.array(strip.start)
    s, d = from_start @ along, from_start @ inward
    low, high, length = s.min(axis=1), s.max(axis=1), strip.length_m
    beside = (
        (d.min(axis=1) < strip.depth_m - _TOUCH_M)
        & (d.max(axis=1) > _TOUCH_M)
        & (high > _TOUCH_M)
        & (low < length - _TOUCH_M)
    )
    at_end = np.zeros(len(outlines), dtype=np.bool_)
    if strip.corner_at_start:
        at_end |= low < strip.corner_m - _TOUCH_M
    if strip.corner_at_end:
        at_end |= high > length - strip.corner_m + _TOUCH_M
    return beside, beside & at_end


def _round_anticlockwise(points: Outline) -> Outline:
    turned = points[1:] + points[:1]
    area = sum(x * b - a * y for (x, y), (a, b) in zip(points, turned, strict=True))
    return points if area > 0 else points[::-1]


def _turns_out(before: Point, at: Point, after: Point) -> bool:
    """Tell whether an anticlockwise outline turns left: a corner of the roof, not a notch."""
    first = (at[0] - before[0], at[1] - before[1])
    then = (after[0] - at[0], after[1] - at[1])
    return first[0] * then[1] - first[1] * then[0] > _TOUCH_M
