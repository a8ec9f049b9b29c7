"""Where the energy goes, as a study tells it: attributes, tables, facts, and what runs again."""

import json

import numpy as np
import pytest

from pvkit import Study, load_site
from pvkit.home.tariff import import_prices
from pvkit.study.facts import facts

RESIDUAL_KWH = 1e-9


@pytest.fixture(scope="module")
def study():
    study = Study(load_site("ev_and_battery"))
    study.estimate()
    return study


def ran(study, change):
    before = study.store.runs.copy()
    study.change(change).estimate()
    return set(study.store.runs - before)


def test_the_table_of_flows_closes_in_every_half_hour(study):
    flows = study.estimate().flows
    made = flows["solar_kwh"] + flows["rescued_kwh"]
    paths = ["direct", "battery_in", "car", "cylinder", "export", "spilled"]
    gone = flows[[f"{path}_kwh" for path in paths]].sum(axis=1)
    np.testing.assert_allclose(gone, made, rtol=0, atol=RESIDUAL_KWH)
    grid = flows[["battery_grid_kwh", "car_grid_kwh", "cylinder_grid_kwh"]].sum(axis=1)
    use = flows["direct_kwh"] + flows["battery_out_kwh"] + flows["import_kwh"] - grid
    need = flows["demand_kwh"] + flows["standby_kwh"]
    np.testing.assert_allclose(use, need, rtol=0, atol=RESIDUAL_KWH)
    assert str(flows.index.tz) == "UTC"


def test_facts_are_the_sums_of_the_flows(study):
    answer = study.estimate()
    found, flows = json.loads(json.dumps(facts(answer))), answer.flows
    assert found["battery_out_kwh"] == pytest.approx(flows["battery_out_kwh"].sum())
    assert found["battery_out_kwh"] > 500.0
    assert found["car_solar_kwh"] == pytest.approx(flows["car_kwh"].sum())
    exported = (flows["export_kwh"] + flows["spilled_kwh"]).sum() / flows["solar_kwh"].sum()
    assert found["used_at_home_fraction"] == pytest.approx(1.0 - exported)
    assert found["self_sufficiency_fraction"] == pytest.approx(
        1.0 - found["import_kwh"] / found["bought_without_kwh"]
    )
    shares = sum(path["next_share"] for path in found["next_kwh"]["paths"])
    assert shares + found["next_kwh"]["spilled_share"] == pytest.approx(1.0)


def test_the_bill_is_the_sum_of_its_half_hours(study):
    answer = study.estimate()
    site, years = answer.site, answer.stages.years
    price = import_prices(site.tariff)
    first = float(years.import_half_hourly_kwh[0] @ price)
    sold = float(years.export_half_hourly_kwh[0].sum()) * site.tariff.export_gbp_per_kwh
    gas = (years.gas_without_kwh - years.gas_saved_kwh[0]) * site.tariff.gas_gbp_per_kwh
    standing = 365 * site.tariff.standing_gbp_per_day
    bill = first + standing + gas - sold
    assert answer.cash["bill_with_gbp"].iloc[1] == pytest.approx(bill, rel=1e-9)


def test_the_stores_table_stays_inside_its_bounds(study):
    answer = study.estimate()
    battery, stores = answer.site.battery, answer.stores
    least = battery.capacity_kwh * battery.reserve_fraction
    assert stores["battery_held_kwh"].between(least - 1e-9, battery.capacity_kwh + 1e-9).all()
    assert stores["cylinder_top_degc"].between(50.0 - 1e-9, 65.0 + 1e-9).all()


def test_a_battery_of_nothing_answers_as_no_battery(study):
    nothing = study.change({"battery.capacity_kwh": 0.0}).estimate()
    assert nothing.battery_out_kwh == nothing.battery_grid_kwh == 0.0
    np.testing.assert_array_equal(nothing.flows["standby_kwh"], 0.0)


def test_the_battery_is_worn_out_unless_it_is_bought_again(study):
    fitted = study.estimate().stages.years.battery_capacity_kwh
    assert np.all(fitted > 0.0)
    alone = study.change({"costs.replacements": []}).estimate()
    held = alone.stages.years.battery_capacity_kwh
    assert np.all(held[:15] > 0.0)
    assert not held[15:].any()
    assert any("10 of the years counted are therefore without one" in w for w in alone.warnings)


# What each change runs again: a price decides something only with cheap hours, a car or "value".
def test_a_price_that_decides_nothing_leaves_the_flows_alone():
    study = Study(load_site("bungalow_extension"))
    study.estimate()
    assert ran(study, {"tariff.export_gbp_per_kwh": 0.051}) == {"cash"}
    by_value = study.change({"home.order": ["value"]})
    by_value.estimate()
    assert "flows" not in ran(by_value, {"tariff.export_gbp_per_kwh": 0.052})
    assert "flows" in ran(by_value, {"tariff.export_gbp_per_kwh": 0.2})


def test_a_change_of_order_leaves_the_demand_alone(study):
    changed = ran(study, {"home.order": ["cylinder", "car", "battery", "export"]})
    assert "flows" in changed
    assert changed.isdisjoint({"demand", "water", "electrical"})


def test_a_larger_battery_runs_neither_roof_nor_demand(study):
    changed = ran(study, {"battery.capacity_kwh": 7.7})
    assert "flows" in changed
    assert changed.isdisjoint({"demand", "water", "car", "electrical", "sky", "light"})


def test_a_tighter_export_limit_never_exports_more_and_counts_what_it_cuts(study):
    free, tight = (study.change({"supply.export_limit_kw": kw}).estimate() for kw in (3.68, 1.0))
    assert tight.export_kwh < free.export_kwh
    assert tight.spilled_kwh > free.spilled_kwh
    assert tight.flows["export_kwh"].max() <= 0.5 + RESIDUAL_KWH
    assert any("cuts off" in warning for warning in tight.warnings)


def test_a_dc_battery_is_told_with_what_it_rescues(study):
    small = {"battery.coupling": "dc", "inverter.part": "single-phase-2500"}
    answer = study.change(small).estimate()
    rescued = answer.flows["rescued_kwh"].sum()
    assert rescued > 10.0
    assert rescued <= answer.stages.output.over_limit_kwh.sum() + RESIDUAL_KWH
    assert any("On the d.c. side" in warning for warning in answer.warnings)
