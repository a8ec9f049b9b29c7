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

from pvkit.compiled import compiled, inlined
from pvkit.roof.scene_kernel import (
    IntArray,
    Scene,
    Sight,
    look_along,
    place_of,
    room_for_sight,
    seen_near,
    way_along,
)
from pvkit.roof.stretch_kernel import Array

Float32 = NDArray[np.float32]

BUILT_ON = "1318bed1db28"  # the kernels imported here: see their test


class Work(NamedTuple):
    """Room for one thread's work.

    Parameters
    ----------
    sight : for one look
    ways : (looks, 2) level steps of one metre along each look's bearing, east and north
    skies : (looks,) opaque skylines [rad]
    lost, total : (parts, seasons) hidden from a cell, summed over looks, and from a section's cells
    whole : (parts + 1,) cells for which the parts below are wholly hidden
    step : height of a part [rad]
    """

    sight: Sight
    ways: Array
    skies: Array
    lost: Array
    total: Array
    whole: IntArray
    step: float


def room_to_work(scene: Scene, elevations: int, seasons: int, rays: int) -> Work:
    """Make room for one thread's work."""
    return Work(
        room_for_sight(scene),
        np.empty((rays, 2)),
        np.zeros(rays),
        np.zeros((elevations, seasons)),
        np.zeros((elevations, seasons)),
        np.zeros(elevations + 1, np.int64),
        math.pi / 2.0 / elevations,
    )


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
        for season in range(lost.shape[1]):
            lost[part, season] += min(at - part * step, step) / step
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


@inlined
def _take_skylines(work: Work) -> tuple[int, int]:
    """Add what opaque skylines alone hide from one cell; give the parts where they run.

    Below the first every part is hidden: that is only counted, in ``whole``. From the first up to
    the last ``lost`` takes its share of each look.
    """
    parts, seasons = work.lost.shape
    low, high = math.inf, 0.0
    for sky in work.skies:
        low, high = min(low, sky), max(high, sky)
    first, last = min(int(low / work.step), parts), min(int(high / work.step) + 1, parts)
    work.whole[first] += 1
    for part in range(first, last):
        for sky in work.skies:
            share = min(max(sky / work.step - part, 0.0), 1.0)
            for season in range(seasons):
                work.lost[part, season] += share
    return first, last


@inlined
def _take_cell(scene: Scene, at: tuple[int, int, int], rays: int, work: Work) -> tuple[int, int]:
    """Add what one cell loses, look by look; give the parts between which ``lost`` is filled.

    ``at`` is the cell's module, section and number in it.
    """
    cell, row, light = place_of(scene, at), scene.row[at[0]], scene.round_light
    level, parts = 0, 0
    for ray in range(rays):
        way = (work.ways[ray, 0], work.ways[ray, 1])
        skyline, free = look_along(scene, cell, row, way, work.sight)
        if free > 0:
            parts = max(
                parts, _take_off(light, work.sight.found, free, skyline, work.step, work.lost)
            )
        else:
            work.skies[level] = skyline
            level += 1
    if parts == 0:
        return _take_skylines(work)
    for k in range(level):
        parts = max(
            parts, _take_off(light, work.sight.found, 0, work.skies[k], work.step, work.lost)
        )
    return 0, parts


@inlined
def _add_up(first: int, last: int, rays: int, darkest: Float32, work: Work) -> None:
    """Add one cell's losses to its section's, and clear them; ``darkest`` (seasons, parts)."""
    for part in range(first, last):
        for season in range(len(darkest)):
            share = min(work.lost[part, season] / rays, 1.0)
            work.total[part, season] += share
            darkest[season, part] = max(darkest[season, part], share)
            work.lost[part, season] = 0.0


@compiled
def _settle(below: int, cells: int, hidden: Float32, darkest: Float32, work: Work) -> None:
    """Write a section's mean share from its cells' losses up to part ``below``, and clear them."""
    covered = 0
    for part in range(below, -1, -1):
        if part < below:
            for season in range(len(hidden)):
                hidden[season, part] = (work.total[part, season] + covered) / cells
                work.total[part, season] = 0.0
                if covered > 0:
                    darkest[season, part] = 1.0
        covered += work.whole[part]
        work.whole[part] = 0


@compiled
def fill(
    scene: Scene, first: int, last: int, hidden: Float32, darkest: Float32, work: Work
) -> None:
    """Fill the table for the bearings ``first`` to ``last``.

    ``hidden`` and ``darkest`` (seasons, bearings, elevations, sections of all modules) start at 0
    and take the mean share hidden from a section's cells and that of its worst cell.
    """
    modules, sections, cells, _ = scene.cells.shape
    turn, rays = 2.0 * math.pi / hidden.shape[1], len(work.ways)
    for b in range(first, last):
        for ray in range(rays):
            work.ways[ray] = way_along((b + (ray + 0.5) / rays) * turn)
        for module in range(modules):
            if seen_near(scene, module, (b + 0.5) * turn, turn / 2.0, work.sight.which) == 0:
                continue
            for section in range(sections):
                n, below = module * sections + section, 0
                mean, worst = hidden[:, b, :, n], darkest[:, b, :, n]
                for number in range(cells):
                    at, end = _take_cell(scene, (module, section, number), rays, work)
                    _add_up(at, end, rays, worst, work)
                    below = max(below, end)
                _settle(below, cells, mean, worst, work)
