"""What completes a commissioning record, what blocks it and with which reason."""

import copy

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvkit import load_site
from pvkit.electrical.commissioning import Commissioning, judge_record
from pvkit.electrical.readings import build_record, load_record
from pvkit.site.survey import Site
from pvkit.study.changes import changed as change_site
from pvkit.tables import constant
from tests.electrical.records import changed, sample, string, whole

PLAIN = load_site("south_family_home")
TWO_STRINGS = change_site(PLAIN, {"array.main.strings": 2})
OPTIMISED = load_site("bungalow_extension")


def judge(site: Site, raw: dict) -> Commissioning:
    return judge_record(site, build_record(raw, site))


def row(found: Commissioning, what: str):
    return next(row for row in found.rows if what in row.what)


def test_the_sample_record_is_complete_and_the_faulty_one_is_not():
    assert judge_record(OPTIMISED, load_record("bungalow_extension", OPTIMISED)).complete
    assert not judge_record(PLAIN, load_record("family_home_with_faults", PLAIN)).complete


@pytest.mark.parametrize("site", [PLAIN, TWO_STRINGS, load_site("east_west_pair")])
def test_strings_that_measure_as_the_model_has_them_complete_a_record(site):
    found = judge(site, whole(site))
    assert found.blocking == ()
    assert found.complete
    assert {row.verdict for row in found.rows} == {"pass"}


BLOCKING = [
    ("string.0.polarity", "reversed", "Polarity: reversed"),
    ("string.0.polarity", None, "Polarity: not recorded"),
    ("string.0.insulation_minus_mohm", 0.4, "− 0.4 MΩ"),
    ("string.0.insulation_plus_mohm", None, "Insulation to earth"),
    ("string.0.insulation_test_v", 250.0, "too few volts"),
    ("string.0.voc_v", None, "Open-circuit volts: not recorded"),
    ("string.0.irradiance_w_per_m2", None, "Light and module temperature: not recorded"),
    ("loss_of_mains", None, "Loss-of-mains test: not recorded"),
    ("loss_of_mains.stop_s", 0.8, "output stops: 0.8 s"),
    ("loss_of_mains.stayed_off", False, "came back by itself"),
    ("loss_of_mains.back_s", 12.0, "comes back: 12 s"),
    ("protection", None, "Protection settings: not recorded"),
    ("protection.over_voltage_1.level", 264.5, "Over-voltage, first stage: 264.5 V"),
    ("protection.under_voltage.trip_s", 5.0, "Under-voltage: 184 V, 5 s"),
    ("protection.over_frequency", None, "Over-frequency: not recorded"),
    ("protection.reconnect_s", 5.0, "Wait before it reconnects: 5 s"),
    ("earth.continuity_ohm", 3.0, "Earth continuity"),
    ("earth.continuity_ohm", None, "Earth continuity"),
    ("ac_tests.certificate", None, "Tests of the a.c. circuit: not recorded"),
    ("ac_tests.satisfactory", False, "not satisfactory"),
    ("works.isolators_break", False, "isolator"),
    ("works.starts", None, "Inverter starts"),
    ("meter.generation_kwh", None, "first reading: not recorded"),
    ("record.by", None, "Tested by: not recorded"),
    ("serials.inverter", None, "Serial number of the inverter"),
    ("serials.modules", ["M-1"], "Serial numbers of the modules: 1"),
]


@pytest.mark.parametrize(("key", "value", "reason"), BLOCKING)
def test_each_fault_or_gap_blocks_completion_with_its_reason(key, value, reason):
    found = judge(PLAIN, changed(whole(PLAIN), key, value))
    assert not found.complete
    assert len(found.blocking) == 1, found.blocking
    assert reason in found.blocking[0]


def test_a_string_without_any_record_blocks_by_its_name():
    raw = whole(TWO_STRINGS)
    del raw["string"][1]
    assert judge(TWO_STRINGS, raw).blocking == ("main 2: All tests of the string: not recorded",)


def test_an_empty_record_names_every_gap():
    raw = {"record": whole(PLAIN)["record"]}
    found = judge(PLAIN, raw)
    assert len(found.blocking) >= 8
    assert all("not recorded" in reason for reason in found.blocking)


