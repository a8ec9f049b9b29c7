"""What stands in the light as solids in space, and how much light each lets through.

Chimneys, walls, parapets and ridges are upright faces that reach down to the ground: whatever lies
below is house or garden. A flue is an upright cylinder. A tree's canopy is an upright cylinder too,
of the measured width, from the lowest leaves to the top, with one share of light let through: it is
what a tape and a glance can give, it errs towards more shade, and a taller tree hides all that a
lower one does, which an ellipsoid between the same lowest leaves would not. Rows of modules on a
flat roof are thin rectangles that light passes under.
"""

from dataclasses import dataclass
from typing import assert_never

import numpy as np
from numpy.typing import NDArray

from pvkit.roof.geometry import Geometry
from pvkit.roof.layout import PLUMB, Frame, block_rows, roof_frame, row_faces
from pvkit.site.kit import Roof
from pvkit.site.obstacles import Box, Cylinder, Obstacle, Parapet, Ridge, Tree, Wall
from pvkit.site.plan import Outline, roof_box, roof_outline
from pvkit.tables import constant

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

NO_ROW = -1


@dataclass(frozen=True, slots=True, eq=False)
class Solids:
    """Everything that can hide the sky from an array.

    Parameters
    ----------
    faces : (faces, 4, 3) flat faces with their corners in order, opaque
    face_row : (faces,) which row of the array itself a face is; -1 for everything else
    rounds : (rounds, 5) upright cylinders: east, north, radius, bottom, top
    round_light : (rounds, seasons) share of light let through
    """

    faces: Array
    face_row: IntArray
    rounds: Array
    round_light: Array

    @property
    def seasons(self) -> int:
        """2 where a tree lets another share through in winter than in summer, else 1."""
        return int(self.round_light.shape[1])

    def top_m(self) -> float:
        """Give the height of the highest point that is not of the array's own rows, or -inf."""
        faces = self.faces[self.face_row == NO_ROW]
        return float(max(np.max(faces[..., 2], initial=-np.inf),
                         np.max(self.rounds[:, 4], initial=-np.inf)))  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Round:
    """An upright cylinder and the share of light it lets through in winter and in summer."""

    middle: Array
    radius_m: float
    bottom_m: float
    top_m: float
    light: tuple[float, float] = (0.0, 0.0)


def solids(geometry: Geometry) -> Solids:
    """Stand everything that may hide the sky from an array in its place."""
    faces: list[Array] = [*upstand_faces(geometry.roof)]
    rounds: list[Round] = []
    for obstacle in geometry.obstacles:
        faces += faces_of(obstacle, geometry.roof)
        rounds += rounds_of(obstacle, geometry.roof)
    row_of = [NO_ROW] * len(faces)
    for own, block in ((True, geometry.block), *((False, other) for other in geometry.others)):
        if block.lean_deg > 0 and (not own or len(set(block.lines)) > 1):
            rows = row_faces(block, block_rows(block, geometry.roof, geometry.clearance_m))
            faces += list(rows)
            row_of += list(block.lines) if own else [NO_ROW] * len(rows)
    light = np.array([round_.light for round_ in rounds]).reshape(-1, 2)
    varies = bool(np.any(light[:, 0] != light[:, 1]))
    return Solids(
        faces=np.array(faces).reshape(-1, 4, 3),
        face_row=np.array(row_of, dtype=np.int64),
        rounds=np.array([(*r.middle[:2], r.radius_m, r.bottom_m, r.top_m) for r in rounds],
                        dtype=np.float64).reshape(-1, 5),
        round_light=light if varies else light[:, :1],
    )  # fmt: skip


def faces_of(obstacle: Obstacle, roof: Roof) -> list[Array]:
    """Give an obstacle's flat faces, each (4, 3); those of a box go round from its front one."""
    frame, ground = roof_frame(roof), -roof.height_m
    match obstacle:
        case Box():
            return _box(obstacle, frame, ground)
        case Parapet():
            return [_upstand(*_edge(obstacle, roof), obstacle.height_m, frame, ground)]
        case Wall():
            return [_wall(obstacle, roof, ground + obstacle.height_m)]
        case Ridge():
            return [_wall(obstacle, roof, obstacle.height_m)]
        case Cylinder() | Tree():
            return []
    assert_never(obstacle)


