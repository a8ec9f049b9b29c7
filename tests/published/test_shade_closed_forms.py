"""Shade against plane geometry.

Sources: shadow of an edge, h / tan(elevation) along the sun's bearing; sky view factors by the
crossed-strings rule (Hottel 1954; Howell, A Catalog of Radiation Configuration Factors): a level
point below an endless parapet at elevation e keeps (1 + cos e) / 2, a plane of tilt b behind an
endless row keeps (1 + cos(b + e)) / 2, an open plane (1 + cos b) / 2 (Liu & Jordan 1963). Conf. A,
closed forms. Masking angle by row: pvlib 0.16 ``shading.masking_angle``.
"""

from dataclasses import replace

import numpy as np
import pvlib
import pytest

from pvkit.roof.geometry import Grid, usual_grid
from pvkit.roof.layout import cell_points
from pvkit.roof.light import Plane
from pvkit.roof.moment import cells_lit
from pvkit.roof.sky_share import sky_weights
from pvkit.site.plan import Block
from tests.roof import closed_forms

# Found with the usual grid: 0.0006, 0.0008, 0.00002, 0.00002 and 0.011 deg; with the finest 0.0008
# at most, which is the spacing of the sample points.
SOURCE = "Hottel 1954, Liu & Jordan 1963; closed forms, "
USUAL_SHARE = 0.002
FINE_SHARE = 0.001
BEARING_DEG = 0.05
SHARES = [name for name in closed_forms.CASES if name.endswith("(share)")]
FINE = Grid(720, 360, 2)


@pytest.mark.parametrize("case", SHARES)
def test_shade_is_that_of_plane_geometry(case, published):
    away = closed_forms.CASES[case](usual_grid())
    published("shade of edges and skylines, less the closed form, usual grid", SOURCE + "six cases",
              away, 0.0, "", "closed form", USUAL_SHARE)  # fmt: skip


@pytest.mark.parametrize("case", SHARES)
def test_a_finer_grid_comes_nearer_to_plane_geometry(case):
    assert abs(closed_forms.CASES[case](FINE)) < FINE_SHARE


@pytest.mark.parametrize("azimuth", [190.0, 215.0, 235.0, 245.0])
def test_a_walls_end_throws_its_shadow_away_from_the_sun(azimuth, published):
    published("bearing of a wall's shadow, less the sun's turned about", SOURCE + "plane geometry",
              closed_forms.shadow_turn(usual_grid(), azimuth), 0.0, "deg", "closed form",
              BEARING_DEG)  # fmt: skip


@pytest.mark.parametrize(
    ("azimuth", "elevation"), [(180.0, 15.0), (150.0, 30.0), (230.0, 20.0), (200.0, 60.0)]
)
def test_a_walls_shadow_is_as_long_as_geometry_says_at_any_sun(azimuth, elevation, published):
    published("length of a wall's shadow, less h / tan(elevation)", SOURCE + "plane geometry",
              closed_forms.shadow_length(usual_grid(), azimuth, elevation), 0.0, "", "closed form",
              USUAL_SHARE)  # fmt: skip


@pytest.mark.parametrize(("tilt", "pitch"), [(10.0, 1.2), (15.0, 2.0), (35.0, 1.5), (60.0, 3.0)])
def test_the_sky_behind_an_endless_row_is_that_of_crossed_strings(tilt, pitch, published):
    away = closed_forms.row_sky(usual_grid(), tilt, pitch)
    published("sky behind an endless row, less the closed form", SOURCE + "crossed strings", away,
              0.0, "", "closed form", USUAL_SHARE)  # fmt: skip


@pytest.mark.parametrize("tilt", [0.0, 10.0, 35.0, 60.0, 90.0])
@pytest.mark.parametrize("azimuth", [180.0, 77.0])
def test_an_open_plane_sees_half_of_one_plus_the_cosine_of_its_tilt(tilt, azimuth, published):
    total = sky_weights(180, 90, Plane(tilt, azimuth, 0.2)).sum()
    published("sky of an open plane", SOURCE + "(1 + cos b) / 2", total,
              (1 + np.cos(np.radians(tilt))) / 2, "", "closed form", 2e-5)  # fmt: skip


def turning_point(geometry, place, near):
    """Halve the way between dark and lit until the sun's height is known to 1e-9 deg."""
    low, high = near - 0.5, near + 0.5
    while high - low > 1e-9:
        middle = (low + high) / 2
        if cells_lit(geometry, 180.0, middle)[0, 0, place]:
            high = middle
        else:
            low = middle
    return (low + high) / 2


# Agreement: the sun at the masking angle of each cell is where that cell goes dark, to 1e-6 deg.
def test_a_cell_is_shaded_below_its_masking_angle_and_lit_above_it(published):
    tilt, pitch, slant = 20.0, 1.8, 1.0
    own = Block(100.0, 100.0, 0.0, tilt, "portrait", (1,), 1.0, slant, 0.0, pitch)
    front = replace(own, x_m=-900.0, y_m=100.0 - pitch, along_m=2000.0)
    geometry = closed_forms.scene(own, (), (front,), grid=usual_grid())
    up = (cell_points(geometry)[0, 0, :, 1] - 100.0) / np.cos(np.radians(tilt)) / slant
    theirs = pvlib.shading.masking_angle(tilt, slant / pitch, up)
    ours = []
    for place, angle in enumerate(theirs):
        below, above = (cells_lit(geometry, 180.0, angle + step) for step in (-1e-6, 1e-6))
        assert below[0, 0, place] == 0
        assert above[0, 0, place] == 1
        ours.append(turning_point(geometry, place, angle))
    published("sun's height at which a cell behind a row goes dark",
              "pvlib-python 0.16.1; shading.masking_angle", ours, theirs, "deg",
              "another program", 1e-6)  # fmt: skip
