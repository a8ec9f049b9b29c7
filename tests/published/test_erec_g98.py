"""What the network operators ask of an inverter in a home.

Source: Energy Networks Association, Engineering Recommendation G98. 16 A a phase and 28 days: three
independent texts (conf. A). 262.2 V, the first over-voltage stage: quoted from the operators' own
document (secondary copy). The other settings and all times: from memory; their volts come out
exact as shares of 230 V (0.8, 1.14, 1.19).
"""

import pytest

from pvkit.electrical.ac_checks import ac_amps
from pvkit.electrical.protection import protection_rows, protection_settings
from pvkit.site.parts import inverter_sheet
from pvkit.tables import constant


def test_sixteen_amps_a_phase_is_3680_watts_on_one_and_11040_on_three(published):
    sheet = inverter_sheet("single-phase-3680")
    assert constant("network.notify_a") == 16
    assert constant("network.notify_days") == 28
    published("amps of a phase of a 3,680 W inverter", "ENA Engineering Recommendation G98; scope",
              ac_amps(sheet), 16.0, "A", "published", 1e-6)  # fmt: skip
    assert ac_amps(sheet.model_copy(update={"ac_w": 11040.0, "phases": 3})) == pytest.approx(16)


def test_protection_is_that_of_the_network_rules(published):
    found = {s.id: (round(s.level, 1), s.unit, s.trip_s) for s in protection_settings()}
    assert found == {
        "under_voltage": (184.0, "V", 2.5),
        "over_voltage_1": (262.2, "V", 1.0),
        "over_voltage_2": (273.7, "V", 0.5),
        "under_frequency_1": (47.5, "Hz", 20.0),
        "under_frequency_2": (47.0, "Hz", 0.5),
        "over_frequency": (52.0, "Hz", 0.5),
        "loss_of_mains": (1.0, "Hz/s", 0.5),
    }
    first = next(s for s in protection_settings() if s.id == "over_voltage_1")
    published("first over-voltage stage", "ENA Engineering Recommendation G98 (secondary copy);"
              " protection settings", first.level, 262.2, "V", "published", 0.05)  # fmt: skip
    assert {row.verdict for row in protection_rows()} == {"ask"}
