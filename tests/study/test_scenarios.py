"""Scenario files: read, refuse, apply, compare on the same draws, keep."""

import json
import math

import pytest

from pvkit import InputError, Study, load_site
from pvkit.present.comparison_table import comparison_text
from pvkit.present.scenario_file import save_scenario
from pvkit.site.samples import samples_folder
from pvkit.study.comparison import MEASURES, SURVEYED, compare
from pvkit.study.scenario_text import scenario_of, scenario_text
from pvkit.study.scenarios import Scenario, apply, load_scenarios

SAMPLE = samples_folder() / "scenarios" / "bungalow_choices.toml"
GOOD = """
[[scenario]]
name = "four panels"
changes = { "array.main.count" = 4 }
extra_items = [{ name = "two fewer", gbp = -540 }]

[[scenario]]
name = "no cylinder"
remove = ["hot_water"]
"""


@pytest.fixture(scope="module")
def study():
    return Study(load_site("bungalow_extension"))


@pytest.fixture(scope="module")
def comparison(study):
    return compare(study, load_scenarios(SAMPLE))


@pytest.fixture
def written(tmp_path):
    def write(text):
        file = tmp_path / "choices.toml"
        file.write_text(text, encoding="utf-8")
        return file

    return write


def test_a_scenario_changes_adds_and_takes_out(study, written):
    four, dry = load_scenarios(written(GOOD))
    site = apply(study.site, four).site
    assert site.array[0].count == 4
    assert [item.name for item in site.costs.items][-1] == "two fewer"
    assert sum(item.gbp for item in site.costs.items) == 4980 - 540
    assert apply(study.site, dry).site.hot_water is None
    assert study.site.hot_water is not None


def test_taking_a_key_out_brings_its_default_back(study):
    plain = apply(study.site, Scenario(name="a", remove=("tariff.export_gbp_per_kwh",))).site
    assert plain.tariff.export_gbp_per_kwh == 0.12
    assert "export_gbp_per_kwh" not in plain.tariff.model_fields_set


@pytest.mark.parametrize(
    ("old", "new", "where", "found"),
    [
        ('name = "four panels"', 'nam = "four panels"', "scenario.1.nam", "unknown key"),
        ('"four panels"', '""', "scenario", "found ''"),
        ('"four panels"', '"no cylinder"', "scenario", "found 'no cylinder' twice"),
        ("gbp = -540", 'gbp = "much"', "extra_items", "found 'much'"),
        ("[[scenario]]", "[scenario]", "", ""),
        ("changes = {", "changes = [", "", ""),
        ('remove = ["hot_water"]', "remove = 3", "scenario.no cylinder.remove", "found 3"),
    ],
)
def test_a_broken_scenario_file_says_where_and_what(written, old, new, where, found):
    assert old in GOOD
    with pytest.raises(InputError) as caught:
        load_scenarios(written(GOOD.replace(old, new, 1)))
    assert "choices.toml" in str(caught.value)
    assert where in str(caught.value)
    assert found in str(caught.value)


def test_an_empty_or_missing_file_is_refused(written, tmp_path):
    for file in (written("# nothing\n"), tmp_path / "nowhere.toml"):
        with pytest.raises(InputError):
            load_scenarios(file)


def test_what_is_wrong_with_a_scenario_is_told_with_its_name_and_all_at_once(study):
    bad = [
        Scenario(name="lost", changes={"array.mian.count": 4}),
        Scenario(name="fine", changes={"array.main.count": 5}),
        Scenario(name="steep", changes={"array.main.tilt_deg": 300}),
    ]
    with pytest.raises(InputError) as caught:
        compare(study, bad)
    text = str(caught.value)
    assert "scenario 'lost', array.mian.count" in text
    assert "scenario 'steep', array.main.tilt_deg" in text
    assert "fine" not in text


def test_a_string_that_does_not_suit_the_inverter_is_told_with_its_scenario(study):
    short = Scenario(
        name="one panel", changes={"array.main.count": 1, "array.main.optimisers": False}
    )
    with pytest.raises(InputError, match="scenario 'one panel'"):
        compare(study, [short])


