"""Rows about strings, inputs and optimisers: each rule at either side of its limit."""

import pytest

from pvkit.electrical.input_checks import input_findings, ratio_row, trackers_finding
from pvkit.electrical.inputs import optimiser_sheet
from pvkit.electrical.optimiser_checks import optimiser_findings
from pvkit.electrical.string_checks import string_findings
from pvkit.electrical.string_volts import StringPlan, hot_vmp_v
from pvkit.site.parts import inverter_sheet, module_sheet


def module(part="half-cut-430", **changes):
    return module_sheet(part).model_copy(update=changes)


def inverter(**changes):
    return inverter_sheet("single-phase-3000").model_copy(update=changes)


def strings(count=8, *, sheet=None, in_parallel=1, optimisers=False):
    return StringPlan("main", sheet or module(), count, in_parallel, optimisers)


def row(findings, words):
    (found,) = [f.row for f in findings if words in f.row.what]
    return found


# Trade notes, from memory: Voc 37.2 V at -0.26 %/K. Longest strings by the flat factor of 1.15 are
# 11, 14 and 23 for 500, 600 and 1000 V; by temperature (x 1.09 to 1.12) 12, 14 and 24.
SHEET = {"voc_v": 37.2, "beta_voc_per_k": -0.0026}


@pytest.mark.parametrize(
    ("dc_max_v", "flat", "by_temperature"), [(500, 11, 12), (600, 14, 14), (1000, 23, 24)]
)
def test_open_circuit_volts_pass_up_to_the_longest_string_of_each_rule(
    dc_max_v, flat, by_temperature
):
    sheet, limit = (
        module("half-cut-415", **SHEET),
        inverter(dc_max_v=dc_max_v, mppt_max_v=dc_max_v),
    )
    cold = {
        n: row(string_findings(strings(n, sheet=sheet), limit), "coldest morning").verdict
        for n in (by_temperature, by_temperature + 1)
    }
    assert cold == {by_temperature: "pass", by_temperature + 1: "fail"}
    rated = {
        n: row(string_findings(strings(n, sheet=sheet), limit), "as rated × 1.15").verdict
        for n in (flat, flat + 1)
    }
    assert rated == {flat: "pass", flat + 1: "ask" if flat < by_temperature else "fail"}


def test_a_thousand_volts_is_the_most_on_a_building():
    limit, sheet = inverter(dc_max_v=1500.0, mppt_max_v=1500.0), module(**SHEET)
    verdicts = [
        row(string_findings(strings(n, sheet=sheet), limit), "on a building").verdict
        for n in (23, 24)
    ]
    assert verdicts == ["pass", "fail"]


def test_working_volts_on_the_hottest_day_stay_inside_the_window():
    hot_v = 8 * hot_vmp_v(module())
    for window, verdict in (
        ({"mppt_min_v": hot_v - 1}, "pass"),
        ({"mppt_min_v": hot_v + 1}, "fail"),
        ({"mppt_max_v": hot_v + 1}, "pass"),
        ({"mppt_max_v": hot_v - 1}, "fail"),
    ):
        found = row(string_findings(strings(), inverter(**window)), "hottest day")
        assert found.verdict == verdict, window
        assert ("put at" in found.limit) == (verdict == "fail")


# Trade notes, from memory: 31.2 V at 25 degC is 26.4 V at 70 degC.
def test_hot_volts_lie_a_little_below_the_notes_five_degrees_cooler():
    sheet = module("half-cut-415")
    assert hot_vmp_v(sheet) / sheet.vmp_v == pytest.approx(26.4 / 31.2, abs=0.025)
    assert hot_vmp_v(sheet) / sheet.vmp_v < 26.4 / 31.2


def test_optimisers_may_hold_volts_of_their_own():
    limit = inverter(mppt_min_v=300.0)
    assert row(string_findings(strings(), limit), "hottest day").verdict == "fail"
    held = row(string_findings(strings(optimisers=True), limit), "hottest day")
    assert held.verdict == "ask"
    assert "ask their maker" in held.limit


def test_volts_above_the_window_on_a_cold_bright_day_are_for_the_maker_to_say():
    top = 8 * module().vmp_v * 1.02  # between the cold day's working volts and the hot day's
    assert row(string_findings(strings(), inverter(mppt_max_v=top)), "bright").verdict == "ask"
    assert row(string_findings(strings(), inverter(mppt_max_v=330)), "bright").verdict == "pass"


