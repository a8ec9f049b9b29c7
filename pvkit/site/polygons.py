"""Whether flat shapes lie in one another: a row on a roof, a chimney under a module."""

from math import hypot

from pvkit.site.plan import Outline, Point


def reach_outside_m(shape: Outline, outline: Outline) -> float:
    """Give how far a convex shape reaches out of an outline of any form; 0 if it lies inside.

    Examples
    --------
    >>> square = ((0, 0), (4, 0), (4, 4), (0, 4))
    >>> reach_outside_m(((1, 1), (5, 1), (5, 2), (1, 2)), square)
    1.0
    """
    out = max(0.0 if _inside(p, outline) else _distance(p, outline) for p in shape)
    edges = zip(outline, outline[1:] + outline[:1], strict=True)
    notch = max(_depth_of_line(start, end, shape) for start, end in edges)
    return max(out, notch)


def _depth_of_line(start: Point, end: Point, shape: Outline) -> float:
    """Give how deep a line cuts into a convex shape, at the middle of what lies inside."""
    low, high = 0.0, 1.0
    (mx, my), normals = _middle(shape), _normals(shape)
    for (ax, ay), (x, y) in zip(normals, shape, strict=True):
        inward = 1.0 if ax * (mx - x) + ay * (my - y) > 0 else -1.0
        from_edge = inward * (ax * (start[0] - x) + ay * (start[1] - y))
        gain = inward * (ax * (end[0] - start[0]) + ay * (end[1] - start[1]))
        if gain == 0 and from_edge <= 0:
            return 0.0
        if gain > 0:
            low = max(low, -from_edge / gain)
        if gain < 0:
            high = min(high, -from_edge / gain)
    if low >= high:
        return 0.0
    part = (low + high) / 2
    at = (start[0] + part * (end[0] - start[0]), start[1] + part * (end[1] - start[1]))
    return _distance(at, shape)


def _middle(shape: Outline) -> Point:
    return sum(x for x, _ in shape) / len(shape), sum(y for _, y in shape) / len(shape)


def overlap_m(one: Outline, other: Outline) -> float:
    """Give how deep two convex shapes overlap: the least shift that would part them.

    Examples
    --------
    >>> overlap_m(((0, 0), (2, 0), (2, 2), (0, 2)), ((1.5, 0), (3, 0), (3, 2), (1.5, 2)))
    0.5
    """
    depth = float("inf")
    for ax, ay in (*_normals(one), *_normals(other)):
        if ax == ay == 0:  # two corners in one place
            continue
        mine = [ax * x + ay * y for x, y in one]
        theirs = [ax * x + ay * y for x, y in other]
        depth = min(depth, max(mine) - min(theirs), max(theirs) - min(mine))
        if depth <= 0:
            return 0.0
    return depth


def circle_overlap_m(shape: Outline, middle: Point, radius_m: float) -> float:
    """Give how deep a circle reaches into a convex shape; 0 if it does not."""
    to_edge = _distance(middle, shape)
    return max(0.0, radius_m + to_edge if _inside(middle, shape) else radius_m - to_edge)


def _normals(shape: Outline) -> list[Point]:
    found = []
    for (x, y), (a, b) in zip(shape, shape[1:] + shape[:1], strict=True):
        length = hypot(a - x, b - y) or 1.0
        found.append(((b - y) / length, (x - a) / length))
    return found


def _inside(point: Point, outline: Outline) -> bool:
    """Count the edges that a level line from the point crosses: an odd number if it is inside."""
    px, py = point
    inside = False
    for (x, y), (a, b) in zip(outline, outline[1:] + outline[:1], strict=True):
        if (y > py) != (b > py) and px < x + (a - x) * (py - y) / (b - y):
            inside = not inside
    return inside


def _distance(point: Point, outline: Outline) -> float:
    return min(
        _to_edge(point, start, end)
        for start, end in zip(outline, outline[1:] + outline[:1], strict=True)
    )


def _to_edge(point: Point, start: Point, end: Point) -> float:
    dx, dy = end[0] - start[0], end[1] - start[1]
    px, py = point[0] - start[0], point[1] - start[1]
    squared = dx * dx + dy * dy
    along = min(1.0, max(0.0, (px * dx + py * dy) / squared)) if squared else 0.0
    return hypot(px - along * dx, py - along * dy)
