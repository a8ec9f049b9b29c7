"""Where modules and cells lie: numbers, sections, lying against standing, any way a roof faces."""

import numpy as np
import pytest

from pvkit.roof.geometry import geometry
from pvkit.roof.layout import (
    block_rows,
    cell_points,
    module_corners,
    module_faces,
    roof_frame,
    section_cells,
)
from pvkit.site.placing import blocks
from pvkit.site.plan import usual_pitch_m
from tests.roof.sites import site_with


def laid(**changes):
    site = site_with(**changes)
    return geometry(site, site.array[0])


def corners(found):
    return module_corners(found.block, block_rows(found.block, found.roof, found.clearance_m))


def test_modules_are_numbered_from_the_lower_left_along_and_then_up():
    found = corners(laid(array={"count": None, "rows": 2, "columns": 3}))
    assert np.all(np.diff(found[:3, 0]) > 1)
    assert np.all(np.diff(found[3:, 0]) > 1)
    np.testing.assert_allclose(found[:3, 0], found[3:, 0])
    assert np.all(found[3:, 2] > found[:3, 2] + 0.9)


def test_a_block_left_open_lies_in_the_middle_of_its_roof():
    found = laid(array={"count": None, "rows": 2, "columns": 3, "x_m": None})
    points = cell_points(found).reshape(-1, 3)
    middle = (points.min(axis=0) + points.max(axis=0)) / 2
    frame = roof_frame(found.roof)
    off = found.clearance_m * np.cross(frame.right, frame.up)
    np.testing.assert_allclose(middle, frame.at(np.array([4.5, 3.0])) + off, atol=1e-9)


def test_a_given_corner_is_the_lower_left_corner_of_the_block():
    found = laid(array={"x_m": 0.7, "y_m": 0.4})
    frame = roof_frame(found.roof)
    off = found.clearance_m * np.cross(frame.right, frame.up)
    np.testing.assert_allclose(corners(found)[0], frame.at(np.array([0.7, 0.4])) + off)


@pytest.mark.parametrize("azimuth", [0.0, 90.0, 180.0, 222.0, 305.0])
def test_a_slope_rises_away_from_the_way_it_faces(azimuth):
    frame = roof_frame(laid(roof={"azimuth_deg": azimuth}).roof)
    facing = np.radians(azimuth)
    out = np.cross(frame.right, frame.up)
    np.testing.assert_allclose(
        out, [np.sin(facing) * np.sin(np.radians(35)), np.cos(facing) * np.sin(np.radians(35)),
              np.cos(np.radians(35))], atol=1e-12,
    )  # fmt: skip
    right = np.radians(azimuth - 90)
    np.testing.assert_allclose(frame.right, [np.sin(right), np.cos(right), 0], atol=1e-12)


@pytest.mark.parametrize(
    ("cells", "half_cut", "shape"),
    [(54, True, (6, 18)), (72, True, (6, 24)), (60, False, (3, 20)), (72, False, (3, 24))],
)
def test_a_module_has_its_cells_in_sections(cells, half_cut, shape):
    found = section_cells(cells, half_cut)
    assert found.shape[:2] == shape
    assert found.shape[0] * found.shape[1] == cells * (2 if half_cut else 1)
    assert len(np.unique(found.reshape(-1, 2).round(9), axis=0)) == shape[0] * shape[1]


def test_a_standing_modules_thirds_lie_side_by_side_and_its_lower_halves_come_first():
    found = section_cells(54, True)
    for third in range(3):
        lower, upper = found[2 * third], found[2 * third + 1]
        assert third / 3 < lower[:, 0].min() < lower[:, 0].max() < (third + 1) / 3
        assert lower[:, 1].max() < 0.5 < upper[:, 1].min()


