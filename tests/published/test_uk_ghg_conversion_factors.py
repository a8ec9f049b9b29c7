"""Avoided carbon, recomputed by hand from the UK Government's conversion factors."""

from dataclasses import replace

import numpy as np
import pytest

from pvkit.home.calendar import local_calendar
from pvkit.home.flows import Years
from pvkit.ledger.carbon import carbon_table
from pvkit.ledger.grid_paths import factors_by_year
from pvkit.site.money import Carbon, Finance

SOURCE = "UK Government GHG Conversion Factors for Company Reporting; editions "


def a_home(span=1):
    """Each year 1,000 kWh used in the house, 1,500 exported, 600 into the cylinder, 650 of gas."""
    column = np.ones(span)
    return Years(
        yield_kwh=3100 * column,
        direct_kwh=1000 * column,
        cylinder_kwh=600 * column,
        export_kwh=1500 * column,
        battery_in_kwh=0 * column,
        car_solar_kwh=0 * column,
        spilled_kwh=0 * column,
        battery_out_kwh=0 * column,
        battery_grid_kwh=0 * column,
        car_kwh=0 * column,
        battery_capacity_kwh=0 * column,
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
def test_the_first_years_carbon_is_the_editions_factors_by_hand(
    year, generated, lines, gas, published
):
    table = carbon_table(a_home(), Carbon(), Finance(years=1, first_year=year), kwp=3.0)
    for check, ours, value in (
        ("carbon of 1,000 kWh not bought", table.import_avoided_kg[0], 1000 * (generated + lines)),
        ("carbon of 1,500 kWh exported", table.export_avoided_kg[0], 1500 * generated),
        ("carbon of 650 kWh of gas not burnt", table.gas_avoided_kg[0], 650 * gas),
    ):
        published(check, SOURCE + "2022 to 2026", ours, value, "kg", "published", share=1e-6)
    expected = 1000 * (generated + lines) + 1500 * generated + 650 * gas
    assert table.first_year_kg == pytest.approx(expected)


# By hand, edition 2026: 1000 x 0.14395 + 1500 x 0.13096 + 650 x 0.18231 = 458.8915 kg.
def test_the_first_year_of_2026_in_full(published):
    table = carbon_table(a_home(), Carbon(), Finance(years=1, first_year=2026), kwp=3.0)
    published("first year's carbon of a home, by hand", SOURCE + "2026", table.first_year_kg,
              458.8915, "kg", "recomputed", 1e-4)  # fmt: skip


# By hand: two years after the 2026 edition, falling 8 % a year, 0.13096 x 0.92^2 = 0.110845 and
# its lines' loss 0.01299 x 0.92^2 = 0.010995.
def test_after_the_last_edition_the_grid_falls_in_step_and_gas_stays():
    factors = factors_by_year(np.array([2028]), Carbon(grid_fall_per_year=0.08))
    assert factors.grid_generated[0] == pytest.approx(0.110845, abs=5e-7)
    assert (factors.bought - factors.sold)[0, 0] == pytest.approx(0.010995, abs=5e-7)
    assert factors.gas[0] == 0.18231


# By hand, 25 years from 2027 of the home above, edition 2026 (0.13096, lines 0.01299, gas 0.18231)
# falling 8 % a year to a floor of 0.01: the fall reaches it in year 31, so within 25 years the sum
# is geometric. Sum of 0.92^1 .. 0.92^25 = 0.92 (1 - 0.92^25) / 0.08.
def test_twenty_five_years_add_up_as_a_geometric_sum_by_hand(published):
    carbon = Carbon(grid_fall_per_year=0.08, grid_floor_kgco2e_per_kwh=0.01)
    finance = Finance(years=25, first_year=2027)
    table = carbon_table(a_home(25), carbon, finance, kwp=3.0)
    assert 0.13096 * 0.92**25 > 0.01
    years_of_today = 0.92 * (1 - 0.92**25) / 0.08
    assert years_of_today == pytest.approx(10.0698, abs=5e-5)
    electricity = (1000 * (0.13096 + 0.01299) + 1500 * 0.13096) * years_of_today
    gas = 650 * 0.18231 * 25
    assert table.total_kg.sum() == pytest.approx(electricity + gas)
    published("25 years' carbon, falling 8 % a year, by hand", SOURCE + "2026",
              table.total_kg.sum(), 6390.2, "kg", "recomputed", 0.05)  # fmt: skip
    assert table.saved_kg == pytest.approx(electricity + gas - 1112 * 3.0)
    # At today's factor for ever the electricity alone would read 25 / 10.07 times as much.
    flat = carbon_table(a_home(25), carbon, finance, kwp=3.0, path="flat")
    assert flat.total_kg.sum() - gas == pytest.approx(25 * 340.39)
    assert (flat.total_kg.sum() - gas) / electricity == pytest.approx(2.4827, abs=5e-4)


# Source: SAP 10.2 Tables 12d and 12e, as returned in published calculation output. By hand: every
# month 100 kWh not bought and 100 kWh exported, the sums of the two columns times 100.
def test_the_procedures_monthly_factors_weigh_each_month_by_its_own(published):
    month = local_calendar().month
    step = np.array([np.flatnonzero(month == m)[10] for m in range(12)])
    demand, exported = np.zeros(17520), np.zeros((1, 17520))
    demand[step], exported[0, step] = 100.0, 100.0
    home = replace(
        a_home(), demand_kwh=demand, export_half_hourly_kwh=exported,
        import_half_hourly_kwh=np.zeros((1, 17520)),
    )  # fmt: skip
    table = carbon_table(home, Carbon(), Finance(years=1), kwp=3.0, path="monthly")
    bought = 0.163 + 0.160 + 0.153 + 0.143 + 0.132 + 0.120
    bought += 0.111 + 0.112 + 0.122 + 0.136 + 0.151 + 0.163
    sold = 0.196 + 0.190 + 0.175 + 0.153 + 0.129 + 0.106
    sold += 0.092 + 0.093 + 0.110 + 0.138 + 0.169 + 0.197
    for check, ours, value in (
        ("carbon of 100 kWh a month not bought", table.import_avoided_kg[0], 100 * bought),
        ("carbon of 100 kWh a month exported", table.export_avoided_kg[0], 100 * sold),
    ):
        published(check, "SAP 10.2; tables 12d and 12e", ours, value, "kg", "published",
                  share=1e-6)  # fmt: skip
