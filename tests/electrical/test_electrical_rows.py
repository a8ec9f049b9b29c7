"""The electrical sheet of whole sites."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvkit import load_site
from pvkit.electrical.electrical_rows import electrical_groups, electrical_rows
from pvkit.errors import InputError
from pvkit.site.parts import module_sheet
from pvkit.site.reader import build_site
from pvkit.site.samples import sample_sites
from pvkit.study.changes import changed
from pvkit.tables import parts

LOW_VOLTAGE = {
    "ac_w": 3680.0, "efficiency_10": 0.94, "efficiency_50": 0.97, "efficiency_100": 0.965,
    "dc_max_v": 160.0, "mppt_min_v": 40.0, "mppt_max_v": 140.0, "trackers": 1,
    "input_max_a": 30.0, "input_isc_max_a": 40.0,
}  # fmt: skip


@pytest.fixture(scope="module")
def bungalow():
    return load_site("bungalow_extension")


def verdicts(site):
    return {row.what: row.verdict for row in electrical_rows(site)}


def test_a_small_flat_roof_system_passes_its_checks(bungalow):
    """Six modules of 430 W with optimisers, inverter a little under the array's power."""
    assert bungalow.kwp() == pytest.approx(2.58)
    assert bungalow.inverter_sheet().ac_w == 2500.0
    found = verdicts(bungalow)
    assert "fail" not in found.values()
    assert found["Network route"] == "pass"
    assert found["Optimisers in a string"] == "pass"


def test_a_larger_system_asks_the_network_operators_consent_first(bungalow):
    larger = changed(
        bungalow,
        {"array.main.count": 12, "roof.top.width_m": 18.0, "inverter.part": "single-phase-5000"},
    )
    (route,) = [row for row in electrical_rows(larger) if row.what == "Network route"]
    assert route.verdict == "ask"
    assert "ask the network operator's consent before installing" in route.value


def test_ten_plain_modules_on_a_low_voltage_window_fail_with_the_reason():
    site = load_site("south_family_home")
    raw = site.model_dump(exclude_unset=True)
    assert site.count(site.array[0]) == 10
    raw["inverter"] = {"datasheet": LOW_VOLTAGE}
    raw["array"][0]["optimisers"] = False
    rows = electrical_rows(build_site(raw))
    failing = {row.what: row for row in rows if row.verdict == "fail"}
    cold = failing["String's open-circuit volts, coldest morning"]
    assert "10 ×" in cold.value
    assert cold.limit.startswith("up to 160 V, the inverter's most: put at most 3 in a string")
    hot = failing["String's working volts, hottest day in full sun"]
    assert hot.limit.startswith("40 to 140 V, where the inverter tracks: put at most 5")


@pytest.mark.parametrize("sample", [sample.name for sample in sample_sites()])
def test_no_sample_site_fails(sample):
    assert [r for r in electrical_rows(load_site(sample)) if r.verdict == "fail"] == []


@pytest.mark.parametrize("sample", [sample.name for sample in sample_sites()])
def test_every_row_says_what_value_limit_and_where_from_with_its_kind(sample):
    for row in electrical_rows(load_site(sample)):
        assert all((row.what, row.value, row.limit, row.source)), row
        kinds = ("published", "common practice", "from memory", "assumption", "given")
        assert any(kind in row.source for kind in kinds), row


def test_each_of_several_arrays_has_its_own_rows():
    rows = electrical_rows(load_site("east_west_pair"))
    cold = [row.what for row in rows if "coldest morning" in row.what]
    assert len(cold) == len(set(cold)) == 2


def test_what_only_people_on_site_can_see_is_never_a_pass(bungalow):
    groups = {group.title: group.rows for group in electrical_groups(bungalow)}
    for title in ("Protection set in the inverter", "Isolation, earthing, cable laying", "Labels"):
        assert {row.verdict for row in groups[title]} == {"ask"}
    words = " ".join(f"{row.what} {row.limit}" for group in groups.values() for row in group)
    for need in ("D.c. isolator", "A.c. isolators", "Circuit of its own", "grouping", "Earthing",
                 "dual supply", "emergency shutdown", "Residual-current", "Surge"):  # fmt: skip
        assert need in words


