"""Light by section: open where nothing stands, the skyline as before, sums that agree."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from pvkit.roof.geometry import Grid, geometry
from pvkit.roof.light import Plane, plane_light
from pvkit.roof.moment import cells_lit
from pvkit.roof.perez import sky_split
from pvkit.roof.section_light import section_light
from pvkit.roof.sky_view import sky_view_table
from pvkit.site.place import Horizon, Weather
from pvkit.sky.sun import sun_year
from pvkit.sky.year import sky_year
from tests.roof.closed_forms import split_at
from tests.roof.sites import ALL, CHIMNEY, FLUE, TREE, WALL, site_with

NEAR_FLUE = FLUE | {"x_m": 2.2, "y_m": 1.2}
SKYLINE = Horizon(bearing_deg=(90.0, 150.0, 210.0, 270.0), elevation_deg=(12.0, 8.0, 4.0, 10.0))
# Found over whole years: on one section 0.0006 of the year's direct light, for its worst cell
# 0.0021; on the whole array 0.0001 and 0.0002. Every fifth half-hour scatters twice as far.
YEARLY_SHARE = 0.001
ONE_SECTION = 0.0015
WORST_CELL = 0.004


@pytest.fixture(scope="module")
def split():
    place = site_with().site.model_copy(update={"region": "Midlands"})
    return sky_split(sky_year(sun_year(52.0, -1.0, 70.0), place, Weather()))


def plane_of(site, horizon=None):
    (array,) = site.array
    return Plane(site.tilt_deg(array), site.azimuth_deg(array), 0.2, horizon)


def lit(site, split, horizon=None, grid=None):
    return section_light(split, plane_of(site, horizon), table(site, grid))


def table(site, grid=None):
    return sky_view_table(geometry(site, site.array[0], grid))


@pytest.mark.parametrize("horizon", [None, SKYLINE])
def test_without_obstacles_every_section_gets_the_planes_own_light(split, horizon):
    site = site_with()
    ours, plain = lit(site, split, horizon), plane_light(split, plane_of(site, horizon))
    for name in ("direct", "sky", "ground", "direct_open", "sky_open"):
        np.testing.assert_array_equal(getattr(ours.light, name), getattr(plain, name))
    np.testing.assert_array_equal(plain.direct_open[:, None, None] * ours.direct_share,
                                  np.broadcast_to(plain.direct[:, None, None],
                                                  ours.direct_share.shape))  # fmt: skip
    np.testing.assert_allclose(plain.sky_open * ours.sky_share[0, 0, 0], plain.sky, rtol=1e-12)


def test_open_shares_are_not_copied_for_each_section(split):
    for horizon in (None, SKYLINE):
        ours = lit(site_with(array={"count": 8, "x_m": None}), split, horizon)
        assert ours.direct_share.shape == (len(split.daylight), 8, 6)
        assert ours.direct_share.strides[1:] == (0, 0)
        assert ours.worst_share.strides[1:] == (0, 0)
        assert not ours.season.any()


def test_an_obstacle_that_hides_next_to_nothing_changes_next_to_nothing(split):
    plain = plane_light(split, plane_of(site_with(), SKYLINE))
    pole = FLUE | {"diameter_m": 0.02, "height_m": 0.2, "y_m": 5.8}
    ours = lit(site_with(pole), split, SKYLINE).light
    for name in ("direct", "sky"):
        assert getattr(ours, name).sum() == pytest.approx(getattr(plain, name).sum(), rel=1e-3)
        assert np.all(getattr(ours, name) <= getattr(plain, name) + 1e-9)


@pytest.mark.parametrize("horizon", [None, SKYLINE])
def test_the_planes_light_is_the_mean_of_its_sections(split, horizon):
    ours = lit(site_with(*ALL), split, horizon)
    light = ours.light
    direct = light.direct_open[:, None, None] * ours.direct_share.astype(float)
    sky = light.sky_open[:, None, None] * ours.sky_share[ours.season]
    np.testing.assert_allclose(direct.mean(axis=(1, 2)), light.direct, rtol=1e-12)
    np.testing.assert_allclose(sky.mean(axis=(1, 2)), light.sky, rtol=1e-12)
    assert 0 < light.direct.sum() < 0.97 * light.direct_open.sum()
    assert 0 < light.sky.sum() < 0.97 * light.sky_open.sum()


def test_shares_are_shares_and_the_worst_cell_gets_no_more_than_the_mean(split):
    ours = lit(site_with(*ALL), split, SKYLINE)
    assert ours.direct_share.min() >= 0
    assert ours.direct_share.max() <= 1
    assert np.all(ours.worst_share <= ours.direct_share)
    assert ours.sky_share.min() > 0.3
    assert ours.sky_share.max() <= 1


def test_the_skyline_hides_the_sun_from_all_sections_at_once(split):
    ours = lit(site_with(CHIMNEY), split, SKYLINE)
    below = plane_light(split, plane_of(site_with(), SKYLINE)).direct == 0
    sunny = ours.light.direct_open > 0
    assert np.any(below & sunny)
    assert not ours.direct_share[below & sunny].any()


def test_a_wall_below_the_skyline_hides_next_to_no_sky(split):
    low = WALL | {"distance_m": 60.0, "height_m": 8.0, "width_m": 20.0}
    high = Horizon(bearing_deg=(0.0, 180.0), elevation_deg=(15.0, 15.0))
    kept = lit(site_with(low), split, high)
    np.testing.assert_array_equal(kept.sky_share, kept.sky_share.max())
    assert lit(site_with(low), split).sky_share.min() < 0.999


def test_leaves_are_on_from_may_to_october(split):
    ours = lit(site_with(TREE), split)
    month = ((np.datetime64("2025-01-01") + split.daylight // 48).astype("datetime64[M]")
             .astype(int) % 12 + 1)  # fmt: skip
    assert set(month[ours.season == 1]) == {5, 6, 7, 8, 9, 10}
    assert set(month[ours.season == 0]) == {1, 2, 3, 4, 11, 12}
    assert np.all(ours.sky_share[1] < ours.sky_share[0])


@pytest.mark.parametrize("obstacle", [CHIMNEY, NEAR_FLUE, WALL, TREE], ids=lambda o: o["name"])
def test_a_year_from_the_table_is_that_of_looking_at_each_half_hours_sun(split, obstacle):
    site = site_with(obstacle, array={"y_m": 1.6})
    ours = lit(site, split)
    some = np.arange(0, len(split.daylight), 5)
    found = geometry(site, site.array[0])
    power = ours.light.direct_open[some][:, None, None]
    exact = [
        cells_lit(found, np.degrees(split.azimuth_rad[t]), 90 - np.degrees(split.zenith_rad[t]),
                  leaves=bool(ours.season[t]))
        for t in some
    ]  # fmt: skip
    for shares, truth, most in (
        (ours.direct_share, [cells.mean(axis=-1) for cells in exact], ONE_SECTION),
        (ours.worst_share, [cells.min(axis=-1) for cells in exact], WORST_CELL),
    ):
        lost = (power * (shares[some] - np.array(truth))).sum(axis=0) / power.sum()
        assert np.abs(lost).max() < most
        assert abs(lost.mean()) < YEARLY_SHARE
    assert ours.worst_share.sum() < ours.direct_share.sum()


def test_between_parts_of_the_sky_the_share_goes_straight_and_round_through_north():
    site = site_with(WALL | {"bearing_deg": 0.0}, roof={"azimuth_deg": 0.0}, array={"x_m": None})
    grid = Grid(36, 18, 4)
    seen = table(site, grid)
    split = split_at(np.array([355.0, 5.0, 0.0, 357.5]), np.array([2.5, 2.5, 2.5, 5.0]))
    ours = section_light(split, plane_of(site), seen).direct_share.reshape(4, -1)
    west, east, north, between = ours
    np.testing.assert_allclose(north, (west + east) / 2, atol=1e-6)
    np.testing.assert_allclose(west, 1 - seen.hidden[0, 35, 0], atol=1e-6)
    corner = 0.75 * seen.hidden[0, 35, :2].mean(axis=0) + 0.25 * seen.hidden[0, 0, :2].mean(axis=0)
    np.testing.assert_allclose(between, 1 - corner, atol=1e-6)


def test_a_taller_wall_never_gives_more_light_at_any_half_hour(split):
    heights = [lit(site_with(WALL | {"height_m": h}), split) for h in (7.0, 9.0, 12.0)]
    for lower, higher in pairwise(heights):
        assert np.all(higher.direct_share <= lower.direct_share + 1e-6)
        assert np.all(higher.worst_share <= lower.worst_share + 1e-6)
        assert np.all(higher.sky_share <= lower.sky_share + 1e-6)


def test_the_band_along_the_horizon_is_hidden_before_the_sky_above_it(split):
    site = site_with(WALL | {"width_m": 60.0})
    with_band = lit(site, split).sky_share
    without = lit(site, replace(split, horizon_band=np.zeros_like(split.horizon_band))).sky_share
    assert np.all(with_band < without)
    assert np.all(with_band > without - 0.05)
