"""A roof with its modules and what stands round it as named outlines, for a plan and a side view.

The surveyor looks at it to see a slip: a chimney on the wrong side, a wall on the wrong bearing.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pvkit.roof.geometry import clearance_m
from pvkit.roof.layout import PLUMB, Frame, block_rows, module_faces, roof_frame
from pvkit.roof.shapes import Round, faces_of, rounds_of, stands_on_roof, upstand_faces
from pvkit.site.kit import Roof
from pvkit.site.obstacles import Obstacle
from pvkit.site.placing import site_blocks
from pvkit.site.plan import roof_outline
from pvkit.site.survey import Site

Array = NDArray[np.float64]
Role = Literal["roof", "module", "box", "cylinder", "wall", "tree", "parapet", "ridge"]

_ROUND_CORNERS = 24


@dataclass(frozen=True, slots=True)
class Shape:
    """One outline of a sketch.

    Parameters
    ----------
    name : of the roof, the array or the obstacle, as in the site file
    role : what it is
    outline : its corners in order, across and up the page [m]; two corners are a line
    number : of a module within its array, from 1; 0 for everything else
    """

    name: str
    role: Role
    outline: tuple[tuple[float, float], ...]
    number: int = 0


@dataclass(frozen=True, slots=True)
class Sketch:
    """Plan and side view of one roof.

    Parameters
    ----------
    roof : its name
    plan : seen from above, level metres; the way the roof faces is down the page
    side : seen along the roof's width from its right end, the way it faces to the left; metres
        above the ground up the page, and level metres from the roof's lower edge across it
    north_deg : where north lies on the plan, clockwise from up the page
    """

    roof: str
    plan: tuple[Shape, ...]
    side: tuple[Shape, ...]
    north_deg: float


def roof_sketch(site: Site, roof_name: str) -> Sketch:
    """Draw up the sketch of one roof.

    Parameters
    ----------
    site : a checked survey
    roof_name : which of its roofs

    Returns
    -------
    outlines in drawing order: the roof, its modules, what stands in the light

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> drawn = roof_sketch(load_site("bungalow_extension"), "top")
    >>> drawn.north_deg, sum(shape.role == "module" for shape in drawn.plan)
    (-20.0, 6)
    """
    roof = next(roof for roof in site.roof if roof.name == roof_name)
    frame = roof_frame(roof)
    seen = [obstacle for obstacle in site.obstacle if obstacle.roof in (None, roof_name)]
    modules = _modules(site, roof)
    plan = [Shape(roof.name, "roof", _plan(frame.at(np.array(roof_outline(roof))), frame))]
    plan += [Shape(name, "module", _plan(face, frame), number) for name, number, face in modules]
    plan += [shape for obstacle in seen for shape in _obstacle_plan(obstacle, roof)]
    side = [Shape(roof.name, "roof", _house(roof)), *_upstand_side(roof)]
    side += [
        Shape(name, "module", _side(face[[0, 3]], roof), number) for name, number, face in modules
    ]
    side += [shape for obstacle in seen for shape in _obstacle_side(obstacle, roof)]
    north = (180.0 - roof.azimuth_deg + 180.0) % 360.0 - 180.0
    return Sketch(roof.name, tuple(plan), tuple(side), north)


def _modules(site: Site, roof: Roof) -> list[tuple[str, int, Array]]:
    """Give array's name, number and face in space of each module on a roof."""
    lying = [array for array in site.array if array.roof == roof.name]
    found = []
    laid = site_blocks(site, roof)
    for array in lying:
        block = laid[array.name]
        rows = block_rows(block, roof, clearance_m(site, array))
        found += [(array.name, n, face) for n, face in enumerate(module_faces(block, rows), 1)]
    return found


def _plan(points: Array, frame: Frame) -> tuple[tuple[float, float], ...]:
    return tuple((float(p @ frame.right), float(p @ frame.level_up)) for p in points)


def _side(points: Array, roof: Roof) -> tuple[tuple[float, float], ...]:
    level_up = roof_frame(roof).level_up
    return tuple((float(p @ level_up), float(p @ PLUMB) + roof.height_m) for p in points)


def _house(roof: Roof) -> tuple[tuple[float, float], ...]:
    """Give the house below the roof as it is cut along the roof's depth."""
    corners = roof_frame(roof).at(np.array(roof_outline(roof)))
    depth = corners @ roof_frame(roof).level_up
    low, high = corners[np.argmin(depth)], corners[np.argmax(depth)]
    line = _side(np.array([low, high]), roof)
    return ((line[0][0], 0.0), *line, (line[1][0], 0.0))


def _upstand_side(roof: Roof) -> list[Shape]:
    faces = upstand_faces(roof)
    if not faces:
        return []
    depths = np.concatenate(faces) @ roof_frame(roof).level_up
    low, high, top = float(depths.min()), float(depths.max()), roof.height_m + roof.parapet_m
    outline = ((low, roof.height_m), (high, roof.height_m), (high, top), (low, top))
    return [Shape(roof.name, "parapet", outline)]


def _obstacle_plan(obstacle: Obstacle, roof: Roof) -> list[Shape]:
    frame = roof_frame(roof)
    feet = [face[:2] for face in faces_of(obstacle, roof)]
    if obstacle.kind == "box":
        corners = np.array([foot[0] for foot in feet])
        return [Shape(obstacle.name, "box", _plan(corners, frame))]
    lines = [Shape(obstacle.name, obstacle.kind, _plan(foot, frame)) for foot in feet]
    widest = rounds_of(obstacle, roof)[:1]
    return lines + [Shape(obstacle.name, obstacle.kind, _plan(_rim(r), frame)) for r in widest]


def _rim(round_: Round) -> Array:
    turn = np.linspace(0, 2 * np.pi, _ROUND_CORNERS, endpoint=False)[:, None]
    east, north = np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0])
    return np.asarray(
        round_.middle + round_.radius_m * (np.cos(turn) * east + np.sin(turn) * north)
    )


def _obstacle_side(obstacle: Obstacle, roof: Roof) -> list[Shape]:
    on_roof = stands_on_roof(obstacle)
    frame = roof_frame(roof)
    slope = float(frame.up @ PLUMB) / float(frame.up @ frame.level_up) if on_roof else 0.0
    found = []
    for low, high, bottom, tops in _uprights(obstacle, roof):
        foot = (roof.height_m + slope * low, roof.height_m + slope * high)
        feet = foot if on_roof else (bottom, bottom)
        outline = ((low, feet[0]), (high, feet[1]), (high, tops[1]), (low, tops[0]))
        found.append(Shape(obstacle.name, obstacle.kind, outline))
    return found


def _uprights(
    obstacle: Obstacle, roof: Roof
) -> list[tuple[float, float, float, tuple[float, float]]]:
    """Give near and far end up the roof's depth, bottom and tops above ground of each part."""
    level_up, found = roof_frame(roof).level_up, []
    faces = faces_of(obstacle, roof)
    if faces:
        tops = np.concatenate([face[2:] for face in faces])
        along = tops @ level_up
        near, far = int(np.argmin(along)), int(np.argmax(along))
        heights = (float(tops[near][2]) + roof.height_m, float(tops[far][2]) + roof.height_m)
        found.append((float(along[near]), float(along[far]), 0.0, heights))
    for r in rounds_of(obstacle, roof):
        middle, top = float(r.middle @ level_up), r.top_m + roof.height_m
        ends = (middle - r.radius_m, middle + r.radius_m)
        found.append((*ends, r.bottom_m + roof.height_m, (top, top)))
    return found