def test_a_lying_module_is_a_standing_one_turned():
    one = {"count": None, "rows": 1, "columns": 1, "y_m": 1.0}
    standing = cell_points(laid(array=one | {"orientation": "portrait"}))[0]
    lying = cell_points(laid(array=one | {"orientation": "landscape"}))[0]
    frame = roof_frame(laid().roof)

    def flat(points):
        away = points - points.mean(axis=(0, 1))
        return np.stack([away @ frame.right, away @ frame.up], axis=-1)

    turned = np.stack([-flat(standing)[..., 1], flat(standing)[..., 0]], axis=-1)
    sections = {frozenset(map(tuple, s.round(6) + 0.0)) for s in turned}
    assert sections == {frozenset(map(tuple, s.round(6) + 0.0)) for s in flat(lying)}


def test_lying_modules_have_their_thirds_one_above_the_other():
    found = cell_points(laid(array={"count": 1, "orientation": "landscape"}))[0]
    heights = found[..., 2].mean(axis=1)
    assert heights[0] == pytest.approx(heights[1])
    assert heights[0] < heights[2] < heights[4]


def test_a_row_on_a_flat_roof_leans_about_its_lower_edge():
    found = laid(kind="flat", array={"tilt_deg": 20, "count": 4, "x_m": None})
    faces = module_faces(found.block, block_rows(found.block, found.roof, found.clearance_m))
    low, high = faces[:, :2, 2], faces[:, 2:, 2]
    np.testing.assert_allclose(low, found.clearance_m)
    np.testing.assert_allclose(high - low, found.block.up_m * np.sin(np.radians(20)))
    assert found.block.orientation == "landscape"


@pytest.mark.parametrize("azimuth", [150.0, 180.0, 225.0, 90.0])
def test_an_array_on_a_flat_roof_faces_its_own_way(azimuth):
    found = laid(kind="flat", roof={"depth_m": 8.0},
                 array={"tilt_deg": 15, "azimuth_deg": azimuth, "x_m": None})  # fmt: skip
    rows = block_rows(found.block, found.roof, found.clearance_m)
    out = np.cross(rows.along, rows.up)
    assert np.degrees(np.arctan2(out[0], out[1])) % 360 == pytest.approx(azimuth)
    assert np.degrees(np.arccos(out[2])) == pytest.approx(15)


def test_rows_on_a_flat_roof_stand_clear_of_each_others_shade_at_the_limit():
    found = laid(kind="flat", array={"count": 6, "tilt_deg": 10, "x_m": None})
    assert found.block.pitch_m == pytest.approx(usual_pitch_m(found.block.up_m, 10.0))
    up, tilt = found.block.up_m, np.radians(10)
    free = found.block.pitch_m - up * np.cos(tilt)
    assert np.degrees(np.arctan2(up * np.sin(tilt), free)) == pytest.approx(15.0)


def test_rows_close_up_where_the_roof_is_too_short():
    found = laid(kind="flat", array={"count": 18, "tilt_deg": 10, "x_m": None})
    assert len(found.block.rows) == 4
    assert found.block.row_depth_m < found.block.pitch_m < usual_pitch_m(found.block.up_m, 10.0)


def test_a_count_alone_is_spread_evenly_over_as_few_rows_as_the_width_allows():
    rows = [laid(kind="flat", array={"count": n, "x_m": None}).block.rows for n in (3, 6, 7, 8)]
    assert rows == [(3,), (3, 3), (4, 3), (4, 4)]


def test_modules_stand_on_a_slope_unless_only_lying_ones_fit():
    assert laid(array={"x_m": None}).block.orientation == "portrait"
    shallow = laid(roof={"depth_m": 1.5}, array={"x_m": None})
    assert shallow.block.orientation == "landscape"


def test_a_block_finds_its_place_within_an_outline():
    gable = [[0.0, 0.0], [9.0, 0.0], [4.5, 6.0]]
    found = laid(roof={"outline_m": gable, "width_m": None, "depth_m": None},
                 array={"x_m": None, "count": 6})  # fmt: skip
    assert found.block.y_m < 1.5
    assert sum(found.block.rows) == 6


def test_two_arrays_of_one_roof_lie_beside_each_other():
    site = site_with(array={"x_m": None})
    raw = [site.array[0], site.array[0].model_copy(update={"name": "n"})]
    one, other = blocks(site.roof[0], raw)
    assert other.y_m >= one.y_m + one.depth_m
    assert one.y_m + other.y_m + other.depth_m == pytest.approx(6.0)
