"""Hours into half-hours: energy kept, nothing facing a sun that is down."""

import numpy as np
import pytest

from pvkit.sky.diffuse import erbs_fraction, split_global
from pvkit.sky.half_hours import half_hourly
from pvkit.sky.record import Readings
from pvkit.sky.sun import above, cos_zenith


@pytest.fixture(scope="module")
def hours(midlands_sun):
    """Random hours that agree with the sun."""
    rng = np.random.default_rng(7)
    offer = above(midlands_sun, 2)
    ghi = offer.horizontal * rng.uniform(0.02, 0.8, 8760)
    dni, dhi = split_global(ghi, offer)
    return Readings(ghi, dni, dhi, rng.normal(10, 5, 8760), rng.uniform(0, 9, 8760))


def _pair_means(half_hourly_values):
    return half_hourly_values.reshape(-1, 2).mean(axis=1)


@pytest.mark.parametrize("name", ["ghi", "dni", "dhi", "temp_air", "wind_speed"])
def test_every_hour_keeps_its_mean(midlands_sun, hours, name):
    halves = half_hourly(midlands_sun, hours)
    assert _pair_means(getattr(halves, name)) == pytest.approx(getattr(hours, name), abs=1e-9)


def test_both_halves_of_an_hour_are_equally_clear(midlands_sun, hours):
    halves = half_hourly(midlands_sun, hours)
    outside = above(midlands_sun, 1).horizontal
    up = (outside.reshape(-1, 2) > 0).all(axis=1)
    clearness = (halves.ghi.reshape(-1, 2)[up]) / outside.reshape(-1, 2)[up]
    assert clearness[:, 0] == pytest.approx(clearness[:, 1], rel=1e-9)


def test_parts_add_up_to_the_light_on_level_ground_in_every_half_hour(midlands_sun, hours):
    halves = half_hourly(midlands_sun, hours)
    level = halves.dhi + halves.dni * cos_zenith(midlands_sun)
    assert level == pytest.approx(halves.ghi, abs=1e-9)


def test_no_sunlight_while_the_sun_is_down(midlands_sun, hours):
    halves = half_hourly(midlands_sun, hours)
    assert np.all(halves.dni[midlands_sun.solar_zenith > 90] == 0)


def test_light_of_an_hour_without_sun_stays_as_light_of_the_sky(midlands_sun):
    ghi, dni, dhi = np.zeros(8760), np.zeros(8760), np.zeros(8760)
    ghi[0], dni[0], dhi[0] = 4.0, 50.0, 3.0  # New Year's midnight
    halves = half_hourly(midlands_sun, Readings(ghi, dni, dhi, np.zeros(8760), np.zeros(8760)))
    assert list(halves.ghi[:3]) == [4.0, 4.0, 0.0]
    assert list(halves.dhi[:3]) == [4.0, 4.0, 0.0]
    assert not halves.dni.any()


def test_the_split_adds_up_even_where_light_is_brighter_than_the_sun(midlands_sun):
    offer = above(midlands_sun, 1)
    ghi = offer.horizontal * 1.3
    dni, dhi = split_global(ghi, offer)
    assert dhi + dni * offer.cos_zenith == pytest.approx(ghi, abs=1e-9)
    assert np.all(dni <= midlands_sun.dni_extra + 1e-9)
    assert np.all(dhi >= 0)


def test_a_clearer_sky_has_a_smaller_share_of_sky_light_up_to_the_brightest():
    share = erbs_fraction(np.linspace(0.0, 0.78, 100))
    assert np.all(np.diff(share) < 0)
    assert share[0] == 1.0
