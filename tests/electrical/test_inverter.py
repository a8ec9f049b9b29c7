"""The inverter's loss curve and limit."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvkit.electrical.inverter import converted, loss_curve
from pvkit.site.parts import inverter_sheet
from pvkit.tables import parts

PARTS = sorted(parts("inverters"))

efficiencies = st.floats(0.85, 0.99)


def made_up(low, middle, full):
    return inverter_sheet("single-phase-3000").model_copy(
        update={"efficiency_10": low, "efficiency_50": middle, "efficiency_100": full}
    )


@pytest.mark.parametrize("part", PARTS)
def test_the_three_efficiencies_of_the_data_sheet_come_back(part):
    inverter = inverter_sheet(part)
    given_share = np.array(
        [inverter.efficiency_10, inverter.efficiency_50, inverter.efficiency_100]
    )
    load_w = np.array([0.1, 0.5, 1.0]) * inverter.ac_w
    assert converted(inverter, load_w / given_share) == pytest.approx(load_w, rel=1e-12)


@pytest.mark.parametrize("part", PARTS)
def test_the_loss_curve_of_every_part_has_its_physical_signs(part):
    curve = loss_curve(inverter_sheet(part))
    assert curve.own_use > 0
    assert curve.linear > 0
    assert curve.square > 0


@given(efficiencies, efficiencies, efficiencies)
def test_never_more_out_than_in_and_never_below_zero(low, middle, full):
    inverter = made_up(low, middle, full)
    dc_w = np.linspace(0.0, 2 * inverter.ac_w, 400)
    ac_w = converted(inverter, dc_w)
    assert (ac_w >= 0).all()
    assert (ac_w <= dc_w).all()


@given(st.floats(0.85, 0.95), st.floats(0.0, 0.03), st.floats(-0.02, 0.005))
def test_more_in_never_gives_less_out(low, rise, fall):
    inverter = made_up(low, low + rise, low + rise + fall)
    ac_w = converted(inverter, np.linspace(0.0, 1.5 * inverter.ac_w, 400))
    assert (np.diff(ac_w) >= 0).all()


def test_nothing_comes_out_below_its_own_use():
    inverter = inverter_sheet("single-phase-2500")
    own_w = loss_curve(inverter).own_use * inverter.ac_w
    assert 5 < own_w < 25
    assert converted(inverter, np.array([0.0, own_w])).tolist() == [0.0, 0.0]
