"""Cell temperature: which way each cause moves it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvkit.electrical.temperature import cell_temperature, wind_factor

TERRAINS = ("sea", "country", "town")


def warmth(plain, light=800.0, air=20.0, wind=1.0, **changes):
    inputs = plain.array(**{"height_m": 10.0, "terrain": "country"} | changes)
    return float(cell_temperature(inputs, *(np.array([v]) for v in (light, air, wind)))[0])


def test_cells_are_at_air_temperature_without_light(plain):
    assert warmth(plain, light=0.0, air=-3.0) == -3.0


def test_the_closer_to_the_roof_the_warmer(plain):
    open_rack, close, built_in = (
        warmth(plain, mounting=mounting) for mounting in ("ballasted", "on-roof", "in-roof")
    )
    assert open_rack < close < built_in


@given(st.floats(1.0, 60.0), st.floats(1.0, 60.0), st.sampled_from(TERRAINS))
def test_higher_up_there_is_never_less_wind(low_m, high_m, terrain):
    low_m, high_m = sorted((low_m, high_m))
    assert wind_factor(high_m, terrain) >= wind_factor(low_m, terrain)


@given(st.floats(2.0, 60.0))
def test_rougher_ground_never_gives_more_wind(height_m):
    sea, country, town = (wind_factor(height_m, terrain) for terrain in TERRAINS)
    assert sea >= country >= town


# ASHRAE Handbook of Fundamentals, chapter on airflow around buildings, terrain table and
# eq. (4) (from memory): with the station in open country at 10 m, the wind at 10 m over the
# other terrains, worked by hand: 1.5863 x (10/210)^0.10 and 1.5863 x (10/370)^0.22.
@pytest.mark.parametrize(("terrain", "share"), [("sea", 1.170), ("country", 1.0), ("town", 0.717)])
def test_wind_at_ten_metres_by_terrain(terrain, share):
    assert wind_factor(10.0, terrain) == pytest.approx(share, abs=0.001)
