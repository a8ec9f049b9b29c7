"""How far up the sky is hidden from each cell, compiled.

All solids are upright or flat, so along one bearing from one cell each hides one stretch of
elevations, found from the two points where the upright plane along that bearing cuts it. What a
part of the sky loses is then the exact share of its elevations inside those stretches, averaged
over a few bearings within the part. Only bearings between a solid's edges as seen from a module
are looked along.

Import this module inside the function that needs it: it brings numba along.
"""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pvkit.compiled import compiled

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Float32 = NDArray[np.float32]

JUST_AHEAD_M = 1e-9
LEVEL = 0.0


class Scene(NamedTuple):
    """Cells and solids in the compiler's form.

    ``cells`` (modules, sections, cells, 3); ``row`` (modules,); faces, their rows, rounds and their
    light as in :class:`pvkit.roof.shapes.Solids`. Solids are numbered faces first: ``at`` and
    ``half`` (modules, solids) are the bearing of each one's middle from each module and the half
    angle it may be seen under [rad], below zero if it never is; ``top`` (solids,) is how high each
    reaches.
    """

    cells: Array
    row: IntArray
    faces: Array
    face_row: IntArray
    rounds: Array
    round_light: Array
    at: Array
    half: Array
    top: Array


@compiled
def face_stretch(face: Array, cell: Array, way: tuple[float, float]) -> tuple[float, float]:
    """Give the slopes (rise over level run) between which a flat face hides the sky along a way.

    ``way`` is a level step of one metre, east and north. A face that is missed gives a low above
    the high.
    """
    east, north = way
    t1, z1, t2, z2, found = 0.0, 0.0, 0.0, 0.0, 0
    dx, dy = face[3, 0] - cell[0], face[3, 1] - cell[1]
    side, ahead, up = east * dy - north * dx, east * dx + north * dy, face[3, 2] - cell[2]
    for corner in range(4):
        dx, dy = face[corner, 0] - cell[0], face[corner, 1] - cell[1]
        next_side, next_ahead = east * dy - north * dx, east * dx + north * dy
        next_up = face[corner, 2] - cell[2]
        if (side > 0.0) != (next_side > 0.0):
            part = side / (side - next_side)
            t2, z2 = ahead + part * (next_ahead - ahead), up + part * (next_up - up)
            if found == 0:
                t1, z1 = t2, z2
            found += 1
        side, ahead, up = next_side, next_ahead, next_up
    if found == 0 or (t1 <= 0.0 and t2 <= 0.0):
        return math.inf, -math.inf
    if t1 <= 0.0:
        t1, z1 = JUST_AHEAD_M, z2 + (z1 - z2) * (t2 - JUST_AHEAD_M) / (t2 - t1)
    elif t2 <= 0.0:
        t2, z2 = JUST_AHEAD_M, z1 + (z2 - z1) * (t1 - JUST_AHEAD_M) / (t1 - t2)
    one, other = z1 / t1, z2 / t2
    return min(one, other), max(one, other)


@compiled
def round_stretch(body: Array, cell: Array, way: tuple[float, float]) -> tuple[float, float]:
    """Give the slopes between which an upright cylinder hides the sky along a way."""
    east, north = way
    dx, dy = body[0] - cell[0], body[1] - cell[1]
    side, ahead = east * dy - north * dx, east * dx + north * dy
    if abs(side) >= body[2] or body[4] <= cell[2]:
        return math.inf, -math.inf
    half = math.sqrt(body[2] * body[2] - side * side)
    near, far = max(ahead - half, JUST_AHEAD_M), ahead + half
    if far <= 0.0:
        return math.inf, -math.inf
    low = (body[3] - cell[2]) / far if body[3] > cell[2] else -math.inf
    return low, (body[4] - cell[2]) / near


@compiled
def _seen(scene: Scene, module: int, bearing: float, half_step: float, which: IntArray) -> int:
    """List the solids that a module may see near a bearing, ended by -1; give how many."""
    count = 0
    for solid in range(scene.at.shape[1]):
        away = abs(bearing - scene.at[module, solid]) % (2.0 * math.pi)
        half = scene.half[module, solid]
        if half >= 0.0 and min(away, 2.0 * math.pi - away) <= half + half_step:
            which[count] = solid
            count += 1
    which[count] = -1
    return count


@compiled
def _way(bearing: float) -> tuple[float, float]:
    """Give a level step of one metre along a bearing, east and north."""
    return math.sin(bearing), math.cos(bearing)


