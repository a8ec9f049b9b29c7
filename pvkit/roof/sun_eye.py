"""A roof as the sun sees it at one moment: whatever it cannot see lies in shade."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.roof.geometry import Geometry, geometry
from pvkit.roof.layout import PLUMB, THIRDS, block_rows, module_corners, roof_frame
from pvkit.roof.moment import cells_lit
from pvkit.roof.shapes import Round, faces_of, rounds_of, stands_on_roof, upstand_faces
from pvkit.roof.sketch import Role
from pvkit.site.kit import Roof
from pvkit.site.plan import roof_outline
from pvkit.site.survey import Site

Array = NDArray[np.float64]

_ROUND_CORNERS = 32


@dataclass(frozen=True, slots=True)
class Patch:
    """A flat patch as the sun sees it.

    Parameters
    ----------
    name : of the roof, the array or the obstacle
    role : what it is; a module is drawn by its sections
    outline : its corners across and up the picture [m]
    number : of the module, from 1; 0 for everything else
    lit : share of the sun's direct light that the patch gets, 1 for what is no module
    """

    name: str
    role: Role
    outline: tuple[tuple[float, float], ...]
    number: int = 0
    lit: float = 1.0


def sun_eye(
    site: Site, roof_name: str, solar_azimuth: float, solar_elevation: float, *, leaves: bool = True
) -> tuple[Patch, ...]:
    """Draw one roof, its modules and what stands round it as seen from the sun.

    Parameters
    ----------
    site : a checked survey; its distant skyline is left out
    roof_name : which of its roofs
    solar_azimuth, solar_elevation : of the sun [deg]
    leaves : trees are in leaf

    Returns
    -------
    patches in drawing order, the farthest from the sun first; none if the sun is behind the roof

    Source
    ------
    Parallel projection along the sun's direction, level across the picture.
    """
    roof = next(roof for roof in site.roof if roof.name == roof_name)
    across, up, sunward = axes = _axes(solar_azimuth, solar_elevation)
    surface = roof_frame(roof).at(np.array(roof_outline(roof)))
    if np.cross(roof_frame(roof).right, roof_frame(roof).up) @ sunward <= 0:
        return ()
    sun = (solar_azimuth, solar_elevation, leaves)
    modules = [
        patch
        for array in site.array
        if array.roof == roof_name
        for patch in _modules(geometry(site, array), array.name, sun)
    ]
    roofs = Patch(roof.name, "roof", _flat(surface, across, up))
    middle = float((surface @ sunward).mean())
    standing = sorted(_standing(site, roof, axes), key=lambda pair: pair[0])
    behind = [patch for depth, patch in standing if depth <= middle]
    before = [patch for depth, patch in standing if depth > middle]
    return (*behind, roofs, *modules, *before)


def _axes(azimuth_deg: float, elevation_deg: float) -> tuple[Array, Array, Array]:
    """Give the picture's directions across and up, and the one towards the sun."""
    a, e = np.radians(azimuth_deg), np.radians(elevation_deg)
    across = np.array([-np.cos(a), np.sin(a), 0.0])
    up = np.array([-np.sin(a) * np.sin(e), -np.cos(a) * np.sin(e), np.cos(e)])
    sunward = np.array([np.sin(a) * np.cos(e), np.cos(a) * np.cos(e), np.sin(e)])
    return across, up, sunward


def _flat(points: Array, across: Array, up: Array) -> tuple[tuple[float, float], ...]:
    return tuple((float(p @ across), float(p @ up)) for p in points)


def _modules(scene: Geometry, name: str, sun: tuple[float, float, bool]) -> list[Patch]:
    """Give every section of an array's modules, with the light its cells get."""
    azimuth, elevation, leaves = sun
    lit = cells_lit(scene, azimuth, elevation, leaves=leaves).mean(axis=2)
    across, up, _ = _axes(azimuth, elevation)
    rows = block_rows(scene.block, scene.roof, scene.clearance_m)
    halves = lit.shape[1] // THIRDS
    long, short = scene.block.along_m * rows.along, scene.block.up_m * rows.up
    if scene.block.orientation == "landscape":
        long, short = short, long
    found = []
    for number, corner in enumerate(module_corners(scene.block, rows), 1):
        for section in range(lit.shape[1]):
            third, half = divmod(section, halves)
            start = corner + third / THIRDS * long + half / halves * short
            wide, high = long / THIRDS, short / halves
            patch = np.array([start, start + wide, start + wide + high, start + high])
            share = float(lit[number - 1, section])
            found.append(Patch(name, "module", _flat(patch, across, up), number, share))
    return found


def _standing(
    site: Site, roof: Roof, axes: tuple[Array, Array, Array]
) -> list[tuple[float, Patch]]:
    """Give every part of what stands round a roof, with how far towards the sun it stands."""
    across, up, sunward = axes
    found: list[tuple[float, Patch]] = []

    def add(name: str, role: Role, points: Array) -> None:
        outline = _hull(_flat(points, across, up))
        found.append((float((points @ sunward).mean()), Patch(name, role, outline)))

    for face in upstand_faces(roof):
        add(roof.name, "parapet", _from_roof_up(face, roof))
    for obstacle in site.obstacle:
        if obstacle.roof not in (None, roof.name):
            continue
        for points in (*faces_of(obstacle, roof), *map(_body, rounds_of(obstacle, roof))):
            whole = _from_roof_up(points, roof) if stands_on_roof(obstacle) else points
            add(obstacle.name, obstacle.kind, whole)
    return found


def _from_roof_up(points: Array, roof: Roof) -> Array:
    """Lift what lies below the roof's surface up to it."""
    frame = roof_frame(roof)
    slope = float(frame.up @ PLUMB) / float(frame.up @ frame.level_up)
    lifted = points.copy()
    lifted[:, 2] = np.maximum(points[:, 2], slope * (points @ frame.level_up))
    return lifted


def _body(body: Round) -> Array:
    turn = np.linspace(0, 2 * np.pi, _ROUND_CORNERS, endpoint=False)
    rim = body.middle[:2] + body.radius_m * np.column_stack([np.cos(turn), np.sin(turn)])
    ends = [np.column_stack([rim, np.full(len(rim), z)]) for z in (body.bottom_m, body.top_m)]
    return np.concatenate(ends)


def _hull(points: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    """Give the convex outline round some points (Andrew's monotone chain)."""
    ordered = sorted(set(points))
    return (*_chain(ordered), *_chain(ordered[::-1]))


def _chain(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    kept: list[tuple[float, float]] = []
    for x, y in points:
        while len(kept) > 1:
            (ax, ay), (bx, by) = kept[-2], kept[-1]
            if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0:
                break
            kept.pop()
        kept.append((x, y))
    return kept[:-1]
