"""The sun over the year: the label rule, noon, and refraction."""

import numpy as np
import pandas as pd
import pvlib
import pytest

from pvkit.sky.sun import above, sun_year

GREENWICH = (51.48, 0.0, 45.0)


@pytest.fixture(scope="module")
def sun():
    return sun_year(*GREENWICH)


def test_the_year_is_17520_half_hours_of_utc_from_new_year(sun):
    assert len(sun.times) == len(sun.solar_zenith) == len(sun.dni_extra) == 17520
    assert str(sun.times[0]) == "2025-01-01 00:00:00+00:00"
    assert str(sun.times[-1]) == "2025-12-31 23:30:00+00:00"


def test_the_sun_is_taken_at_the_middle_of_its_half_hour(sun):
    at = pd.DatetimeIndex(["2025-06-21 09:15", "2025-12-21 14:45"], tz="UTC")
    right = pvlib.solarposition.spa_python(at, *GREENWICH)
    for when, row in zip(at, right.itertuples(), strict=True):
        here = int(np.flatnonzero(sun.times == when - pd.Timedelta(minutes=15))[0])
        assert sun.solar_zenith[here] == pytest.approx(row.apparent_zenith, abs=1e-3)
        assert sun.solar_azimuth[here] == pytest.approx(row.azimuth, abs=1e-3)


# Source: geometry; over a year the equation of time averages out, so at Greenwich the sun's light
# balances about 12:00 UTC. A label slip of half an hour would move it by 30 minutes.
def test_the_years_sun_balances_about_noon_at_greenwich(sun):
    offer = above(sun, 1).horizontal
    minute = (np.arange(17520) % 48) * 30 + 15
    assert offer @ minute / offer.sum() == pytest.approx(720, abs=2)


def test_the_sun_crosses_south_on_its_way_from_east_to_west(sun):
    day = slice(48 * 171, 48 * 172)
    noon = int(sun.solar_zenith[day].argmin())
    assert noon in (23, 24)
    assert sun.solar_azimuth[day][16] < 180 < sun.solar_azimuth[day][32]


def test_thicker_air_lifts_a_low_sun_more():
    low, high = sun_year(51.48, 0.0, 0.0), sun_year(51.48, 0.0, 2000.0)
    near_horizon = (low.solar_zenith > 85) & (low.solar_zenith < 90)
    assert np.all(low.solar_zenith[near_horizon] < high.solar_zenith[near_horizon])


def test_hours_above_the_air_are_the_means_of_their_halves(sun):
    halves, hours = above(sun, 1), above(sun, 2)
    assert np.allclose(hours.horizontal, halves.horizontal.reshape(-1, 2).mean(axis=1))
    assert set(np.unique(hours.up_fraction)) == {0.0, 0.5, 1.0}
