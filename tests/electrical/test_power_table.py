"""The power table against the solver it stands in for."""

import numpy as np
import pvlib
import pytest

from pvkit.electrical.module import curve_at, desoto
from pvkit.electrical.power_table import maximum_power, power_at_25_degc, power_table
from pvkit.site.parts import module_sheet
from pvkit.tables import parts

PARTS = sorted(parts("modules"))
TABLE_ERROR_OF_RATED = 1e-4  # 0.01 %; measured 0.001 %
TABLE_ERROR_V = 0.001  # measured 0.0002 V


def points(count=9000):
    """Scatter points over all light and temperature, a third of them crowded into faint light."""
    rng = np.random.default_rng(7)
    light = rng.uniform(1.0, 1300.0, count)
    light[: count // 3] = np.exp(rng.uniform(0.0, np.log(1300.0), count // 3))
    return light, rng.uniform(-20.0, 85.0, count)


@pytest.mark.parametrize("part", PARTS)
def test_table_agrees_with_a_direct_solution_on_random_points(part):
    sheet = module_sheet(part)
    light, temp_cell = points()
    power, volts = maximum_power(power_table(sheet), light, temp_cell)
    direct = pvlib.pvsystem.singlediode(
        *curve_at(desoto(sheet), light, temp_cell), method="lambertw"
    )
    rated = sheet.pmax_w / (sheet.vmp_v * sheet.imp_a)
    assert np.abs(power - rated * direct["p_mp"]).max() < TABLE_ERROR_OF_RATED * sheet.pmax_w
    assert np.abs(volts - direct["v_mp"]).max() < TABLE_ERROR_V


@pytest.mark.parametrize("part", PARTS)
def test_rated_power_stands_at_the_rating_conditions(part):
    sheet = module_sheet(part)
    power = power_at_25_degc(power_table(sheet), np.array([1000.0]))
    assert power[0] == pytest.approx(sheet.pmax_w, rel=1e-9)


def test_no_light_gives_no_power():
    power, volts = maximum_power(power_table(module_sheet("half-cut-430")), *np.zeros((2, 3)))
    assert (power == 0.0).all()
    assert (volts > 0.0).all()


def test_more_light_gives_more_and_more_warmth_gives_less():
    table = power_table(module_sheet("half-cut-430"))
    light, temp_cell = points()
    power = maximum_power(table, light, temp_cell)[0]
    assert (maximum_power(table, light * 1.01, temp_cell)[0] > power).all()
    assert (maximum_power(table, light, temp_cell + 1.0)[0] < power).all()


def test_light_and_warmth_beyond_the_table_go_on_smoothly():
    table = power_table(module_sheet("half-cut-430"))
    beyond = maximum_power(table, np.array([1700.0, 1000.0]), np.array([50.0, 115.0]))[0]
    inside = maximum_power(table, np.array([1590.0, 1000.0]), np.array([50.0, 105.0]))[0]
    assert beyond[0] / inside[0] == pytest.approx(1700 / 1590, rel=0.01)
    assert beyond[1] / inside[1] == pytest.approx(0.96, abs=0.01)
