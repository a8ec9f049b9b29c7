"""Inverter efficiency weighted as a European climate uses it.

Source: European weighting, load shares 0.03, 0.06, 0.13, 0.10, 0.48 and 0.20 at 5, 10, 20, 30, 50
and 100 % load (from memory; IEC 61683 and BS EN 50530 use the same). Good string inverters are
sold with 96 to 97.5 %, small ones a point less (from memory).
"""

import numpy as np
import pytest

from pvkit.electrical.inverter import converted
from pvkit.site.parts import inverter_sheet
from pvkit.tables import parts

SOURCE = "IEC 61683 and BS EN 50530; European weighting"
LOADS = np.array([0.05, 0.10, 0.20, 0.30, 0.50, 1.00])
WEIGHTS = np.array([0.03, 0.06, 0.13, 0.10, 0.48, 0.20])


@pytest.mark.parametrize("part", sorted(parts("inverters")))
def test_every_part_has_a_plausible_european_efficiency(part, published):
    inverter = inverter_sheet(part)
    dc_w = LOADS * inverter.ac_w
    efficiency = float(WEIGHTS @ (converted(inverter, dc_w) / dc_w))
    assert WEIGHTS.sum() == pytest.approx(1.0)
    published.between("European efficiency of the parts list's inverters", SOURCE, efficiency,
                      0.955, 0.975, "", "from memory")  # fmt: skip
