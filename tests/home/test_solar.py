"""How cloud parts the light of a half-hour, from a published one-minute record."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvkit import estimate, load_site
from pvkit.home.solar import Solar, clearness, minute_light
from pvkit.tables import rows


@given(st.floats(0.0, 1.0))
def test_the_two_lights_keep_the_half_hours_mean(clear):
    share, bright = minute_light(np.array([clear]))
    dim = (1.0 - share * bright) / (1.0 - share)
    assert 0.0 < share[0] < 1.0
    assert bright[0] > 1.0 > dim[0] > 0.0


# The table's own third number, printed to three decimals, is that of the other two.
def test_the_dimmer_light_in_the_table_is_what_the_mean_leaves():
    for row in rows("minute_light_by_clearness.csv"):
        share, bright = float(row["bright_share"]), float(row["bright"])
        dim = (1.0 - share * bright) / (1.0 - share)
        assert dim == pytest.approx(float(row["dim"]), abs=0.005)


# Broken cloud is between overcast and clear: there the light within a half-hour varies most. At
# very low clearness it varies too, by much of very little.
def test_half_clear_skies_vary_most_and_clear_ones_least():
    share, bright = minute_light(np.array([0.25, 0.55, 0.75]))
    dim = (1.0 - share * bright) / (1.0 - share)
    spread = np.sqrt(share * (bright - 1.0) ** 2 + (1.0 - share) * (dim - 1.0) ** 2)
    assert spread[1] == spread.max()
    assert spread[2] == spread.min()


@pytest.fixture(scope="module")
def stages():
    return estimate(load_site("ev_and_battery")).stages


def test_clearness_is_a_share_and_nothing_by_night(stages):
    clear, zenith = clearness(stages.sky), stages.sky.sun.solar_zenith
    assert clear.min() == 0.0
    assert 0.6 < np.quantile(clear[zenith < 60.0], 0.99) < 0.85
    assert not clear[zenith > 90.0].any()


def test_bright_minutes_keep_to_the_inverters_rating(stages):
    solar, rating_kwh = stages.solar, stages.site.inverter_sheet().ac_w / 2000.0
    assert (solar.kwh * solar.bright).max() <= rating_kwh + 1e-9
    dim = (1.0 - solar.bright_share * solar.bright) / (1.0 - solar.bright_share)
    assert dim.min() > 0.0
    np.testing.assert_array_equal(stages.output.ac_kwh, solar.kwh)


def test_even_light_is_one_light():
    even = Solar.even(np.array([0.0, 0.5]))
    assert np.all(even.bright_share == 1.0)
    assert not even.over_limit_kwh.any()