@compiled
def _look_along(
    scene: Scene,
    cell: Array,
    own_row: int,
    way: tuple[float, float],
    which: IntArray,
    found: Array,
) -> tuple[float, int]:
    """Look one way: the opaque skyline [rad], and what hangs free or lets light through.

    ``found`` takes low, high [rad] and number of the round (-1 for a face) of what hangs free.
    """
    faces, skyline, free, k = len(scene.faces), LEVEL, 0, 0
    while which[k] >= 0:
        solid, body = which[k], which[k] - faces
        k += 1
        if scene.top[solid] <= cell[2]:
            continue
        if body < 0:
            if scene.face_row[solid] == own_row:
                continue
            low, high = face_stretch(scene.faces[solid], cell, way)
            opaque = True
        else:
            low, high = round_stretch(scene.rounds[body], cell, way)
            opaque = scene.round_light[body].max() == 0.0
        if high <= LEVEL:
            continue
        if opaque and low <= LEVEL:
            skyline = max(skyline, high)
        else:
            found[free, 0], found[free, 1] = math.atan(low), math.atan(high)
            found[free, 2] = max(body, -1)
            free += 1
    return math.atan(skyline), free


@compiled
def _take_off(
    light: Array, found: Array, free: int, skyline: float, step: float, lost: Array
) -> int:
    """Add what one look along a bearing loses to ``lost`` (parts, seasons); give parts touched.

    Above the skyline a part is cut where something begins or ends, so that its share is exact
    however many things overlap in it.
    """
    top = skyline
    for k in range(free):
        top = max(top, found[k, 1])
    parts = min(len(lost), int(top / step) + 1)
    for part in range(parts):
        at, end = max(part * step, skyline), (part + 1) * step
        lost[part] += min(at - part * step, step) / step
        while at < end:
            cut = end
            for k in range(free):
                if found[k, 0] > at:
                    cut = min(cut, found[k, 0])
                elif found[k, 1] > at:
                    cut = min(cut, found[k, 1])
            for season in range(lost.shape[1]):
                through = 1.0
                for k in range(free):
                    if found[k, 0] <= at < found[k, 1]:
                        body = int(found[k, 2])
                        through *= light[body, season] if body >= 0 else 0.0
                lost[part, season] += (cut - at) / step * (1.0 - through)
            at = cut
    return parts


@compiled
def fill(scene: Scene, first: int, last: int, rays: int, hidden: Float32, darkest: Float32) -> None:
    """Fill the table for the bearings ``first`` to ``last``.

    ``hidden`` and ``darkest`` (seasons, bearings, elevations, sections of all modules) start at 0
    and take the mean share hidden from a section's cells and that of its worst cell.
    """
    modules, sections, cells, _ = scene.cells.shape
    seasons, bearings, elevations, _ = hidden.shape
    turn, step = 2.0 * math.pi / bearings, math.pi / 2.0 / elevations
    solids = scene.at.shape[1]
    which, found = np.empty(solids + 1, np.int64), np.empty((solids + 1, 3))
    lost, total = np.zeros((elevations, seasons)), np.zeros((elevations, seasons))
    for b in range(first, last):
        ways = [_way((b + (ray + 0.5) / rays) * turn) for ray in range(rays)]
        for module in range(modules):
            if _seen(scene, module, (b + 0.5) * turn, turn / 2.0, which) == 0:
                continue
            for section in range(sections):
                n, touched = module * sections + section, 0
                for c in range(cells):
                    cell, parts = scene.cells[module, section, c], 0
                    for ray in range(rays):
                        skyline, free = _look_along(
                            scene, cell, scene.row[module], ways[ray], which, found
                        )
                        if skyline > LEVEL or free > 0:
                            some = _take_off(scene.round_light, found, free, skyline, step, lost)
                            parts = max(parts, some)
                    for part in range(parts):
                        for season in range(seasons):
                            share = min(lost[part, season] / rays, 1.0)
                            total[part, season] += share
                            darkest[season, b, part, n] = max(darkest[season, b, part, n], share)
                            lost[part, season] = 0.0
                    touched = max(touched, parts)
                for part in range(touched):
                    for season in range(seasons):
                        hidden[season, b, part, n] = total[part, season] / cells
                        total[part, season] = 0.0


@compiled
def look(scene: Scene, bearing: float, elevation: float, season: int, share: Array) -> None:
    """Fill ``share`` (modules, sections, cells) with the light each cell gets from one point."""
    modules, sections, cells, _ = scene.cells.shape
    solids = scene.at.shape[1]
    which, found, way = np.empty(solids + 1, np.int64), np.empty((solids + 1, 3)), _way(bearing)
    for module in range(modules):
        share[module] = 1.0
        if _seen(scene, module, bearing, 0.0, which) == 0:
            continue
        for section in range(sections):
            for c in range(cells):
                cell = scene.cells[module, section, c]
                skyline, free = _look_along(scene, cell, scene.row[module], way, which, found)
                through = 0.0 if elevation < skyline else 1.0
                for k in range(free):
                    if found[k, 0] < elevation < found[k, 1]:
                        body = int(found[k, 2])
                        through *= scene.round_light[body, season] if body >= 0 else 0.0
                share[module, section, c] = through