@pytest.mark.parametrize(("light", "verdict"), [(399.0, "ask"), (400.0, "pass")])
def test_amps_are_judged_from_400_w_per_m2_on(light, verdict):
    raw = whole(PLAIN)
    raw["string"] = [string(PLAIN, "main", 1, light)]
    assert row(judge(PLAIN, raw), "Short-circuit amps").verdict == verdict


def test_below_400_w_per_m2_even_absurd_amps_are_not_judged():
    raw = whole(PLAIN)
    raw["string"] = [string(PLAIN, "main", 1, 350.0) | {"isc_a": 0.1, "imp_a": 0.1}]
    found = judge(PLAIN, raw)
    for what in ("Short-circuit amps", "Amps at work"):
        assert row(found, what).verdict == "ask"
        assert "not judged below 400 W/m²" in row(found, what).value
    assert found.complete


def test_amps_at_work_may_stand_for_short_circuit_amps():
    raw = changed(whole(PLAIN), "string.0.isc_a", None)
    assert judge(PLAIN, raw).complete
    without = changed(raw, "string.0.imp_a", None)
    assert "Short-circuit amps, or amps at work" in judge(PLAIN, without).blocking[0]


@pytest.mark.parametrize(
    ("key", "name"),
    [
        ("voc_v", "commission.model_volts_fraction"),
        ("vmp_v", "commission.model_volts_fraction"),
        ("isc_a", "commission.model_amps_fraction"),
        ("imp_a", "commission.model_amps_fraction"),
    ],
)
def test_each_tolerance_has_two_sides(key, name):
    share, sound = constant(name), whole(PLAIN)
    exact = sound["string"][0][key]
    for factor, complete in ((0.999, True), (1.001, False)):
        for side in (1 - share * factor, 1 + share * factor):
            raw = changed(sound, f"string.0.{key}", exact * side)
            assert judge(PLAIN, raw).complete is complete


@pytest.mark.parametrize(("apart", "verdict"), [(0.049, "pass"), (0.051, "fail")])
def test_like_strings_differ_by_five_per_cent_at_most(apart, verdict):
    raw = whole(TWO_STRINGS)
    raw["string"][1]["isc_a"] *= 1 + apart
    assert row(judge(TWO_STRINGS, raw), "Like strings, short-circuit").verdict == verdict


def test_like_strings_measured_in_other_light_are_set_right_for_it():
    raw = whole(TWO_STRINGS)
    raw["string"][1] = string(TWO_STRINGS, "main", 2, 950.0, 52.0)
    for what in ("Like strings, open", "Like strings, short"):
        assert "0.0 % above" in row(judge(TWO_STRINGS, raw), what).value


def test_strings_on_other_slopes_are_not_called_alike():
    site = load_site("east_west_pair")
    assert not any("Like strings" in row.what for row in judge(site, whole(site)).rows)


# A string of N modules that lacks one shows 1/N fewer volts: up to twelve it breaks the tolerance.
@settings(max_examples=30, deadline=None)
@given(light=st.floats(150.0, 1100.0), degc=st.floats(-5.0, 70.0))
def test_a_lost_module_shows_at_any_light_and_temperature(light, degc):
    raw = whole(PLAIN)
    raw["string"] = [string(PLAIN, "main", 1, light, degc)]
    assert row(judge(PLAIN, raw), "Open-circuit").verdict == "pass"
    raw["string"][0]["voc_v"] *= 9 / 10
    found = row(judge(PLAIN, raw), "Open-circuit")
    assert found.verdict == "fail"
    assert "9 modules would show this" in found.value


# Source: BS EN 62446-1, table as in en62446_insulation.csv: 250 V and 0.5 MΩ below 120 V of
# system voltage, 500 V and 1 MΩ to 500 V, 1000 V and 1 MΩ above.
@pytest.mark.parametrize(
    ("modules", "test_v", "least"), [(2, 250, 0.5), (3, 500, 1.0), (10, 500, 1.0), (11, 1000, 1.0)]
)
def test_insulation_is_judged_at_the_volts_of_its_string(modules, test_v, least):
    site = PLAIN.model_copy(
        update={"array": (PLAIN.array[0].model_copy(
            update={"rows": None, "columns": None, "count": modules}),)}
    )  # fmt: skip
    raw = whole(site)
    raw["string"][0] |= {"insulation_test_v": float(test_v), "insulation_plus_mohm": least}
    assert row(judge(site, raw), "Insulation").verdict == "pass"
    raw["string"][0]["insulation_plus_mohm"] = least - 0.01
    assert row(judge(site, raw), "Insulation").verdict == "fail"


