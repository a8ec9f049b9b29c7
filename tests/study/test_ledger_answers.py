"""The money and carbon of whole sites: totals that add up, odd homes, and no missing figure."""

import json

import numpy as np
import pytest

from pvkit import Study, load_site
from pvkit.present.range_words import range_text
from pvkit.present.summary import summary
from pvkit.study.ledger_facts import range_facts
from pvkit.tables import parts

NEW = {"finance.degradation_first_year": 0.0}
BATTERY = {"battery.capacity_kwh": 5.0}
CAR = {"car.yearly_miles": 7000.0}
ODD = {
    "zero export price": {"tariff.export_gbp_per_kwh": 0.0},
    "free electricity": {
        "tariff.import_gbp_per_kwh": 0.0, "tariff.export_gbp_per_kwh": 0.0,
        "tariff.gas_gbp_per_kwh": 0.0,
    },
    "no gas": {"hot_water": None},
    "forty years": {"finance.years": 40},
    "never worth it": {"costs.items": [{"name": "gold", "gbp": 90000.0}]},
    "no quotation": {"costs.items": None, "costs.replacements": None},
    "a gift": {"costs.items": [{"name": "gift", "gbp": 0.0}]},
    "one panel": {
        "array.main.count": 1, "array.main.optimisers": False, "inverter.part": None,
        "inverter.datasheet": parts("inverters")["single-phase-1500"] | {"mppt_min_v": 20.0},
    },
    "battery and car": BATTERY | CAR | {"costs.battery_floor_fraction": 0.75},
    "a loan": {"loan.deposit_gbp": 500.0, "loan.apr": 0.09, "loan.years": 10},
    "nominal prices by year": {"prices.terms": "nominal", "prices.import_index_by_year": [1, 1.1]},
}  # fmt: skip


@pytest.fixture(scope="module")
def study():
    return Study(load_site("bungalow_extension"))


@pytest.mark.parametrize("changes", [{}, BATTERY, CAR, BATTERY | CAR, {"hot_water": None}])
def test_what_the_paths_earn_adds_up_to_the_saving_of_a_new_systems_year(study, changes):
    answer = study.change(NEW | changes).estimate()
    total = sum(each.gbp for each in answer.path_sums)
    assert total == pytest.approx(answer.first_year_saving_gbp, abs=1e-6)
    for each in answer.path_sums:
        assert each.gbp_per_kwh is None or each.gbp == pytest.approx(each.gbp_per_kwh * each.kwh)


def test_a_kwh_is_worth_its_price_in_the_house_and_what_is_paid_for_it_outside(study):
    found = {each.path: each.gbp_per_kwh for each in study.estimate().path_sums}
    assert found["house"] == pytest.approx(0.26)
    assert found["export"] == pytest.approx(0.05)
    assert found["export"] < found["cylinder"] < found["house"]


@pytest.mark.parametrize("odd", ODD)
def test_odd_homes_have_facts_and_words_without_a_missing_figure(study, odd):
    answer = study.change(ODD[odd]).estimate()
    json.dumps({**answer.facts(), "ranges": range_facts(answer.ranges)}, allow_nan=False)
    words = summary(answer) + range_text(answer)
    for word in ("nan", "None", "inf ", "not available"):
        assert word not in words


@pytest.mark.parametrize("odd", ODD)
def test_cash_and_carbon_tables_add_up_to_their_totals(study, odd):
    answer = study.change(ODD[odd]).estimate()
    cash, carbon = answer.cash, answer.carbon
    net = cash["saving_gbp"] - cash["costs_gbp"] + cash["residual_gbp"]
    net.iloc[0] -= answer.capital_gbp
    np.testing.assert_allclose(cash["net_gbp"], net, atol=1e-9)
    assert cash["cumulative_gbp"].iloc[-1] == pytest.approx(net.sum())
    assert cash["discounted_gbp"].iloc[-1] == pytest.approx(answer.npv_gbp)
    assert sum(line.gbp for line in answer.price_lines) == pytest.approx(answer.capital_gbp)
    went = cash[["direct_kwh", "battery_in_kwh", "car_solar_kwh", "cylinder_kwh", "export_kwh"]]
    np.testing.assert_allclose(went.sum(axis=1), cash["yield_kwh"], atol=1e-6)
    columns = carbon[["import_avoided_kg", "export_avoided_kg", "gas_avoided_kg"]]
    np.testing.assert_allclose(columns.sum(axis=1), carbon["total_kg"])
    embodied = sum(part.kg for part in answer.stages.carbon.embodied)
    assert carbon["total_kg"].sum() - embodied == pytest.approx(answer.carbon_saved_kgco2e)


