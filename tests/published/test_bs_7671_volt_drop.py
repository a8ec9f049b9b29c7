"""Volts lost in house wiring.

Source: BS 7671 Appendix 4, millivolts for each amp and metre, single-phase, conductor at its
highest working temperature. Table 4E4B, armoured, 90 degC, and 4F2B, flexible, 90 degC: read in
reproduced tables (conf. A). Table 4D5, flat twin and earth, 70 degC: from memory. The kit takes
the resistance of BS EN 60228 to that temperature instead.
Agreement: within 2.5 %, the tables being rounded to two figures; worst -2.5 %, flexible 10 mm2.
"""

import pytest

from pvkit.electrical.cables import ac_design_ohm
from pvkit.site.kit import Cables

SOURCE = "BS 7671; Appendix 4, tables 4D5, 4E4B and 4F2B"
TWIN_AND_EARTH = {1.5: 29, 2.5: 18, 4: 11, 6: 7.3, 10: 4.4, 16: 2.8}
ARMOURED = {1.5: 31, 2.5: 19, 4: 12, 6: 7.9, 10: 4.7, 16: 2.9}
FLEXIBLE = {4: 13.2, 6: 8.5, 10: 5.1, 16: 3.2}
# Three- and four-core armoured on three phases, same table.
THREE_PHASE = {1.5: 27, 2.5: 16, 4: 10, 6: 6.8, 10: 4.0, 16: 2.5}
ROUNDING = 0.026


def millivolts(cable, mm2, phases=1):
    run = Cables(ac_cable=cable, ac_mm2=float(mm2), ac_length_m=1.0)
    return 1000 * ac_design_ohm(run, phases)


@pytest.mark.parametrize(
    ("cable", "table"),
    [("twin-and-earth", TWIN_AND_EARTH), ("armoured", ARMOURED), ("flexible", FLEXIBLE)],
)
def test_millivolts_by_kind_and_size(cable, table, published):
    kind = "from memory" if cable == "twin-and-earth" else "published"
    published(f"volts lost by size, {cable} cable", SOURCE, [millivolts(cable, m) for m in table],
              list(table.values()), "mV/A/m", kind, share=ROUNDING)  # fmt: skip


# The table gives volts between lines, the kit each phase's own rise: smaller by the root of 3.
def test_three_phases_by_size(published):
    between_lines = [millivolts("armoured", mm2, phases=3) * 3**0.5 for mm2 in THREE_PHASE]
    published("volts lost by size, armoured cable, three phases", SOURCE, between_lines,
              list(THREE_PHASE.values()), "mV/A/m", "published", share=ROUNDING)  # fmt: skip