def test_a_scenario_equal_to_the_site_makes_no_difference_at_all(study):
    same = [
        Scenario(name="nothing changed"),
        Scenario(name="said again", changes={"array.main.count": 6, "home.yearly_kwh": 3100}),
    ]
    found = compare(study, same)
    differences = found.differences.dropna()
    assert (differences == 0.0).all().all()
    for case in found.facts()["cases"]:
        assert set(case["difference"].values()) <= {0.0, None}
        assert case["simple_payback_p90_years"] is None  # not within the span, in either
    assert "nan" not in comparison_text(found)


def test_the_order_of_scenarios_changes_no_number(study, comparison):
    scenarios = load_scenarios(SAMPLE)
    turned = compare(Study(study.site), scenarios[::-1])
    assert turned.table[comparison.table.columns].equals(comparison.table)


def test_every_scenario_meets_the_same_draws(study):
    """A better export price alone: the difference of the two ranges has no noise in it."""
    change = {"tariff.export_gbp_per_kwh": 0.051}
    found = compare(study, [Scenario(name="a hair more", changes=change)])
    more = found.differences["a hair more"]
    assert more["ac_p90_kwh"] == 0.0
    assert 0 < more["npv_p90_gbp"] < 2 * more["npv_gbp"]


def test_the_table_and_the_facts_say_the_same_and_hold_every_measure(comparison):
    facts = comparison.facts()
    assert [case["name"] for case in facts["cases"]][0] == SURVEYED  # noqa: RUF015
    for case in facts["cases"]:
        for name in MEASURES:
            shown = comparison.table.loc[name, case["name"]]
            assert case[name] == shown or (case[name] is None and math.isnan(shown))
    json.dumps(facts, allow_nan=False)


def test_more_panels_for_nothing_are_remarked_on(study):
    more = compare(study, [Scenario(name="two more", changes={"array.main.count": 8})])
    assert "'two more' has more panels at no higher price" in more.notes[0]


def test_another_span_is_remarked_on(study):
    other = compare(study, [Scenario(name="short", changes={"finance.years": 15})])
    assert "counts 15 years" in other.notes[0]


def test_extra_items_need_a_quotation():
    site = load_site("bungalow_extension")
    bare = Study(site).change({"costs.items": None}).site
    extra = Scenario(name="a", extra_items=({"name": "b", "gbp": 5.0},))
    with pytest.raises(InputError, match="no quotation"):
        apply(bare, extra)


def test_the_text_shows_every_case_and_the_cautions(comparison):
    text = comparison_text(comparison)
    for word in (
        SURVEYED,
        "without the diverter",
        "Net present value",
        "not a promise",
        "cautious",
    ):
        assert word in text
    assert "nan" not in text
    assert "None" not in text


def test_a_scenario_is_kept_as_it_was_and_read_back(tmp_path):
    file = tmp_path / "kept.toml"
    first = scenario_of("one", {"array.main.count": 8, "array.main.rows": None, "home.day": "out"})
    awkward = Scenario(
        name='quotes " and \\ and £ = + @',
        note="two\nlines",
        changes={"costs.items": [{"name": "a", "gbp": 1.5}], "array.main.optimisers": True},
    )
    save_scenario(file, first)
    save_scenario(file, awkward)
    assert load_scenarios(file) == (first, awkward)
    assert first.remove == ("array.main.rows",)
    with pytest.raises(InputError, match="there already"):
        save_scenario(file, first)
    assert len(load_scenarios(file)) == 2


def test_saving_keeps_what_else_stands_in_the_file(tmp_path):
    file = tmp_path / "kept.toml"
    file.write_text("# my own remark\n" + GOOD, encoding="utf-8")
    save_scenario(file, scenario_of("third", {"home.day": "in"}))
    text = file.read_text(encoding="utf-8")
    assert text.startswith("# my own remark\n" + GOOD.rstrip())
    assert text.endswith(scenario_text(scenario_of("third", {"home.day": "in"})))


def test_a_scenario_cannot_be_added_to_another_kind_of_file(tmp_path):
    file = tmp_path / "site.toml"
    file.write_text('[site]\nname = "a"\n', encoding="utf-8")
    with pytest.raises(InputError):
        save_scenario(file, scenario_of("x", {}))
    assert file.read_text(encoding="utf-8") == '[site]\nname = "a"\n'