# Trade notes: Isc 14.5 A x 1.25 = 18.1 A against the input's short-circuit limit.
@pytest.mark.parametrize(("limit_a", "verdict"), [(18.2, "pass"), (18.1, "fail")])
def test_short_circuit_current_with_its_margin_stays_within_the_input(limit_a, verdict):
    plan = strings(sheet=module(isc_a=14.5))
    found = row(input_findings(plan, inverter(input_isc_max_a=limit_a)), "Short-circuit")
    assert found.verdict == verdict
    assert found.value.startswith("18.1 A")


def test_an_estimate_is_refused_only_above_the_limit_without_the_margin():
    plan = strings(sheet=module(isc_a=14.5))
    for limit_a, refused in ((18.0, False), (14.6, False), (14.4, True)):
        faults = [f.fault for f in input_findings(plan, inverter(input_isc_max_a=limit_a))]
        assert any(faults) == refused


# Trade notes: modern modules of 13 to 14 A exceed older inputs of 10 to 12.5 A, which may hold
# them back if the short-circuit limit is kept.
@pytest.mark.parametrize(("limit_a", "verdict"), [(12.5, "ask"), (13.4, "pass"), (16.0, "pass")])
def test_more_operating_current_than_the_input_takes_is_for_the_maker_to_say(limit_a, verdict):
    found = row(input_findings(strings(), inverter(input_max_a=limit_a)), "Operating")
    assert found.verdict == verdict


@pytest.mark.parametrize(
    ("kwp", "verdict"), [(3.80, "ask"), (3.74, "pass"), (2.74, "pass"), (2.70, "ask")]
)
def test_the_inverter_is_usually_eight_to_eleven_tenths_of_the_modules(kwp, verdict):
    assert ratio_row(kwp, inverter(ac_w=3000.0)).verdict == verdict


def test_each_array_needs_a_tracker():
    assert trackers_finding(2, inverter(trackers=2)).row.verdict == "pass"
    assert trackers_finding(3, inverter(trackers=2)).row.verdict == "fail"


def test_strings_on_one_input_are_equally_long():
    for count, verdict in ((8, "pass"), (9, "fail")):
        found = row(string_findings(strings(count, in_parallel=2), inverter()), "equal length")
        assert found.verdict == verdict


@pytest.mark.parametrize(
    ("count", "verdict"), [(3, "fail"), (4, "pass"), (25, "pass"), (26, "fail")]
)
def test_optimisers_have_a_least_and_a_most_in_a_string(count, verdict):
    found = row(optimiser_findings(strings(count), optimiser_sheet()), "in a string")
    assert found.verdict == verdict


# 60 V at the optimiser: Voc x 1.10 at -15 degC and -0.25 %/K.
@pytest.mark.parametrize(
    ("change", "words", "verdict"),
    [
        ({"voc_v": 54.5}, "open-circuit", "pass"),
        ({"voc_v": 54.6}, "open-circuit", "fail"),
        ({"isc_a": 15.0}, "short-circuit", "pass"),
        ({"isc_a": 15.1}, "short-circuit", "fail"),
        ({"pmax_w": 500.0}, "watts", "pass"),
        ({"pmax_w": 501.0}, "watts", "ask"),
    ],
)
def test_a_module_suits_its_optimisers_input(change, words, verdict):
    found = row(optimiser_findings(strings(sheet=module(**change)), optimiser_sheet()), words)
    assert found.verdict == verdict


def test_a_contradictory_data_sheet_is_a_row_that_fails_with_its_reason():
    findings = list(string_findings(strings(sheet=module(pmax_w=500.0)), inverter()))
    found = row(findings, "data sheet")
    assert found.verdict == "fail"
    assert found.value == "found 500 W, but vmp_v x imp_a is 430.1 W"


def test_a_row_fails_wherever_an_estimate_is_refused():
    plan = strings(9, in_parallel=2, sheet=module(isc_a=30.0), optimisers=True)
    small = inverter(dc_max_v=100.0, mppt_min_v=90.0, mppt_max_v=95.0)
    found = [
        *string_findings(plan, small),
        *input_findings(plan, small),
        *optimiser_findings(plan, optimiser_sheet()),
    ]
    refused = [f for f in found if f.fault]
    assert len(refused) >= 4
    assert {f.row.verdict for f in refused} == {"fail"}
