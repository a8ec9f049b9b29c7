"""What every cell gets of the sun's direct light at one moment, looked at without the table."""

import numpy as np
from numpy.typing import NDArray

from pvkit.roof.geometry import Geometry
from pvkit.roof.sky_view import scene

Array = NDArray[np.float64]


def cells_lit(
    geometry: Geometry, solar_azimuth: float, solar_elevation: float, *, leaves: bool = True
) -> Array:
    """Give the share of the sun's direct light that reaches every cell at one place of the sun.

    Parameters
    ----------
    geometry : the array, its roof and what stands round it; the distant skyline is left out
    solar_azimuth, solar_elevation : of the sun [deg]
    leaves : trees are in leaf

    Returns
    -------
    (modules, sections, cells), 0 to 1, in the order of :func:`pvkit.roof.layout.cell_points`
    """
    from pvkit.roof.scene_kernel import look, room_for_sight

    made = scene(geometry)
    season = made.round_light.shape[1] - 1 if leaves else 0
    share = np.ones(made.cells.shape[:3])
    sun = (np.radians(solar_azimuth), np.radians(solar_elevation))
    look(made, sun, season, share, room_for_sight(made))
    return share