def stands_on_roof(obstacle: Obstacle) -> bool:
    """Tell whether an obstacle rises from the roof's own surface."""
    return obstacle.kind in ("box", "cylinder", "parapet")


def rounds_of(obstacle: Obstacle, roof: Roof) -> list[Round]:
    """Give an obstacle's upright cylinders: a flue, or a tree's canopy and trunk."""
    frame, ground = roof_frame(roof), -roof.height_m
    if isinstance(obstacle, Cylinder):
        foot = frame.at(np.array([obstacle.x_m, obstacle.y_m]))
        top = float(foot[2]) + obstacle.height_m
        return [Round(foot, obstacle.diameter_m / 2, ground, top)]
    if isinstance(obstacle, Tree):
        foot, leaves = _out_at(obstacle, roof), ground + obstacle.trunk_m
        light = (obstacle.light_through_winter, obstacle.light_through_summer)
        top, trunk = ground + obstacle.height_m, constant("tree.trunk_width_m") / 2
        canopy = Round(foot, obstacle.width_m / 2, leaves, top, light)
        return [canopy, Round(foot, min(trunk, obstacle.width_m / 2), ground, leaves)]
    return []


def _box(box: Box, frame: Frame, ground: float) -> list[Array]:
    x, y, right, up = box.x_m, box.y_m, box.x_m + box.width_m, box.y_m + box.depth_m
    top = float(frame.at(np.array([(x + right) / 2, (y + up) / 2]))[2]) + box.height_m
    feet = frame.at(np.array([(x, y), (right, y), (right, up), (x, up)]))
    return [_upright(feet[n], feet[(n + 1) % 4], ground, (top, top)) for n in range(4)]


def _upright(start: Array, end: Array, bottom: float, tops: tuple[float, float]) -> Array:
    """Give the upright face over a line, from ``bottom`` to a top that may slope."""
    east_north = np.array([start[:2], end[:2], end[:2], start[:2]])
    return np.column_stack([east_north, [bottom, bottom, tops[1], tops[0]]])


def _upstand(start: Array, end: Array, height_m: float, frame: Frame, ground: float) -> Array:
    a, b = frame.at(start), frame.at(end)
    return _upright(a, b, ground, (float(a[2]) + height_m, float(b[2]) + height_m))


def _edge(parapet: Parapet, roof: Roof) -> tuple[Array, Array]:
    left, right, low, high = roof_box(roof)
    corners = np.array([(left, low), (right, low), (right, high), (left, high)])
    first = ("front", "right", "back", "left").index(parapet.edge)
    return corners[first], corners[(first + 1) % 4]


def upstand_faces(roof: Roof) -> list[Array]:
    """Give the faces of the upstand that runs round all edges of a flat roof, one for each."""
    if roof.kind != "flat" or roof.parapet_m <= 0:
        return []
    frame, ground = roof_frame(roof), -roof.height_m
    outline: Outline = roof_outline(roof)
    edges = zip(np.array(outline), np.array(outline[1:] + outline[:1]), strict=True)
    return [_upstand(start, end, roof.parapet_m, frame, ground) for start, end in edges]


def _out_at(obstacle: Wall | Ridge | Tree, roof: Roof) -> Array:
    """Give the point at an obstacle's bearing and level distance from the roof's middle."""
    left, right, low, high = roof_box(roof)
    middle = roof_frame(roof).at(np.array([(left + right) / 2, (low + high) / 2]))
    ahead = _ahead(obstacle.bearing_deg)
    return np.asarray(middle + obstacle.distance_m * ahead - middle[2] * PLUMB)


def _ahead(bearing_deg: float) -> Array:
    bearing = np.radians(bearing_deg)
    return np.array([np.sin(bearing), np.cos(bearing), 0.0])


def _wall(wall: Wall | Ridge, roof: Roof, top: float) -> Array:
    middle, across = _out_at(wall, roof), _ahead(wall.bearing_deg + 90.0)
    half = wall.width_m / 2 * across
    return _upright(middle - half, middle + half, -roof.height_m, (top, top))
