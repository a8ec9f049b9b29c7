"""A study runs each stage once and again only when what it reads has changed."""

import numpy as np
import pandas as pd
import pytest

from pvkit import InputError, Study, load_site

RELATIVE = 1e-12


@pytest.fixture(scope="module")
def study():
    study = Study(load_site("bungalow_extension"))
    study.estimate()
    return study


def _ran(study, change):
    before = study.store.runs.copy()
    study.change(change).estimate()
    return set(study.store.runs - before)


def test_a_price_change_runs_the_money_alone(study):
    assert _ran(study, {"tariff.import_gbp_per_kwh": 0.2995}) == {"cash"}


def test_a_cost_change_runs_the_money_alone(study):
    assert _ran(study, {"costs.visit_gbp_per_year": 61.5}) == {"cash"}


def test_a_demand_change_leaves_the_roof_alone(study):
    assert _ran(study, {"home.yearly_kwh": 3210.0}).isdisjoint(
        {"sun", "sky", "light", "electrical"}
    )


def test_a_tilt_change_leaves_the_sky_alone(study):
    ran = _ran(study, {"array.main.tilt_deg": 13.5})
    assert {"light", "electrical", "cash"} <= ran
    assert ran.isdisjoint({"sun", "sky", "split", "demand"})


def test_a_change_of_ageing_leaves_the_home_and_its_new_year_alone(study):
    before = study.estimate().flows
    change = {"finance.degradation_per_year": 0.0071}
    assert _ran(study, change) == {"flows", "cash", "carbon"}
    pd.testing.assert_frame_equal(study.change(change).estimate().flows, before)


def test_the_same_question_twice_runs_nothing(study):
    study.change({"array.main.tilt_deg": 14.5}).estimate()
    assert _ran(study, {"array.main.tilt_deg": 14.5}) == set()


def test_a_remembered_answer_equals_a_fresh_one(study):
    change = {"array.main.tilt_deg": 20, "home.yearly_kwh": 2800, "tariff.export_gbp_per_kwh": 0.1}
    remembered = study.change(change).estimate()
    fresh = Study(study.change(change).site).estimate()
    assert remembered.npv_gbp == pytest.approx(fresh.npv_gbp, rel=RELATIVE)
    np.testing.assert_array_equal(remembered.flows.to_numpy(), fresh.flows.to_numpy())


def test_changing_a_study_leaves_the_first_as_it_was(study):
    before = study.estimate().ac_kwh
    study.change({"array.main.count": 5}).estimate()
    assert study.estimate().ac_kwh == before


def test_a_change_may_name_an_entry_by_number_or_by_name(study):
    by_name = study.change({"array.main.count": 4}).site
    by_number = study.change({"array.1.count": 4}).site
    assert by_name == by_number


def test_a_name_with_a_dot_in_it_can_be_changed_too(study):
    dotted = study.change({"array.main.name": "no. 1"})
    assert dotted.change({"array.no. 1.count": 5}).site.array[0].count == 5


def test_numbers_of_numpy_are_taken_as_plain_ones(study):
    site = study.change({"array.main.count": np.int64(4), "site.altitude_m": np.float64(80)}).site
    assert (site.array[0].count, site.site.altitude_m) == (4, 80.0)


@pytest.mark.parametrize(
    ("change", "where", "hint"),
    [
        ({"array.mian.count": 4}, "change, array.mian.count", "main"),
        ({"tarif.import_gbp_per_kwh": 0.3}, "change, tarif.import_gbp_per_kwh", "tariff"),
        ({"array.main.tilt_deg": 300}, "change, array.main.tilt_deg", "0 to 90"),
        ({"array.main.tlt": 30}, "change, array.main.tlt", "tilt_deg"),
        ({"site.name.first": 1}, "change, site.name.first", "dotted key"),
    ],
)
def test_a_change_that_leads_nowhere_says_where_it_got_lost(study, change, where, hint):
    with pytest.raises(InputError) as caught:
        study.change(change)
    assert where in str(caught.value)
    assert hint in str(caught.value)


def test_more_panels_make_more_and_never_buy_more(study):
    few, many = (study.change({"array.main.count": n}).estimate() for n in (4, 9))
    assert many.ac_kwh > few.ac_kwh
    assert many.import_kwh <= few.import_kwh


def test_every_half_hour_balances_to_a_billionth(study):
    flows = study.estimate().flows
    paths = flows[["direct_kwh", "cylinder_kwh", "export_kwh", "spilled_kwh"]].sum(axis=1)
    assert (flows["solar_kwh"] - paths).abs().max() < 1e-9
    assert (flows["demand_kwh"] - flows["direct_kwh"] - flows["import_kwh"]).abs().max() < 1e-9


def test_the_months_add_up_to_the_year(study):
    answer = study.estimate()
    assert answer.monthly["solar_kwh"].sum() == pytest.approx(answer.ac_kwh, abs=1e-9)


def test_the_loss_stack_ends_at_the_meter(study):
    answer = study.estimate()
    stack = answer.loss_stack["kwh"]
    assert stack.iloc[:-1].sum() == pytest.approx(stack.iloc[-1], abs=1e-9)
    assert stack.iloc[-1] == pytest.approx(answer.ac_kwh, abs=1e-9)
