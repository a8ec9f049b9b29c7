"""The sky-view table: what each module section sees of every part of the sky.

One table serves the beam, the light round the sun and the diffuse light, for chimneys, trees,
parapets, ridges, walls and the row in front alike. It does not hold the distant skyline, which is
the same for all sections and stays exact where the light is weighed.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pvkit.roof.geometry import Geometry
from pvkit.roof.layout import cell_points
from pvkit.roof.shapes import NO_ROW, Solids, solids
from pvkit.roof.threads import in_parts

if TYPE_CHECKING:
    from pvkit.roof.scene_kernel import Scene

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Float32 = NDArray[np.float32]

NEVER = -1.0
# A little more than rounding, so that no bearing along an edge is missed.
_EDGE_RAD = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class SkyView:
    """What the sections of an array's modules see.

    Parameters
    ----------
    modules, sections : of the array, and of each module
    seasons : 2 where trees differ between winter (0) and summer (1), else 1
    hidden : (seasons, bearings, elevations, modules × sections) mean share of each part of the sky
        that is hidden from a section's cells; bearings from north, elevations from level up; None
        where nothing stands above the lowest cell
    darkest : the same for the cell that each part is hidden from the most
    """

    modules: int
    sections: int
    seasons: int
    hidden: Float32 | None
    darkest: Float32 | None


def sky_view_table(geometry: Geometry) -> SkyView:
    """Look from every cell at every part of the sky.

    Parameters
    ----------
    geometry : the array, its roof and what stands round it

    Returns
    -------
    the table, without arrays if the whole sky is open

    Source
    ------
    Plane geometry, see :mod:`pvkit.roof.view_kernel`. A part's share is exact in elevation and
    sampled in bearing.
    """
    cells, bodies = cell_points(geometry), solids(geometry)
    modules, sections = cells.shape[:2]
    if not _may_hide(bodies, cells):
        return SkyView(modules, sections, 1, None, None)
    from pvkit.roof.view_kernel import fill, room_to_work

    grid, made = geometry.grid, scene(geometry)
    shape = (bodies.seasons, grid.bearings, grid.elevations, modules * sections)
    hidden, darkest = np.zeros(shape, np.float32), np.zeros(shape, np.float32)

    def run(first: int, last: int) -> None:
        room = room_to_work(made, grid.elevations, bodies.seasons, grid.rays)
        fill(made, first, last, hidden, darkest, room)

    in_parts(grid.bearings, run)
    return SkyView(modules, sections, bodies.seasons, hidden, darkest)


def _may_hide(bodies: Solids, cells: Array) -> bool:
    return bool(np.any(bodies.face_row != NO_ROW)) or bodies.top_m() > float(cells[..., 2].min())


def scene(geometry: Geometry) -> "Scene":
    """Give cells and solids in the compiler's form, with the bearings each may be seen under."""
    from pvkit.roof.scene_kernel import Scene

    cells, bodies = cell_points(geometry), solids(geometry)
    row = np.repeat(np.array(geometry.block.lines), geometry.block.rows)
    middles = (bodies.faces[..., :2].min(axis=1) + bodies.faces[..., :2].max(axis=1)) / 2
    radii = np.linalg.norm(bodies.faces[..., :2] - middles[:, None], axis=-1).max(
        axis=1, initial=0.0
    )
    rounds = bodies.rounds
    tops = np.concatenate([bodies.faces[..., 2].max(axis=1), rounds[:, 4]])
    at, half = _windows(
        cells,
        np.concatenate([middles, rounds[:, :2]]),
        np.concatenate([radii, rounds[:, 2]]),
        tops,
    )
    faces, lets = bodies.faces, bodies.round_light
    return Scene(cells, row, faces, bodies.face_row, rounds, lets, at, half, tops)


def _windows(cells: Array, middles: Array, radii: Array, tops: Array) -> tuple[Array, Array]:
    """Give the bearing and half angle under which each module may see each solid [rad].

    The angle is that between two circles in plan, one round the module's cells and one round the
    solid; below zero where the solid does not rise above the module's lowest cell.
    """
    flat = cells.reshape(len(cells), -1, 3)
    centres = flat[..., :2].mean(axis=1)
    reach = np.linalg.norm(flat[..., :2] - centres[:, None], axis=-1).max(axis=1)
    away = middles[None, :, :] - centres[:, None, :]
    distance = np.maximum(np.linalg.norm(away, axis=-1), 1e-12)
    both = reach[:, None] + radii[None, :]
    half = np.where(distance > both, np.arcsin(np.minimum(both / distance, 1.0)), np.pi)
    seen = tops[None, :] > flat[..., 2].min(axis=1)[:, None]
    at = np.arctan2(away[..., 0], away[..., 1])
    return at, np.where(seen, half + _EDGE_RAD, NEVER)
