"""Checks of what stands in the light: its roof, its place on it, its distance from the house."""

from collections.abc import Iterator, Sequence
from itertools import islice
from math import cos, radians

from pvkit.errors import Fault
from pvkit.site.faults import nearest
from pvkit.site.kit import Roof
from pvkit.site.obstacles import Box, Cylinder, Obstacle, Ridge, Tree, Wall
from pvkit.site.partial import readable
from pvkit.site.plan import Outline, Point, roof_box
from pvkit.site.polygons import circle_overlap_m, overlap_m
from pvkit.site.survey import Site
from pvkit.site.wording import labels, shown
from pvkit.tables import constant, numbers


def obstacle_faults(site: Site) -> Iterator[Fault]:
    """Refuse obstacles of an unknown roof, off their roof, inside the house, or upside down."""
    roofs = getattr(site, "roof", ())
    names = [getattr(obstacle, "name", None) for obstacle in site.obstacle]
    for label, obstacle in zip(labels(names), site.obstacle, strict=True):
        key = f"obstacle.{label}"
        yield from readable(_trunk(obstacle, key))
        yield from readable(_roof(obstacle, roofs, key))
        yield from islice((f for roof in roofs for f in readable(_place(obstacle, roof, key))), 1)


def _trunk(obstacle: Obstacle, key: str) -> Iterator[Fault]:
    if obstacle.kind == "tree" and obstacle.trunk_m >= obstacle.height_m:
        yield Fault(
            f"{key}.trunk_m",
            f"found {obstacle.trunk_m:g} m on a tree of {obstacle.height_m:g} m",
            f"less than its height, {obstacle.height_m:g} m",
            "give metres from the ground to the lowest leaves",
        )


def _roof(obstacle: Obstacle, roofs: Sequence[Roof], key: str) -> Iterator[Fault]:
    names = [getattr(roof, "name", None) for roof in roofs]
    known = list(dict.fromkeys(name for name in names if name is not None))
    if obstacle.roof is not None and known and None not in names and obstacle.roof not in known:
        yield Fault(
            f"{key}.roof",
            f"found {shown(obstacle.roof)}",
            ", ".join(known),
            nearest(obstacle.roof, known),
        )


def _place(obstacle: Obstacle, roof: Roof, key: str) -> Iterator[Fault]:
    left, right, low, high = roof_box(roof)
    if obstacle.roof not in (None, roof.name) or min(right - left, high - low) <= 0:
        return
    match obstacle.kind:
        case "box" | "cylinder":
            yield from _on_roof(obstacle, roof, key)
        case "wall" | "tree" | "ridge":
            yield from _outside(obstacle, roof, key)


def _on_roof(obstacle: Box | Cylinder, roof: Roof, key: str) -> Iterator[Fault]:
    left, right, low, high = roof_box(roof)
    steepest = float(numbers("limits.toml")["obstacle.steepest_roof_deg"].value)
    if roof.tilt_deg > steepest:
        yield Fault(
            f"{key}.roof",
            f"found a {obstacle.kind} on a roof of {roof.tilt_deg:g} deg",
            f"a {obstacle.kind} on a roof of up to {steepest:g} deg",
            "nothing stands plumb on a wall: describe it as a wall in the garden",
        )
    corners = ((left, low), (right, low), (right, high), (left, high))
    if covered_m(obstacle, corners) <= 0:
        yield Fault(
            f"{key}.x_m",
            f"found it off its roof, at x {obstacle.x_m:g} m and y {obstacle.y_m:g} m",
            f"x of {left:g} to {right:g} m and y of {low:g} to {high:g} m",
            "measure from the roof's lower left corner seen from outside; what stands beside the "
            "roof is a wall with a bearing and a distance",
        )


def covered_m(obstacle: Box | Cylinder, shape: Outline) -> float:
    """Give how deep an obstacle's foot reaches into a convex shape on its roof.

    Examples
    --------
    >>> flue = Cylinder(name="f", kind="cylinder", roof="r", x_m=1, y_m=1, diameter_m=1, height_m=1)
    >>> covered_m(flue, ((1.25, 0.0), (3.0, 0.0), (3.0, 2.0), (1.25, 2.0)))
    0.25
    """
    x, y = obstacle.x_m, obstacle.y_m
    if obstacle.kind == "cylinder":
        return circle_overlap_m(shape, (x, y), obstacle.diameter_m / 2)
    right, top = x + obstacle.width_m, y + obstacle.depth_m
    return overlap_m(((x, y), (right, y), (right, top), (x, top)), shape)


def _outside(obstacle: Wall | Tree | Ridge, roof: Roof, key: str) -> Iterator[Fault]:
    """Refuse what would stand in the house; its plan is that of the roof, seen from above."""
    left, right, low, high = roof_box(roof)
    tilt = roof.tilt_deg if roof.kind == "pitched" else 0.0
    x, y = (right - left) / 2, (high - low) / 2 * cos(radians(tilt))
    plan = ((-x, -y), (x, -y), (x, y), (-x, y))
    ahead, across = _directions(obstacle.bearing_deg, roof)
    middle = (obstacle.distance_m * ahead[0], obstacle.distance_m * ahead[1])
    if obstacle.kind == "tree":
        inside = circle_overlap_m(plan, middle, constant("tree.trunk_width_m") / 2)
    else:
        inside = overlap_m(_ends(middle, across, obstacle.width_m / 2), plan)
    if inside > 0:
        least = abs(x * ahead[0]) + abs(y * ahead[1])
        yield Fault(
            f"{key}.distance_m",
            f"found {obstacle.distance_m:g} m from the middle of the roof {shown(roof.name)}, "
            "which is inside the house",
            f"more than {least:.1f} m towards {obstacle.bearing_deg:g} deg",
            "measure from the middle of the roof, or name under roof the one it was measured from",
        )


def _directions(bearing_deg: float, roof: Roof) -> tuple[Point, Point]:
    """Give the roof's x and y of a step along a bearing and of one to its left."""
    turn = radians(bearing_deg - roof.azimuth_deg)
    ahead = (cos(turn + radians(90.0)), -cos(turn))
    return ahead, (-ahead[1], ahead[0])


def _ends(middle: Point, across: Point, half_m: float) -> Outline:
    (x, y), (a, b) = middle, across
    return ((x - half_m * a, y - half_m * b), (x + half_m * a, y + half_m * b))
