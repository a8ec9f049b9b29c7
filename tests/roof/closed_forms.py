"""Shade whose size plane geometry gives, worked out on one grid: prints the errors when run.

python -m tests.roof.closed_forms
"""

import sys
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from pvkit.roof.geometry import Geometry, Grid, usual_grid
from pvkit.roof.layout import cell_points
from pvkit.roof.light import Plane
from pvkit.roof.perez import SkySplit
from pvkit.roof.section_light import SectionLight, section_light
from pvkit.roof.sky_share import left_of_sky, sky_weights
from pvkit.roof.sky_view import sky_view_table
from pvkit.site.kit import Roof
from pvkit.site.obstacles import Cylinder, Wall
from pvkit.site.plan import Block

GRIDS = (Grid(90, 45, 2), usual_grid(), Grid(360, 180, 2), Grid(720, 360, 2))
CLEAR_M = 0.1
FAR_M = 1000.0  # as wide as the sun needs a wall to be to have no ends
ROOF = Roof(name="r", kind="flat", azimuth_deg=180, width_m=200, depth_m=200, height_m=5)
MIDDLE = 100.0


def split_at(solar_azimuth: np.ndarray, solar_elevation: np.ndarray) -> SkySplit:
    """A sky with the sun at these places [deg], clear and steady."""
    azimuth, elevation = np.broadcast_arrays(
        np.asarray(solar_azimuth, float), np.asarray(solar_elevation, float)
    )
    n = azimuth.size
    sun = {"zenith_rad": np.radians(90 - elevation.ravel()),
           "azimuth_rad": np.radians(azimuth.ravel())}  # fmt: skip
    return SkySplit(
        daylight=np.arange(n), **sun, cos_zenith=np.maximum(np.cos(sun["zenith_rad"]), 0.0872),
        dni=np.full(n, 800.0), ghi=np.full(n, 500.0), circumsolar=np.full(n, 30.0),
        isotropic=np.full(n, 70.0), horizon_band=np.full(n, 5.0),
    )  # fmt: skip


def level_modules(
    columns: int, rows: int, x_m: float, y_m: float, along: float, up: float
) -> Block:
    return Block(x_m, y_m, 0.0, 0.0, "portrait", (columns,) * rows, along, up, 0.0, up)


def scene(block: Block, obstacles: tuple = (), others: tuple = (), *, grid: Grid, cells: int = 60):
    return Geometry(ROOF, block, others, obstacles, cells, False, CLEAR_M, grid)


def at_sun(geometry: Geometry, azimuth: float, elevation: float) -> SectionLight:
    split = split_at(np.array([azimuth]), np.array([elevation]))
    return section_light(split, Plane(0.0, 180.0, 0.2), sky_view_table(geometry))


def hidden_along(geometry: Geometry, azimuth: float, elevation: float) -> float:
    """Sum of what is hidden from each section, in sections."""
    return float((1 - at_sun(geometry, azimuth, elevation).direct_share[0].astype(float)).sum())


def wall_south(distance_m: float, above_m: float, width_m: float = FAR_M) -> Wall:
    """A wall in the south whose top is so far above the modules."""
    return Wall(name="w", kind="wall", bearing_deg=180, distance_m=distance_m, width_m=width_m,
                height_m=ROOF.height_m + CLEAR_M + above_m)  # fmt: skip


def shadow_length(grid: Grid, azimuth: float = 205.0, elevation: float = 23.0) -> float:
    """Relative error of a long wall's shadow, square to the wall: h cos(sun - wall) / tan(sun)."""
    above, from_wall = 4.0, 1.0
    modules = level_modules(1, 12, MIDDLE, 0.0, 1.0, 1.5)
    geometry = scene(modules, (wall_south(MIDDLE + from_wall, above),), grid=grid, cells=180)
    deep = hidden_along(geometry, azimuth, elevation) / 3 * 1.5  # three sections abreast
    truth = above * np.cos(np.radians(azimuth - 180)) / np.tan(np.radians(elevation))
    return (from_wall + deep) / truth - 1


