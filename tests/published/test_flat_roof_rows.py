"""Row pitch on flat roofs against the closed form, worked by hand, and pvlib's own geometry.

Sources: noon elevation on the shortest day 66.56° - φ (obliquity 23.44°, Astronomical Almanac), gap
behind a row of height h: h / tan(elevation) × cos(sun's azimuth - row's azimuth), spherical
astronomy for other hours; worked for eight latitudes with a calculator to the digits printed here.
Shading limit angles of 15 to 20° are practice (from memory); their gaps, pitches and ground covers
for a module 1.134 m deep were worked in the same way. Sun's position and shaded share of a row:
pvlib 0.16 ``solarposition.spa_python``, ``shading.projected_solar_zenith_angle`` and
``shading.shaded_fraction1d`` (Anderson & Jensen 2024). Conf. A, closed forms.
"""

import numpy as np
import pandas as pd
import pvlib
import pytest

from pvkit.roof.rows import (
    SunAt,
    ground_cover,
    profile_deg,
    row_gap_m,
    row_pitch_m,
    shading_limit_deg,
    shortest_day_sun,
    usual_profile_deg,
)

SOURCE = "Astronomical Almanac and plane geometry; "
# Latitude, noon elevation [deg], gap over height at noon, and at 10:00 and 14:00 solar time.
NOON = (
    (50.0, 16.6, 3.36, None),
    (51.5, 15.1, 3.72, 4.74),
    (53.0, 13.6, 4.15, 5.45),
    (54.0, 12.6, 4.49, None),
    (55.0, 11.6, 4.89, None),
    (56.0, 10.6, 5.36, 7.69),
    (57.0, 9.6, 5.94, None),
    (58.0, 8.6, 6.64, None),
)
# Tilt, rise [m], then for each limit angle gap, pitch [m] and ground cover.
LIMITS = (15.0, 18.0, 20.0, 25.0)
DEPTH_M = 1.134
ROWS = (
    (10.0, 0.197, ((0.73, 1.85, 0.61), (0.61, 1.72, 0.66), (0.54, 1.66, 0.68), (0.42, 1.54, 0.74))),
    (12.0, 0.236, ((0.88, 1.99, 0.57), (0.73, 1.83, 0.62), (0.65, 1.76, 0.65), (0.51, 1.61, 0.70))),
    (15.0, 0.294, ((1.10, 2.19, 0.52), (0.90, 2.00, 0.57), (0.81, 1.90, 0.60), (0.63, 1.72, 0.66))),
)
HUNDREDTH = 0.0051
TENTH = 0.051
# The shortest day's declination runs a few thousandths of a degree round the obliquity, and noon by
# the clock is looked for to the minute.
ALMANAC_DEG = 0.02


@pytest.mark.parametrize(("latitude", "elevation", "over_height", "_later"), NOON)
def test_noon_on_the_shortest_day_and_the_gap_it_asks_for(
    latitude, elevation, over_height, _later, published
):
    sun = shortest_day_sun(latitude)
    assert sun.azimuth_deg == pytest.approx(180.0)
    assert sun.elevation_deg == pytest.approx(66.56 - latitude)
    published("sun's noon height on the shortest day, 50 to 58 N", SOURCE + "obliquity 23.44 deg",
              sun.elevation_deg, elevation, "deg", "closed form", TENTH)  # fmt: skip
    published("gap behind a row over its height, noon", SOURCE + "obliquity 23.44 deg",
              row_gap_m(1.0, profile_deg(sun, 180.0)), over_height, "", "closed form",
              HUNDREDTH)  # fmt: skip


@pytest.mark.parametrize(("latitude", "over_height"), [(n[0], n[3]) for n in NOON if n[3]])
@pytest.mark.parametrize("hour", [10.0, 14.0])
def test_two_hours_from_noon_the_gap_counts_the_suns_azimuth(
    latitude, over_height, hour, published
):
    sun = shortest_day_sun(latitude, hour)
    assert (sun.azimuth_deg < 180) == (hour < 12)
    published("gap behind a row over its height, 10:00 and 14:00", SOURCE + "spherical astronomy",
              row_gap_m(1.0, profile_deg(sun, 180.0)), over_height, "", "closed form",
              HUNDREDTH)  # fmt: skip


