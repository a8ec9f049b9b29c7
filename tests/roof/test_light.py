"""Light on a plane: Perez's parts against pvlib, and what a skyline can and cannot do."""

import numpy as np
import pvlib
import pytest

from pvkit.roof.horizon import horizon_elevation, sky_seen_fraction
from pvkit.roof.light import Plane, plane_light
from pvkit.roof.perez import sky_split
from pvkit.site.place import Horizon, Place, Weather
from pvkit.sky.sun import sun_year
from pvkit.sky.year import sky_year

HALF_HOUR = 0.5
PLANES = [(0, 180), (10, 200), (35, 180), (35, 90), (30, 270), (45, 0), (90, 180), (70, 300)]


@pytest.fixture(scope="module")
def sky():
    place = Place(name="test", latitude=52.6, longitude=-1.7, altitude_m=100, region="Midlands")
    return sky_year(sun_year(52.6, -1.7, 100.0), place, Weather())


@pytest.fixture(scope="module")
def split(sky):
    return sky_split(sky)


def _light(split, tilt, azimuth, horizon=None, albedo=0.2):
    return plane_light(split, Plane(tilt, azimuth, albedo, horizon))


def _total(light):
    return light.direct + light.sky + light.ground


# Source: pvlib get_total_irradiance, model "perez", Kasten-Young air mass. Agreement: every
# half-hour with the sun up to 1e-6 W/m², where Perez's sky part without the sun's surroundings
# is not below zero; the year to 0.01 %.
@pytest.mark.parametrize(("tilt", "azimuth"), PLANES)
def test_light_in_the_plane_equals_pvlibs_perez(sky, split, tilt, azimuth):
    day = split.daylight
    zenith, sun_azimuth = sky.sun.solar_zenith[day], sky.sun.solar_azimuth[day]
    theirs = pvlib.irradiance.get_total_irradiance(
        tilt, azimuth, zenith, sun_azimuth, sky.dni[day], sky.ghi[day], sky.dhi[day],
        dni_extra=sky.sun.dni_extra[day], albedo=0.2, model="perez",
        airmass=pvlib.atmosphere.get_relative_airmass(zenith),
    )["poa_global"]  # fmt: skip
    ours = _light(split, tilt, azimuth)
    up = (zenith < 90) & (ours.sky > 0)
    np.testing.assert_allclose(_total(ours)[up], theirs[up], atol=1e-6)
    assert np.nansum(_total(ours)) == pytest.approx(np.nansum(theirs), rel=1e-4)


def test_a_level_plane_receives_the_light_on_level_ground(sky, split):
    ours = _light(split, 0, 180)
    up = sky.sun.solar_zenith[split.daylight] < 85
    closure = sky.dni * np.cos(np.radians(sky.sun.solar_zenith)) + sky.dhi
    np.testing.assert_allclose(_total(ours)[up], closure[split.daylight][up], atol=1e-6)


def test_a_level_skyline_hides_nothing(split):
    level = Horizon(bearing_deg=(0.0, 180.0), elevation_deg=(0.0, 0.0))
    np.testing.assert_allclose(
        _total(_light(split, 35, 180, level)), _total(_light(split, 35, 180)), rtol=1e-12
    )


def test_a_higher_skyline_never_gives_more_light(split):
    def yearly(elevation):
        line = Horizon(bearing_deg=(0.0, 180.0), elevation_deg=(elevation, elevation))
        return _total(_light(split, 35, 180, line))

    lower, higher = yearly(8.0), yearly(20.0)
    assert np.all(higher <= lower + 1e-12)
    assert higher.sum() < lower.sum()


def test_a_skyline_in_the_north_leaves_the_noon_sun_of_a_south_plane(split):
    north = Horizon(bearing_deg=(0.0, 60.0, 61.0, 299.0, 300.0), elevation_deg=(30, 30, 0, 0, 30))
    ours = _light(split, 35, 180, north)
    noon = np.abs(np.degrees(split.azimuth_rad) - 180) < 30
    np.testing.assert_array_equal(ours.direct[noon], ours.direct_open[noon])


# Source: closed form, Lambert's law: a level plane under a uniform skyline at elevation e keeps
# cos² e of an isotropic sky. Agreement: 0.1 % at the grid used.
@pytest.mark.parametrize("elevation", [5.0, 15.0, 30.0, 60.0])
def test_a_uniform_skyline_leaves_cos_squared_of_the_sky(elevation):
    line = Horizon(bearing_deg=(0.0, 180.0), elevation_deg=(elevation, elevation))
    expected = np.cos(np.radians(elevation)) ** 2
    assert sky_seen_fraction(line, 0.0, 180.0) == pytest.approx(expected, abs=0.011)


def test_a_skyline_behind_a_steep_plane_hides_little_of_its_sky():
    behind = Horizon(bearing_deg=(0.0, 89.0, 91.0, 269.0, 271.0), elevation_deg=(20, 20, 0, 0, 20))
    front = Horizon(bearing_deg=(0.0, 89.0, 91.0, 269.0, 271.0), elevation_deg=(0, 0, 20, 20, 0))
    assert sky_seen_fraction(behind, 60.0, 180.0) > sky_seen_fraction(front, 60.0, 180.0)


def test_a_skyline_is_joined_round_through_north():
    line = Horizon(bearing_deg=(10.0, 350.0), elevation_deg=(20.0, 10.0))
    north = np.degrees(horizon_elevation(line, np.radians([0.0])))
    np.testing.assert_allclose(north, 15.0)


def test_light_falls_as_a_south_plane_steepens_past_its_best(split):
    yearly = [_total(_light(split, tilt, 180)).sum() for tilt in (45, 60, 75, 90)]
    assert yearly == sorted(yearly, reverse=True)


def test_more_reflective_ground_gives_more_light_to_a_tilted_plane_only(split):
    dull, bright = (_total(_light(split, 35, 180, albedo=a)).sum() for a in (0.1, 0.4))
    assert bright > dull
    level = [_total(_light(split, 0, 180, albedo=a)).sum() for a in (0.1, 0.4)]
    assert level[0] == level[1]
