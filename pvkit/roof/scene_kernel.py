"""Looking from a cell along one bearing past all that stands round the roof, compiled.

Import this module inside the function that needs it: it brings numba along.
"""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pvkit.compiled import compiled, inlined
from pvkit.roof.stretch_kernel import Array, Point, face_stretch, round_stretch

IntArray = NDArray[np.int64]

BUILT_ON = "5d9dac79c1af"  # the kernels imported here: see their test
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


class Sight(NamedTuple):
    """Room for one look.

    Parameters
    ----------
    which : (solids + 1,) those that may be seen, ended by -1
    found : (solids + 1, 3) what hangs free, as in :func:`look_along`
    """

    which: IntArray
    found: Array


def room_for_sight(scene: Scene) -> Sight:
    """Make room for looking at a scene."""
    solids = scene.at.shape[1]
    return Sight(np.empty(solids + 1, np.int64), np.empty((solids + 1, 3)))


@compiled
def seen_near(scene: Scene, module: int, bearing: float, half_step: float, which: IntArray) -> int:
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
def way_along(bearing: float) -> tuple[float, float]:
    """Give a level step of one metre along a bearing, east and north."""
    return math.sin(bearing), math.cos(bearing)


@inlined
def opaque(round_light: Array, body: int) -> bool:
    """Tell whether a round lets no light through in any season."""
    most = 0.0
    for season in range(round_light.shape[1]):
        most = max(most, round_light[body, season])
    return most == 0.0


@inlined
def place_of(scene: Scene, at: tuple[int, int, int]) -> Point:
    """Give the place of a cell, by its module, section and number in it [m]."""
    module, section, number = at
    cells = scene.cells
    return (
        cells[module, section, number, 0],
        cells[module, section, number, 1],
        cells[module, section, number, 2],
    )


@inlined
def look_along(
    scene: Scene,
    cell: Point,
    own_row: int,
    way: tuple[float, float],
    sight: Sight,
) -> tuple[float, int]:
    """Look one way: the opaque skyline [rad], and what hangs free or lets light through.

    ``sight.found`` takes low, high [rad] and number of the round (-1 for a face) of the latter.
    """
    which, found = sight
    faces, skyline, free, k = len(scene.faces), LEVEL, 0, 0
    while which[k] >= 0:
        solid, body = which[k], which[k] - faces
        k += 1
        if scene.top[solid] <= cell[2]:
            continue
        if body < 0:
            if scene.face_row[solid] == own_row:
                continue
            low, high = face_stretch(scene.faces, solid, cell, way)
            dark = True
        else:
            low, high = round_stretch(scene.rounds, body, cell, way)
            dark = opaque(scene.round_light, body)
        if high <= LEVEL:
            continue
        if dark and low <= LEVEL:
            skyline = max(skyline, high)
        else:
            found[free, 0], found[free, 1] = math.atan(low), math.atan(high)
            found[free, 2] = max(body, -1)
            free += 1
    return math.atan(skyline), free


@compiled
def look(scene: Scene, sun: tuple[float, float], season: int, share: Array, sight: Sight) -> None:
    """Fill ``share`` (modules, sections, cells) with the light each cell gets from one point.

    ``sun`` is that point's bearing and elevation [rad].
    """
    modules, sections, cells, _ = scene.cells.shape
    bearing, elevation = sun
    found, way = sight.found, way_along(bearing)
    for module in range(modules):
        share[module] = 1.0
        if seen_near(scene, module, bearing, 0.0, sight.which) == 0:
            continue
        for section in range(sections):
            for c in range(cells):
                cell = place_of(scene, (module, section, c))
                skyline, free = look_along(scene, cell, scene.row[module], way, sight)
                through = 0.0 if elevation < skyline else 1.0
                for k in range(free):
                    if found[k, 0] < elevation < found[k, 1]:
                        body = int(found[k, 2])
                        through *= scene.round_light[body, season] if body >= 0 else 0.0
                share[module, section, c] = through