@pytest.mark.parametrize(("tilt", "rise", "found"), ROWS)
def test_a_shading_limit_angle_gives_gap_pitch_and_ground_cover(tilt, rise, found, published):
    height = DEPTH_M * np.sin(np.radians(tilt))
    assert height == pytest.approx(rise, abs=0.00051)
    for limit, (gap, pitch, cover) in zip(LIMITS, found, strict=True):
        assert row_gap_m(height, limit) == pytest.approx(gap, abs=HUNDREDTH)
        worked = row_pitch_m(DEPTH_M, tilt, limit)
        published("row pitch by tilt and limit angle", SOURCE + "limit angles 15 to 25 deg", worked,
                  pitch, "m", "closed form", HUNDREDTH)  # fmt: skip
        published("ground cover by tilt and limit angle", SOURCE + "limit angles 15 to 25 deg",
                  ground_cover(DEPTH_M, worked), cover, "", "closed form",
                  HUNDREDTH)  # fmt: skip
        assert shading_limit_deg(DEPTH_M, tilt, worked) == pytest.approx(limit)


@pytest.mark.parametrize("latitude", [50.0, 53.0, 57.5])
@pytest.mark.parametrize("hour", [10.0, 12.0, 14.0])
def test_the_shortest_days_sun_is_that_of_the_almanac(latitude, hour, published):
    times = pd.date_range("2025-12-21 11:30", "2025-12-21 12:30", freq="1min", tz="UTC")
    over_the_meridian = pvlib.solarposition.spa_python(times, latitude, 0.0)
    noon = over_the_meridian["elevation"].idxmax()
    there = pvlib.solarposition.spa_python(
        pd.DatetimeIndex([noon + pd.Timedelta(hours=hour - 12.0)]), latitude, 0.0
    ).iloc[0]
    sun = shortest_day_sun(latitude, hour)
    published("sun's height on the shortest day", "pvlib-python 0.16.1; solarposition.spa_python",
              sun.elevation_deg, there["elevation"], "deg", "another program",
              ALMANAC_DEG)  # fmt: skip
    # A minute of time is a quarter of a degree of azimuth.
    assert sun.azimuth_deg == pytest.approx(there["azimuth"], abs=0.3)


@pytest.mark.parametrize("facing", [135.0, 180.0, 200.0, 250.0])
@pytest.mark.parametrize(("elevation", "azimuth"), [(14.0, 180.0), (25.0, 150.0), (10.0, 220.0)])
def test_the_profile_angle_is_that_of_the_projected_zenith(facing, elevation, azimuth, published):
    turned = pvlib.shading.projected_solar_zenith_angle(
        90.0 - elevation, azimuth, axis_tilt=0.0, axis_azimuth=facing - 90.0
    )
    published("profile angle", "pvlib-python 0.16.1; shading.projected_solar_zenith_angle",
              profile_deg(SunAt(elevation, azimuth), facing), 90.0 - turned, "deg",
              "another program", share=1e-6)  # fmt: skip


@pytest.mark.parametrize("facing", [170.0, 180.0, 215.0])
@pytest.mark.parametrize("tilt", [5.0, 10.0, 15.0, 30.0])
@pytest.mark.parametrize("latitude", [50.0, 53.0, 57.5])
def test_rows_at_the_usual_pitch_are_just_clear_of_each_others_shade(latitude, tilt, facing):
    pitch = row_pitch_m(DEPTH_M, tilt, usual_profile_deg(latitude, facing))
    profile = usual_profile_deg(latitude, facing)

    def shaded(above_deg):
        return pvlib.shading.shaded_fraction1d(
            90.0 - profile - above_deg, facing, axis_azimuth=facing - 90.0,
            shaded_row_rotation=tilt, collector_width=DEPTH_M, pitch=pitch,
        )  # fmt: skip

    assert shaded(0.0) == pytest.approx(0.0, abs=1e-9)
    assert shaded(0.5) == 0.0
    assert shaded(-0.5) > 0.005
