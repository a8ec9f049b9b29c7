"""The ballast sum against one worked by hand for this kind of roof.

Source: worked by hand, apart from this code, with the partial factors of BS EN 1990's UK annex
(stability: 0.9 on helpful weight, 1.5 on wind; conf. C) and the peak pressure of the published UK
sum (0.789 kPa, conf. B): 10 deg tilt, module 1.722 m by 1.134 m, module and frame 27.5 kg, level
roof, friction 0.4, row pitch 1.72 m, so 2.96 m2 of roof for each module::

    m = 1.5 Fw / (0.9 x 9.81) x (cos t + sin t / mu)

The sheet leaves tipping out, so it is compared for lifting and for sliding, each by itself, and for
ballast as the sum gives it for rows that cannot tip.
"""

import numpy as np
import pytest

from pvkit.roof.ballast import Hold, needed_mass
from pvkit.roof.ballast_plan import ballast_plan
from tests.roof.sites import site_with

PEAK_PA, AREA_M2, OWN_KG, ROOF_M2 = 789.0, 1.722 * 1.134, 27.5, 1.722 * 1.72
TOLERANCE = 0.01
# Coefficient; suction Fw, its part off the roof and its part along the roof, before factors [N];
# mass against lifting and against sliding, ballast [kg]; load [kg/m2].
SHEET = (
    (-1.3, 2003, 1973, 348, 335, 483, 455, 163),
    (-1.0, 1541, 1517, 268, 258, 371, 344, 125),
    (-0.5, 770, 759, 134, 129, 186, 158, 63),
    (-0.3, 462, 455, 80, 77, 111, 84, 38),
    (-0.2, 308, 303, 54, 52, 74, 47, 25),
)


def sum_of(coefficient, friction=0.4, factor=1.0):
    force = np.array([PEAK_PA * -coefficient * AREA_M2 * factor])
    return force, needed_mass(force, Hold(10.0, 0.0, friction, tied=True))


@pytest.mark.parametrize("line", SHEET, ids=lambda line: str(line[0]))
def test_every_line_of_the_sheet(line):
    coefficient, force_n, lift_n, along_n, lifting, sliding, ballast, load = line
    force, mass = sum_of(coefficient)
    assert force[0] == pytest.approx(force_n, rel=TOLERANCE)
    assert force[0] * np.cos(np.radians(10)) == pytest.approx(lift_n, rel=TOLERANCE)
    assert force[0] * np.sin(np.radians(10)) == pytest.approx(along_n, rel=TOLERANCE)
    assert mass.lifting[0] == pytest.approx(lifting, rel=TOLERANCE)
    assert mass.sliding[0] == pytest.approx(sliding, rel=TOLERANCE)
    assert mass.needed[0] - OWN_KG == pytest.approx(ballast, rel=TOLERANCE)
    assert mass.needed[0] / ROOF_M2 == pytest.approx(load, rel=TOLERANCE)


# The sheet says: with a friction of 0.3 it is 95 kg of ballast, with 0.6 it is 73 kg.
@pytest.mark.parametrize(("friction", "ballast"), [(0.3, 95), (0.4, 84), (0.6, 73)])
def test_other_frictions(friction, ballast):
    _, mass = sum_of(-0.3, friction)
    assert mass.needed[0] - OWN_KG == pytest.approx(ballast, rel=TOLERANCE)


# The sheet says: half as much wind again at an edge makes 167 kg in all, 139 kg of ballast.
def test_the_module_at_an_edge():
    _, mass = sum_of(-0.3, factor=1.5)
    assert mass.needed[0] == pytest.approx(167, rel=TOLERANCE)
    assert mass.needed[0] - OWN_KG == pytest.approx(139, rel=TOLERANCE)


def site_of_the_sheet(coefficient):
    """A roof whose peak pressure, module, frame, pitch and friction are those of the sheet."""
    # Open country at 6 m gives 728.3 Pa from 23 m/s; the map's velocity goes with its root.
    wind = {"basic_m_per_s": 23.0 * (789.0 / 728.3) ** 0.5, "terrain": "country"}
    return site_with(
        kind="flat",
        site={"name": "t", "latitude": 52.0, "longitude": -1.0, "altitude_m": 50.0},
        roof={"width_m": 30.0, "depth_m": 20.0, "height_m": 6.0, "tilt_deg": 0.0, "friction": 0.4},
        array={"tilt_deg": 10.0, "rows": 3, "columns": 3, "count": 9, "x_m": 10.0, "gap_m": 0.0,
               "row_pitch_m": 1.72, "tied": True, "pressure_coefficient": coefficient,
               "pressure_source": "the sheet"},
        wind=wind,
        ballast={"frame_kg": 5.5, "edge_factor": 1.5},
    )  # fmt: skip


@pytest.mark.parametrize("line", SHEET, ids=lambda line: str(line[0]))
def test_the_whole_way_from_a_site_file(line):
    plan = ballast_plan(site_of_the_sheet(line[0]), "m")
    middle = plan.modules[4]
    assert plan.wind.pressure.peak_pa == pytest.approx(789, rel=0.001)
    assert (middle.zone, middle.factor) == ("inner", 1.0)
    assert middle.lifting_kg == pytest.approx(line[4], rel=TOLERANCE)
    assert middle.sliding_kg == pytest.approx(line[5], rel=TOLERANCE)
    assert middle.ballast_kg == pytest.approx(line[6], rel=TOLERANCE)
    assert plan.load is not None
    assert plan.load.array_m2 / 9 == pytest.approx(ROOF_M2, rel=TOLERANCE)


def test_the_edge_of_the_sheet_from_a_site_file():
    plan = ballast_plan(site_of_the_sheet(-0.3), "m")
    assert plan.modules[0].ballast_kg == pytest.approx(139, rel=TOLERANCE)
    assert plan.inner_kg == pytest.approx(84, rel=TOLERANCE)
    assert plan.edge_kg == pytest.approx(139, rel=TOLERANCE)
