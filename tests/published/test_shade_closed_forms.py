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
USUAL_SHARE = 0.002
FINE_SHARE = 0.001
BEARING_DEG = 0.05
SHARES = [name for name in closed_forms.CASES if name.endswith("(share)")]
FINE = Grid(720, 360, 2)


@pytest.mark.parametrize("case", SHARES)
def test_shade_is_that_of_plane_geometry(case):
    assert abs(closed_forms.CASES[case](usual_grid())) < USUAL_SHARE


@pytest.mark.parametrize("case", SHARES)
def test_a_finer_grid_comes_nearer_to_plane_geometry(case):
    assert abs(closed_forms.CASES[case](FINE)) < FINE_SHARE


@pytest.mark.parametrize("azimuth", [190.0, 215.0, 235.0, 245.0])
def test_a_walls_end_throws_its_shadow_away_from_the_sun(azimuth):
    assert abs(closed_forms.shadow_turn(usual_grid(), azimuth)) < BEARING_DEG


@pytest.mark.parametrize(
    ("azimuth", "elevation"), [(180.0, 15.0), (150.0, 30.0), (230.0, 20.0), (200.0, 60.0)]
)
def test_a_walls_shadow_is_as_long_as_geometry_says_at_any_sun(azimuth, elevation):
    assert abs(closed_forms.shadow_length(usual_grid(), azimuth, elevation)) < USUAL_SHARE


@pytest.mark.parametrize(("tilt", "pitch"), [(10.0, 1.2), (15.0, 2.0), (35.0, 1.5), (60.0, 3.0)])
def test_the_sky_behind_an_endless_row_is_that_of_crossed_strings(tilt, pitch):
    assert closed_forms.row_sky(usual_grid(), tilt, pitch) < USUAL_SHARE


@pytest.mark.parametrize("tilt", [0.0, 10.0, 35.0, 60.0, 90.0])
@pytest.mark.parametrize("azimuth", [180.0, 77.0])
def test_an_open_plane_sees_half_of_one_plus_the_cosine_of_its_tilt(tilt, azimuth):
    total = sky_weights(180, 90, Plane(tilt, azimuth, 0.2)).sum()
    assert total == pytest.approx((1 + np.cos(np.radians(tilt))) / 2, abs=2e-5)


# Agreement: the sun at the masking angle of each cell is where that cell goes dark, to 1e-6 deg.
def test_a_cell_is_shaded_below_its_masking_angle_and_lit_above_it():
    tilt, pitch, slant = 20.0, 1.8, 1.0
    own = Block(100.0, 100.0, 0.0, tilt, "portrait", (1,), 1.0, slant, 0.0, pitch)
    front = replace(own, x_m=-900.0, y_m=100.0 - pitch, along_m=2000.0)
    geometry = closed_forms.scene(own, (), (front,), grid=usual_grid())
    up = (cell_points(geometry)[0, 0, :, 1] - 100.0) / np.cos(np.radians(tilt)) / slant
    theirs = pvlib.shading.masking_angle(tilt, slant / pitch, up)
    for place, angle in enumerate(theirs):
        below, above = (cells_lit(geometry, 180.0, angle + step) for step in (-1e-6, 1e-6))
        assert below[0, 0, place] == 0
        assert above[0, 0, place] == 1
