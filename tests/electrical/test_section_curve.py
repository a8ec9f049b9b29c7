"""A shaded section's curve by points: in order for any cell, light and warmth; one cell's volts."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pvlib.singlediode import bishop88_v_from_i

from pvkit.electrical.cell_kernel import cell_volts
from pvkit.electrical.section_kernel import SECTION_POINTS, section_curve
from tests.electrical.one_cell import one_cell

CONTEST = settings(max_examples=200, deadline=None, database=None)
IN_SERIES = 54.0
PHOTO_A, SERIES_OHM = 11.0, 0.004


def a_cell(saturation_a, volts_scale, shunt_ohm):
    """Give a cell of any quality and warmth."""
    five = (PHOTO_A, saturation_a, SERIES_OHM, shunt_ohm, volts_scale)
    return one_cell(five, in_series=IN_SERIES, reverse_fraction=0.002)


# From a cold, good cell to a hot, poor one (saturation current 1e-5 A at an ideality of 1.4).
CELLS = st.builds(
    a_cell,
    saturation_a=st.floats(-11, -5).map(lambda power: 10.0**power),
    volts_scale=st.floats(0.024, 0.042),
    shunt_ohm=st.floats(2.0, 50.0),
)


@CONTEST
@given(CELLS, st.floats(10, 1200), st.floats(0, 0.98), st.floats(1, IN_SERIES))
def test_volts_rise_and_amps_fall_from_point_to_point(cell, full, dimmed, shaded):
    side = np.array([shaded, full * max(dimmed, 1e-3), full])
    curve = np.zeros((3, SECTION_POINTS))
    last = section_curve(side, full, curve, cell)
    volts, amps, slope = curve[:, : last + 1]
    assert (np.diff(volts) > 0).all()
    assert (np.diff(amps) < 0).all()
    assert (slope < 0).all()
    all_through = amps[0] >= 0.98 * full * cell.current_per_light  # by breakdown
    assert volts[0] <= -cell.bypass_v or all_through
    assert amps[-1] <= 0


# Source: pvlib-python, single diode solved by Newton's method. Agreement: 2e-8 V a cell, of which
# 1e-8 is where our steps end.
@CONTEST
@given(CELLS, st.floats(20, 1200), st.floats(-1.0, 0.999), st.floats(0.2, 0.8))
def test_a_cells_volts_are_those_of_the_reference_solution(cell, light, part, start):
    photo_a = light * cell.current_per_light
    amps = part * photo_a
    found, _ = cell_volts(amps, light, start, cell)
    shunt_ohm = 1 / (light * cell.shunt_per_light)
    volts = bishop88_v_from_i(
        amps, photo_a, cell.saturation_a, cell.series_ohm, shunt_ohm, cell.volts_scale
    )
    assert found == pytest.approx(float(volts), abs=2e-8)


@CONTEST
@given(CELLS, st.floats(20, 1200), st.floats(-0.5, 0.95))
def test_a_cells_slope_is_that_of_its_volts(cell, light, part):
    amps, step = part * light * cell.current_per_light, 1e-5 * light * cell.current_per_light
    ahead, behind = (cell_volts(amps + way, light, 0.5, cell)[0] for way in (step, -step))
    _, slope = cell_volts(amps, light, 0.5, cell)
    assert slope == pytest.approx((ahead - behind) / (2 * step), rel=2e-2)
