"""Copper losses against the trade's worked figures."""

import numpy as np
import pytest

from pvkit.electrical.cables import ac_loop_ohm, after_cable, dc_loop_ohm
from pvkit.errors import InputError
from pvkit.site.kit import Cables


# Worked by hand from BS EN 60228 class 5 tinned: 12 modules of 31.2 V at 12.98 A, share of the
# string's volts lost one way and back, copper at 20 and at 70 degC.
@pytest.mark.parametrize(
    ("mm2", "length_m", "cold_percent", "hot_percent"),
    [(4.0, 15.0, 0.53, 0.63), (4.0, 30.0, 1.06, 1.27), (6.0, 30.0, 0.71, 0.84)],
)
def test_dc_loss_at_working_warmth_lies_between_cold_and_hot_copper(
    mm2, length_m, cold_percent, hot_percent
):
    loop = dc_loop_ohm(Cables(dc_mm2=mm2, dc_length_m=length_m))
    percent = 100 * loop * 12.98 / 374
    assert cold_percent < percent < hot_percent


# BS 7671 table 4D5 (from memory): two-core 70 degC cable of 4 mm2 rises 11 mV for each amp and
# metre at 70 degC; house wiring well below its rating is cooler, so a little less.
def test_ac_rise_is_just_below_the_wiring_rules_figure_for_a_fully_warm_cable():
    millivolts = 1000 * ac_loop_ohm(Cables(ac_mm2=4.0, ac_length_m=1.0))
    assert 11 / 1.20 < millivolts < 11


def test_heat_goes_with_the_square_of_the_current():
    power, amps = np.array([3000.0, 3000.0]), np.array([5.0, 10.0])
    lost = power - after_cable(power, amps, loop_ohm=0.2)
    assert lost == pytest.approx([5.0, 20.0])


def test_a_cable_of_no_length_loses_nothing():
    assert dc_loop_ohm(Cables(dc_length_m=0.0)) == 0.0


def test_a_cable_cannot_lose_more_than_it_carries():
    assert after_cable(np.array([10.0]), np.array([10.0]), loop_ohm=5.0)[0] == 0.0


def test_a_size_no_cable_has_is_refused_with_the_list_of_sizes():
    with pytest.raises(InputError) as error:
        dc_loop_ohm(Cables(dc_mm2=5.0))
    (fault,) = error.value.faults
    assert fault.where == "cables.dc_mm2"
    assert fault.found == "found 5 mm2, which is not a cable size"
    assert fault.allowed == "1.5, 2.5, 4, 6, 10, 16, 25 mm2"
