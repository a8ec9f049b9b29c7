"""Strings on site, worked by hand with a data sheet's own temperature coefficients."""

import pytest

from pvkit.electrical.expected import expected_string
from pvkit.site.kit import ModuleSheet

# Source: worked figures of a trade reference sheet for BS EN 62446-1 tests (volts fall 0.26 %/K,
# amps rise 0.045 %/K; amps in proportion to light), no edition. Its figures are rounded to the
# volt and to 0.01 A. They leave the curve's own bend out, so that half a per cent is agreed here.
SOURCE = "Trade reference sheet for BS EN 62446-1, no edition; worked figures"
VOLTS_FRACTION, AMPS_FRACTION = 0.005, 0.003


def module(**given: float) -> ModuleSheet:
    sheet = {
        "pmax_w": 401.0, "vmp_v": 31.0, "imp_a": 12.95, "voc_v": 37.2, "isc_a": 13.87,
        "alpha_isc_per_k": 0.00045, "beta_voc_per_k": -0.0026, "gamma_pmax_per_k": -0.0034,
        "cells_in_series": 54, "length_m": 1.722, "width_m": 1.134, "mass_kg": 21.5,
    }  # fmt: skip
    return ModuleSheet.model_validate(sheet | given)


@pytest.mark.parametrize(("degc", "volts"), [(45.0, 423.0), (5.0, 470.0)])
def test_twelve_modules_of_37_2_v_by_temperature(degc, volts, published):
    found = expected_string(module(), 12, 1000.0, degc)
    published("open-circuit volts of twelve modules, 5 and 45 degC", SOURCE, found.voc_v, volts,
              "V", "published", share=VOLTS_FRACTION)  # fmt: skip


def test_short_circuit_amps_in_620_w_per_m2_at_40_degrees(published):
    found = expected_string(module(), 12, 620.0, 40.0)
    published("short-circuit amps at 620 W/m2 and 40 degC", SOURCE, found.isc_a, 8.66, "A",
              "published", share=AMPS_FRACTION)  # fmt: skip