def test_a_site_that_never_pays_says_so_and_makes_up_no_rate(study):
    answer = study.change(ODD["free electricity"]).estimate()
    assert answer.simple_payback_years is None
    assert answer.irr is None
    assert answer.npv_gbp < 0
    assert "not within 25 years" in summary(answer)


def test_a_battery_bought_again_at_its_floor_costs_money_and_carbon_each_time(study):
    floor = BATTERY | {"costs.battery_floor_fraction": 0.8, "costs.replacements": []}
    again, never = study.change(floor).estimate(), study.change(
        BATTERY | {"costs.replacements": []}
    ).estimate()  # fmt: skip
    # 0.975 to the 9th is 0.796: the tenth year is the first below 0.8, and so each nine years on.
    years = np.flatnonzero(again.cash["costs_gbp"] > 100.0)
    assert years.tolist() == [10, 19]
    left = again.stages.years.battery_capacity_kwh
    assert left.min() >= 0.8 * 5.0
    assert left[9] == left[18] == 5.0
    assert never.stages.years.battery_capacity_kwh[-1] == 0.0
    assert again.stages.carbon.embodied[-1].kg == pytest.approx(3 * 500.0)
    assert never.stages.carbon.embodied[-1].kg == pytest.approx(500.0)


def test_without_a_quotation_a_battery_has_a_typical_price_too(study):
    bare = {"costs.items": None, "costs.replacements": None}
    with_battery = study.change(bare | BATTERY).estimate()
    without = study.change(bare).estimate()
    assert with_battery.capital_gbp - without.capital_gbp == pytest.approx(5.0 * 350.0)


def test_a_change_of_the_grids_path_runs_the_carbon_alone(study, tmp_path):
    file = tmp_path / "grid.csv"
    file.write_text("year,kgco2e_per_kwh\n2026,0.1\n", encoding="utf-8")
    study.estimate()
    before = study.store.runs.copy()
    brought = {"carbon.grid_path": "file", "carbon.grid_file": str(file)}
    first = study.change(brought).estimate()
    assert set(study.store.runs - before) == {"carbon"}
    file.write_text("year,kgco2e_per_kwh\n2026,0.2\n# changed\n", encoding="utf-8")
    again = study.change(brought).estimate()
    assert again.carbon_first_year_kgco2e > first.carbon_first_year_kgco2e


def test_all_paths_of_the_grid_are_shown_whichever_is_chosen(study):
    shown = {table.path for table in study.estimate().carbon_paths}
    assert shown == {"falling", "monthly", "flat"}
    chosen = study.change({"carbon.grid_path": "monthly"}).estimate()
    assert chosen.carbon_paths[0].path == "monthly"
    assert chosen.carbon_saved_kgco2e == chosen.carbon_paths[0].saved_kg


def test_assumptions_leave_out_money_keys_that_nothing_hangs_on(study):
    names = {number.name for number in study.estimate().assumptions}
    assert {"finance.inflation_per_year", "costs.vat_fraction", "carbon.grid_path"} <= names
    assert names.isdisjoint({"finance.life_years", "costs.battery_gbp_per_kwh", "prices.terms"})
    assert not [name for name in names if name.startswith(("doubt.", "standard.", "discount."))]
    longer = study.change({"finance.years": 40, "finance.residual": "straight-line"}).estimate()
    assert "finance.life_years" in {number.name for number in longer.assumptions}
