"""Avoided carbon, recomputed by hand from the UK Government's conversion factors."""

import numpy as np
import pytest

from pvkit.home.flows import Years
from pvkit.ledger.carbon import carbon_table, factors_by_year
from pvkit.site.money import Carbon, Finance


def a_home(span=1):
    """Each year 1,000 kWh used in the house, 1,500 exported, 600 into the cylinder, 650 of gas."""
    column = np.ones(span)
    return Years(
        yield_kwh=3100 * column,
        direct_kwh=1000 * column,
        cylinder_kwh=600 * column,
        export_kwh=1500 * column,
        import_kwh=1500 * column,
        gas_saved_kwh=650 * column,
        gas_without_kwh=2500.0,
        import_half_hourly_kwh=np.zeros((span, 1)),
        export_half_hourly_kwh=np.zeros((span, 1)),
        demand_kwh=np.array([2500.0]),
    )


# Source: UK Government GHG Conversion Factors for Company Reporting, editions 2022 to 2026,
# kgCO2e/kWh: electricity generated, transmission and distribution loss, gas on gross CV.
@pytest.mark.parametrize(
    ("year", "generated", "lines", "gas"),
    [
        (2022, 0.19338, 0.01769, 0.18254),
        (2023, 0.20707, 0.01792, 0.18293),
        (2024, 0.20705, 0.01830, 0.18290),
        (2025, 0.17700, 0.01853, 0.18296),
        (2026, 0.13096, 0.01299, 0.18231),
    ],
)
def test_the_first_years_carbon_is_the_editions_factors_by_hand(year, generated, lines, gas):
    table = carbon_table(a_home(), Carbon(), Finance(years=1, first_year=year), kwp=3.0)
    assert table.import_avoided_kg[0] == pytest.approx(1000 * (generated + lines))
    assert table.export_avoided_kg[0] == pytest.approx(1500 * generated)
    assert table.gas_avoided_kg[0] == pytest.approx(650 * gas)
    expected = 1000 * (generated + lines) + 1500 * generated + 650 * gas
    assert table.first_year_kg == pytest.approx(expected)


# By hand, edition 2026: 1000 x 0.14395 + 1500 x 0.13096 + 650 x 0.18231 = 458.8915 kg.
def test_the_first_year_of_2026_in_full():
    table = carbon_table(a_home(), Carbon(), Finance(years=1, first_year=2026), kwp=3.0)
    assert table.first_year_kg == pytest.approx(458.8915, abs=1e-4)


# By hand: two years after the 2026 edition, falling 8 % a year, 0.13096 x 0.92^2 = 0.110845 and
# its lines' loss 0.01299 x 0.92^2 = 0.010995.
def test_after_the_last_edition_the_grid_falls_in_step_and_gas_stays():
    factors = factors_by_year(np.array([2028]), Carbon(grid_fall_per_year=0.08))
    assert factors.grid_generated[0] == pytest.approx(0.110845, abs=5e-7)
    assert factors.grid_t_and_d[0] == pytest.approx(0.010995, abs=5e-7)
    assert factors.gas[0] == 0.18231