def test_insulation_with_both_poles_joined_is_one_reading():
    raw = changed(whole(PLAIN), "string.0.insulation_plus_mohm", None)
    raw = changed(raw, "string.0.insulation_minus_mohm", None)
    assert judge(PLAIN, changed(raw, "string.0.insulation_joined_mohm", 80.0)).complete
    assert not judge(PLAIN, changed(raw, "string.0.insulation_joined_mohm", 0.8)).complete


@pytest.mark.parametrize(("volts", "verdict"), [(5.4, "fail"), (5.6, "pass"), (6.6, "fail")])
def test_optimisers_that_have_not_started_are_counted_by_their_safe_volts(volts, verdict):
    raw = changed(sample("bungalow_extension"), "string.0.safe_v", volts)
    assert row(judge(OPTIMISED, raw), "before the optimisers start").verdict == verdict


def test_without_the_makers_safe_volts_the_string_is_asked_about_and_not_judged():
    raw = changed(sample("bungalow_extension"), "optimisers.safe_v_each", None)
    found = row(judge(OPTIMISED, raw), "before the optimisers start")
    assert found.verdict == "ask"
    assert "not judged" in found.value


def test_a_dead_module_shows_among_those_measured_one_by_one():
    raw = sample("bungalow_extension")
    raw["string"][0]["module_voc_v"][3] = 24.6  # one bypass third short
    found = row(judge(OPTIMISED, raw), "each module")
    assert found.verdict == "fail"
    assert "module 4 is" in found.value


def test_optimisers_that_pass_the_modules_volts_on_are_judged_like_a_plain_string():
    raw = sample("bungalow_extension")
    raw["optimisers"] = {"before_start": "module volts"}
    raw["string"] = [string(OPTIMISED, "main", 1)]
    found = judge(OPTIMISED, raw)
    assert found.complete
    assert row(found, "Open-circuit volts").verdict == "pass"
    assert "the optimisers choose it" in row(found, "Amps at work").value


def test_above_16_a_consent_must_come_before_switching_on():
    site = change_site(PLAIN, {"inverter.part": "single-phase-5000"})
    early = whole(site)
    assert judge(site, early).complete
    late = changed(early, "network.date", early["record"]["date"].replace(day=15))
    for raw in (late, changed(early, "network.reference", None)):
        (reason,) = judge(site, raw).blocking
        assert "Consent of the network operator" in reason
    small = changed(early, "protection.rule", "G98")
    assert "Network rule" in judge(site, small).blocking[0]


def test_up_to_16_a_the_notice_may_follow_within_28_days():
    raw = whole(PLAIN)
    without = changed(raw, "network.date", None)
    assert judge(PLAIN, without).complete
    assert "11 June 2026" in row(judge(PLAIN, without), "Notice").limit
    day = raw["record"]["date"]
    assert judge(PLAIN, changed(raw, "network.date", day.replace(month=6, day=11))).complete
    assert not judge(PLAIN, changed(raw, "network.date", day.replace(month=6, day=12))).complete


def test_a_sooner_trip_is_asked_about_and_an_active_method_needs_no_level():
    raw = changed(whole(PLAIN), "protection.over_voltage_1.trip_s", 0.2)
    assert row(judge(PLAIN, raw), "Over-voltage, first").verdict == "ask"
    active = changed(raw, "protection.loss_of_mains", {"trip_s": 0.5})
    assert row(judge(PLAIN, active), "Loss of mains, rate").verdict == "pass"
    slow = changed(raw, "protection.loss_of_mains", {"trip_s": 0.9})
    assert row(judge(PLAIN, slow), "Loss of mains, rate").verdict == "fail"


def test_judging_leaves_the_record_as_it_was():
    file = build_record(whole(PLAIN), PLAIN)
    before = copy.deepcopy(file)
    judge_record(PLAIN, file)
    assert file == before
