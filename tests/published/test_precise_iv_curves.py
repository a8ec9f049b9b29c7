"""Single-diode solver against curves solved to forty digits.

Source: pvlib-python source tree, tests/data/precise_iv_curves1.json and precise_iv_curves2.json
with their parameter sets (BSD-3), T = 298.15 K; five of the 64 curves. Conf. A.
Agreement: 1e-10 of power by the Lambert-W solution; the Bishop form solved by Newton's method,
which the kit's power table is made with, finds power as well.
"""

import numpy as np
import pytest
from pvlib.pvsystem import singlediode
from pvlib.singlediode import bishop88_mpp
from scipy.constants import elementary_charge, k

POWER_SHARE, VOLTS_V, AMPS_A = 1e-10, 1e-6, 1e-7

# light current, saturation current, series, shunt, ideality, cells, Isc, Voc, Imp, Vmp, Pmp
CURVES = [
    (1, 5e-10, 0.1, 300, 1.01, 72, 0.99966677771, 39.748107380, 0.84612386, 33.93689432,
     28.714816046),
    (1, 3e-8, 1, 3000, 1.3, 72, 0.99966676228, 41.622951440, 0.92242284, 34.19290486,
     31.540316309),
    (8, 3e-8, 1, 3000, 1.3, 72, 7.99733341778, 46.652564974, 7.31291759, 33.39313303,
     244.201229887),
    (0.5, 1e-9, 0.1, 300, 1.3, 140, 0.49983338886, 89.422031542, 0.26747522, 68.96382875,
     18.446115107),
    (2.5, 1e-8, 1, 3000, 1.5, 140, 2.49916693846, 104.25597353, 2.32355940, 86.71062306,
     201.477283291),
]  # fmt: skip


def five(curve):
    light_a, saturation_a, series, shunt, ideality, cells = curve[:6]
    return light_a, saturation_a, series, shunt, ideality * cells * k * 298.15 / elementary_charge


@pytest.mark.parametrize("curve", CURVES)
def test_lambert_w_solution_is_the_precise_one(curve):
    isc, voc, imp, vmp, pmp = curve[6:]
    found = singlediode(*five(curve), method="lambertw")
    assert found["i_sc"] == pytest.approx(isc, rel=1e-10)
    assert found["v_oc"] == pytest.approx(voc, rel=1e-9)  # as many digits as are quoted
    assert found["p_mp"] == pytest.approx(pmp, rel=POWER_SHARE)
    assert found["i_mp"] == pytest.approx(imp, abs=AMPS_A)
    assert found["v_mp"] == pytest.approx(vmp, abs=VOLTS_V)


@pytest.mark.parametrize("curve", CURVES)
def test_the_solver_behind_the_power_table_finds_the_precise_maximum(curve):
    *_, imp, vmp, pmp = curve
    amps, volts, power = bishop88_mpp(*(np.array([v]) for v in five(curve)), method="newton")
    assert power[0] == pytest.approx(pmp, rel=POWER_SHARE)
    assert amps[0] == pytest.approx(imp, abs=AMPS_A)
    assert volts[0] == pytest.approx(vmp, abs=VOLTS_V)
