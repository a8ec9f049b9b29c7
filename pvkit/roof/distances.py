"""How far modules lie from what is near them on their roof: edges, zones, other rows."""

from math import cos, radians, sin

from pvkit.site.kit import Roof
from pvkit.site.placing import reach_m
from pvkit.site.plan import NEIGHBOUR_M, Block, Outline
from pvkit.site.usable import Edge, KeptClear, polygon, roof_edges


def edge_distances_m(roof: Roof, block: Block) -> dict[Edge, float]:
    """Give the least distance from a block's modules to each kind of edge its roof has.

    Parameters
    ----------
    roof : the roof
    block : modules on it

    Returns
    -------
    along the roof's surface; below 0 where a module reaches off it

    Examples
    --------
    >>> top = Roof(name="t", kind="flat", azimuth_deg=180, width_m=9, depth_m=5)
    >>> one = Block(1.0, 2.0, 0.0, 0.0, "portrait", (2,), 1.1, 1.7, 0.1, 1.8)
    >>> {edge: round(far, 2) for edge, far in edge_distances_m(top, one).items()}
    {'eaves': 2.0, 'verge': 1.0, 'ridge': 1.3}
    """
    from shapely.geometry import LineString

    off = reach_m(block, roof)
    rows = [polygon(block.row_outline(row)) for row in range(len(block.rows))]
    found: dict[Edge, float] = {}
    for edge, start, end in roof_edges(roof):
        line = LineString((start, end))
        near = min(float(row.distance(line)) for row in rows)
        found[edge] = min(found.get(edge, near), near)
    if off > 0:
        worst = min(found, key=lambda edge: found[edge])
        found[worst] = -off
    return found


def kept_distance_m(block: Block, thing: KeptClear) -> float:
    """Give the distance from the nearest module to something kept clear; 0 if one touches it."""
    there = polygon(thing.outline)
    return min(float(polygon(each).distance(there)) for each in block.module_outlines())


def way_ahead_m(block: Block, others: tuple[Block, ...]) -> float | None:
    """Give the least level gap between the lower edge of a row and the row before it.

    Parameters
    ----------
    block : rows
    others : the other blocks of the roof

    Returns
    -------
    None if no row has another before it
    """
    rows = [block.row_outline(row) for row in range(len(block.rows))]
    ahead = rows + [o.row_outline(row) for o in others for row in range(len(o.rows))]
    mine, every = [_turned(row, block) for row in rows], [_turned(row, block) for row in ahead]
    gaps = [
        low - other_high
        for left, right, low, _ in mine
        for other_left, other_right, _, other_high in every
        if other_left < right - NEIGHBOUR_M
        and other_right > left + NEIGHBOUR_M
        and other_high <= low + NEIGHBOUR_M
    ]
    return min(gaps, default=None)


def _turned(outline: Outline, block: Block) -> tuple[float, float, float, float]:
    """Give left, right, low and high of an outline as seen along a block's rows."""
    c, s = cos(radians(block.turn_deg)), sin(radians(block.turn_deg))
    us = [c * x - s * y for x, y in outline]
    vs = [s * x + c * y for x, y in outline]
    return min(us), max(us), min(vs), max(vs)