def test_isolators_carry_the_strings_volts_and_amps(bungalow):
    """6 x 38.1 V x 1.15 = 263 V; 14.25 A x 1.25 = 17.8 A; 2,500 W / 230 V = 10.9 A."""
    rows = {row.what: row.limit for row in electrical_rows(bungalow)}
    assert "263 V and 17.8 A" in rows["D.c. isolator"]
    assert "10.9 A" in rows["A.c. isolators"]


@pytest.mark.parametrize(
    ("earthing", "words"),
    [("TN-C-S", "not taken to a frame"), ("TT", "earth electrode"), ("TN-S", "bonded only")],
)
def test_earthing_goes_by_the_supply(bungalow, earthing, words):
    rows = {r.what: r for r in electrical_rows(changed(bungalow, {"supply.earthing": earthing}))}
    assert words in rows["Earthing of the array frame"].limit
    assert ("needed here" in rows["Residual-current device"].limit) == (earthing == "TT")


@pytest.mark.parametrize(("length_m", "at_array"), [(10.0, False), (10.1, True)])
def test_a_long_dc_run_wants_surge_protection_at_the_array_too(bungalow, length_m, at_array):
    rows = {r.what: r for r in electrical_rows(changed(bungalow, {"cables.dc_length_m": length_m}))}
    assert ("also at the array" in rows["Surge protection"].limit) == at_array


def test_a_cable_size_that_is_not_made_is_a_bad_input(bungalow):
    with pytest.raises(InputError, match=r"cables\.dc_mm2"):
        electrical_rows(changed(bungalow, {"cables.dc_mm2": 5.0}))


def test_given_data_sheets_are_no_longer_asked_about(bungalow):
    raw = bungalow.model_dump(exclude_unset=True)
    assert verdicts(bungalow)["Data sheets"] == "ask"
    raw["inverter"] = {"datasheet": bungalow.inverter_sheet().model_dump()}
    raw["array"][0].update(optimisers=False, datasheet=module_sheet("half-cut-430").model_dump())
    del raw["array"][0]["module"]
    assert verdicts(build_site(raw))["Data sheets"] == "pass"


whole_watts = st.floats(0.0, 50000.0)


@settings(max_examples=150, deadline=None, database=None)
@given(
    st.fixed_dictionaries(
        {},
        optional={
            "inverter.part": st.sampled_from(sorted(parts("inverters"))),
            "array.main.optimisers": st.booleans(),
            "cables.dc_length_m": st.floats(0.0, 200.0),
            "cables.ac_length_m": st.floats(0.0, 200.0),
            "cables.ac_mm2": st.sampled_from([1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0]),
            "cables.ac_cable": st.sampled_from(["twin-and-earth", "armoured", "flexible"]),
            "cables.ac_breaker_a": st.floats(6.0, 100.0),
            "cables.string_fuse_a": st.floats(5.0, 60.0),
            "supply.phases": st.integers(1, 3),
            "supply.loop_ohm": st.floats(0.0, 2.0),
            "supply.measured_v": st.floats(180.0, 280.0),
            "supply.other_generation_w": whole_watts,
            "supply.battery_inverter_w": whole_watts,
            "supply.export_limit_kw": st.floats(0.0, 50.0),
        },
    )
)
def test_whatever_the_survey_says_every_row_has_a_verdict_and_figures(changes):
    rows = electrical_rows(changed(load_site("bungalow_extension"), changes))
    assert {row.verdict for row in rows} <= {"pass", "fail", "ask"}
    assert len({row.what for row in rows}) == len(rows)
    for row in rows:
        assert not re.search(r"\b(nan|inf|None)\b", f"{row.what} {row.value} {row.limit}"), row