def shadow_turn(grid: Grid, azimuth: float = 215.0, elevation: float = 12.0) -> float:
    """Error in the bearing of the shadow of a wall's end [deg]; it must run away from the sun."""
    far, half = 8.0, 50.0
    row = level_modules(300, 1, MIDDLE + half, 0.0, 0.06, 0.06)
    wall = wall_south(MIDDLE + far, 30.0, width_m=2 * half)
    shift = hidden_along(scene(row, (wall,), grid=grid, cells=6), azimuth, elevation) / 3 * 0.06
    return float(np.degrees(np.arctan2(shift, far + 0.03)) - (azimuth - 180))


def flue_width(grid: Grid, azimuth: float = 160.0, elevation: float = 25.0) -> float:
    """Relative error of the width of a flue's shadow, square to the sun: its diameter."""
    diameter, ahead = 0.3, 3.0
    row = level_modules(120, 1, MIDDLE - 1.8, MIDDLE + ahead, 0.012, 0.012)
    flue = Cylinder(name="f", kind="cylinder", roof="r", x_m=MIDDLE, y_m=MIDDLE,
                    diameter_m=diameter, height_m=9)  # fmt: skip
    along = hidden_along(scene(row, (flue,), grid=grid, cells=6), azimuth, elevation) / 3 * 0.012
    return along * np.cos(np.radians(azimuth - 180)) / diameter - 1


def parapet_sky(grid: Grid) -> float:
    """Greatest error of the share of sky left below an endless parapet: (1 + cos e) / 2."""
    modules = level_modules(1, 4, MIDDLE, 0.5, 1.0, 1.5)
    geometry = scene(modules, (wall_south(MIDDLE, 1.2),), grid=grid)
    away = cell_points(geometry)[..., 1]
    truth = ((1 + np.cos(np.arctan2(1.2, away))) / 2).mean(axis=-1)
    found = at_sun(geometry, 0.0, 80.0).sky_share[0]
    return float(np.abs(found / truth - 1).max())


def row_sky(grid: Grid, tilt: float = 20.0, pitch: float = 1.8) -> float:
    """Greatest error of the share of sky left behind an endless row: (1 + cos(tilt + e)) / 2.

    e is the elevation of the top of the row in front, as seen from the cell; without that row it
    is (1 + cos tilt) / 2.
    """
    own = Block(MIDDLE, MIDDLE, 0.0, tilt, "portrait", (1,), 1.0, 1.0, 0.0, pitch)
    front = replace(own, x_m=MIDDLE - FAR_M, y_m=MIDDLE - pitch, along_m=2 * FAR_M)
    geometry = scene(own, (), (front,), grid=grid)
    hidden = sky_view_table(geometry).hidden
    found = left_of_sky(hidden, sky_weights(*hidden.shape[1:3], Plane(tilt, 180.0, 0.2)))[0]
    cells = cell_points(geometry)
    top = np.array([MIDDLE - pitch + np.cos(np.radians(tilt)), np.sin(np.radians(tilt)) + CLEAR_M])
    up = np.arctan2(top[1] - cells[..., 2], cells[..., 1] - top[0])
    lean = np.radians(tilt)
    truth = ((1 + np.cos(lean + np.maximum(up, 0))) / (1 + np.cos(lean))).mean(axis=-1).ravel()
    return float(np.abs(found / truth - 1).max())


CASES: dict[str, Callable[[Grid], float]] = {
    "length of a long wall's shadow (share)": shadow_length,
    "bearing of its end's shadow (deg)": shadow_turn,
    "width of a flue's shadow (share)": flue_width,
    "sky below an endless parapet (share)": parapet_sky,
    "sky behind an endless row (share)": row_sky,
}


def main() -> int:
    heads = [f"{grid.bearings} x {grid.elevations}" for grid in GRIDS]
    print(f"{'error on a grid of':42}" + "".join(f"{head:>12}" for head in heads))
    for name, case in CASES.items():
        print(f"{name:42}" + "".join(f"{case(grid):12.5f}" for grid in GRIDS))
    return 0


if __name__ == "__main__":
    sys.exit(main())
