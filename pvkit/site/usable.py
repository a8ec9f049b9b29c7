"""The part of a roof that modules may take: inside its margins, outside all that is kept clear.

Everything is in the roof's own x and y. Shapely is imported inside the functions that need it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import cos, hypot, pi, radians, sin
from typing import TYPE_CHECKING, Literal

from pvkit.site.keep_clear import KeepClear
from pvkit.site.kit import Roof
from pvkit.site.obstacles import Box, Cylinder
from pvkit.site.plan import Outline, Point, roof_outline
from pvkit.site.survey import Site
from pvkit.tables import constant

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

Edge = Literal["eaves", "ridge", "verge"]
_ROUND_CORNERS = 16
# Where lines all but meet, shapes are cut on a grid this fine, so that they do [m].
_GRID_M = 1e-8


@dataclass(frozen=True, slots=True)
class KeptClear:
    """Something on a roof that modules may not cover.

    Parameters
    ----------
    name, kind : as in the site file
    outline : its corners in order
    margin_m : distance to keep from it
    given : the margin is the site file's own, not the tables'
    """

    name: str
    kind: str
    outline: Outline
    margin_m: float
    given: bool = False


def kept_clear(site: Site, roof: Roof) -> tuple[KeptClear, ...]:
    """List the zones of a roof and what stands on it, each with its margin.

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> site = load_site("chimney_and_birch")
    >>> [(thing.name, thing.margin_m) for thing in kept_clear(site, site.roof[0])]
    [('chimney', 0.3), ('flue', 0.3)]
    """
    usual = constant(f"layout.keep_clear_m.{roof.kind}")
    zones = [_zone(zone, usual) for zone in site.keep_clear if zone.roof == roof.name]
    standing = [
        KeptClear(thing.name, thing.kind, foot_outline(thing), usual)
        for thing in site.obstacle
        if thing.kind in ("box", "cylinder") and thing.roof == roof.name
    ]
    return (*zones, *standing)


def _zone(zone: KeepClear, usual: float) -> KeptClear:
    """Give a zone; a walkway is itself the room that is kept, so it needs no more round it."""
    if zone.margin_m is not None:
        return KeptClear(zone.name, zone.kind, zone_outline(zone), zone.margin_m, given=True)
    margin = 0.0 if zone.kind == "walkway" else usual
    return KeptClear(zone.name, zone.kind, zone_outline(zone), margin)


def zone_outline(zone: KeepClear) -> Outline:
    """Give the corners of a keep-clear zone."""
    if zone.outline_m is not None:
        return zone.outline_m
    x, y = zone.x_m or 0.0, zone.y_m or 0.0
    right, top = x + (zone.width_m or 0.0), y + (zone.depth_m or 0.0)
    return ((x, y), (right, y), (right, top), (x, top))


def foot_outline(thing: Box | Cylinder) -> Outline:
    """Give what an obstacle covers of its roof; a round one as the polygon round it."""
    if thing.kind == "box":
        x, y = thing.x_m, thing.y_m
        right, top = x + thing.width_m, y + thing.depth_m
        return ((x, y), (right, y), (right, top), (x, top))
    radius = thing.diameter_m / 2 / cos(pi / _ROUND_CORNERS)
    turns = [2 * pi * (n + 0.5) / _ROUND_CORNERS for n in range(_ROUND_CORNERS)]
    return tuple((thing.x_m + radius * cos(t), thing.y_m + radius * sin(t)) for t in turns)


def edge_margin_m(roof: Roof, edge: Edge) -> tuple[float, bool]:
    """Give the margin of one kind of edge, and whether the site file gives it itself.

    Examples
    --------
    >>> top = Roof(name="t", kind="flat", azimuth_deg=180, width_m=9, depth_m=5, eaves_margin_m=1)
    >>> edge_margin_m(top, "eaves"), edge_margin_m(top, "verge")
    ((1.0, True), (0.5, False))
    """
    own = getattr(roof, f"{edge}_margin_m")
    if own is None:
        own = roof.margin_m
    if own is None:
        return constant(f"layout.margin_m.{roof.kind}"), False
    return float(own), True


def roof_edges(roof: Roof) -> Iterator[tuple[Edge, Point, Point]]:
    """Give each edge of a roof and its kind, by which way it looks."""
    points = roof_outline(roof)
    turned = points[1:] + points[:1]
    area = sum(x * b - a * y for (x, y), (a, b) in zip(points, turned, strict=True))
    for start, end in zip(points, turned, strict=True):
        length = hypot(end[0] - start[0], end[1] - start[1])
        if length > 0:
            out_y = (start[0] - end[0]) / length * (1 if area > 0 else -1)
            slanted = sin(radians(45.0))
            kind: Edge = "eaves" if out_y < -slanted else "ridge" if out_y > slanted else "verge"
            yield kind, start, end


@lru_cache(maxsize=256)
def polygon(outline: Outline) -> "BaseGeometry":
    """Give an outline as a shape; one that crosses itself is put right, never refused."""
    from shapely.geometry import MultiPolygon, Polygon
    from shapely.validation import make_valid

    whole = make_valid(Polygon(outline))
    areas = [part for part in getattr(whole, "geoms", [whole]) if part.area > 0]
    return areas[0] if len(areas) == 1 else MultiPolygon([p for a in areas for p in _plain(a)])


def _plain(shape: "BaseGeometry") -> list["BaseGeometry"]:
    return [part for part in getattr(shape, "geoms", [shape]) if part.geom_type == "Polygon"]


@lru_cache(maxsize=256)
def usable_area(
    roof: Roof, kept: tuple[KeptClear, ...] = (), *, margins: bool = True, walks_deg: float = 0.0
) -> "BaseGeometry":
    """Give the part of a roof that modules may take.

    Parameters
    ----------
    roof : the roof
    kept : what is kept clear of, from :func:`kept_clear`
    margins : False for the bare roof, less only what modules would stand in
    walks_deg : the turn of the rows that walkways on a flat roof run along, as a block's

    Returns
    -------
    a shapely polygon or several; empty if nothing is left

    Source
    ------
    Plane geometry. A margin is kept square at the corners of what is kept clear, which is a little
    more than the distance asks for.

    Examples
    --------
    >>> top = Roof(name="t", kind="flat", azimuth_deg=180, width_m=9, depth_m=5.5)
    >>> usable_area(top).area, usable_area(top, margins=False).area
    (36.0, 49.5)
    """
    from shapely.geometry import LineString

    whole = polygon(roof_outline(roof))
    out = [widened(polygon(thing.outline), thing.margin_m if margins else 0.0) for thing in kept]
    if margins:
        for edge, start, end in roof_edges(roof):
            margin = edge_margin_m(roof, edge)[0]
            if margin > _GRID_M:
                out.append(LineString((start, end)).buffer(margin, cap_style="square"))
    area = without(whole, out)
    if margins and roof.kind == "flat":
        area = without(area, _walks(area, walks_deg))
    return area


def without(area: "BaseGeometry", parts: Sequence["BaseGeometry"]) -> "BaseGeometry":
    """Give an area less some parts of it."""
    import numpy as np
    from shapely import GEOSException, difference
    from shapely.ops import unary_union

    if not parts:
        return area
    with np.errstate(all="ignore"):  # lines that all but meet divide by nearly nothing
        away = unary_union(parts)
        try:
            return difference(area, away)
        except GEOSException:
            return difference(area, away, grid_size=_GRID_M)


def widened(shape: "BaseGeometry", by_m: float) -> "BaseGeometry":
    """Widen a shape on all sides, with square corners; or make it smaller, below 0."""
    import numpy as np

    with np.errstate(all="ignore"):  # corners that lie all but on a line divide by nearly nothing
        return shape.buffer(by_m, join_style="mitre") if abs(by_m) > _GRID_M else shape


def _walks(area: "BaseGeometry", turn_deg: float) -> Sequence["BaseGeometry"]:
    """Give the walkways that part an area into blocks, along the rows and across them."""
    from shapely.affinity import rotate
    from shapely.geometry import box

    if area.is_empty:
        return []
    flat = rotate(area, turn_deg, origin=(0, 0))
    left, low, right, high = flat.bounds
    wide = constant("layout.walkway_m") / 2
    walks = [box(x - wide, low, x + wide, high) for x in _parting(left, right)]
    walks += [box(left, y - wide, right, y + wide) for y in _parting(low, high)]
    return [rotate(walk, -turn_deg, origin=(0, 0)) for walk in walks]


def _parting(low: float, high: float) -> list[float]:
    """Give the middles of the walkways that part a stretch into blocks of one length."""
    walk, longest = constant("layout.walkway_m"), constant("layout.block_m")
    blocks = int(-(-(high - low + walk) // (longest + walk)))
    each = (high - low + walk) / max(blocks, 1)
    return [low + n * each - walk / 2 for n in range(1, blocks)]
