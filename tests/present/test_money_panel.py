"""The money panel without a browser: every control moves what it says, nothing is missing."""

import re

import pytest

from pvkit import Study, load_site
from pvkit.present.doubt_pictures import COMPARE, SURE, compare_picture, sure_picture
from pvkit.present.money_controls import doubt_changes, money_changes, money_controls
from pvkit.present.money_pages import money_headlines, money_likely
from pvkit.present.money_panel import NOW, MoneyPanel
from pvkit.present.money_pictures import SWAY, of_the_year_picture, sway_picture
from pvkit.present.money_views import MONEY_PICTURES, QUESTIONS, drawn_html, drawn_json
from pvkit.present.picture import Smalls
from pvkit.present.rows import PLOTLY
from pvkit.site.samples import samples_folder
from pvkit.study.comparison import compare
from pvkit.study.scenarios import load_scenarios

SITE = "bungalow_extension"
CHOICES = samples_folder() / "scenarios" / "bungalow_choices.toml"
NO_FIGURES = re.compile(r"\b(?:nan|NaN|None|inf|Infinity|undefined|not available)\b")
MOVES = {
    "tariff.import_gbp_per_kwh": 31.0,
    "tariff.export_gbp_per_kwh": 0.0,
    "tariff.gas_gbp_per_kwh": 9.5,
    "tariff.import_change_per_year": 2.0,
    "tariff.export_change_per_year": -3.0,
    "tariff.gas_change_per_year": 1.0,
    "finance.discount_rate": 6.0,
    "finance.degradation_per_year": 1.2,
    "finance.inflation_per_year": 4.0,
    "carbon.grid_path": "monthly",
    "carbon.grid_fall_per_year": 3.0,
}


@pytest.fixture(scope="module")
def panel():
    return MoneyPanel(SITE, CHOICES)


@pytest.fixture(autouse=True)
def _as_surveyed(request):
    yield
    if "panel" in request.fixturenames:
        found = request.getfixturevalue("panel")
        for row in found.rows.values():
            row.reset()
        for tick in found.doubts.values():
            tick.value = True


@pytest.fixture(scope="module")
def study():
    return Study(load_site(SITE))


def _chart(panel):
    return panel._chart.outputs[0]["data"][PLOTLY]


@pytest.mark.parametrize("key", MOVES)
def test_a_moved_control_gives_the_engines_answer(panel, study, key):
    control = panel.rows[key].control
    panel.set(key, MOVES[key])
    expected = study.change({key: control.site_value(MOVES[key])}).estimate()
    for head in money_headlines(expected):
        assert head.figure in panel._figures.value
    assert panel.answer.npv_gbp == pytest.approx(expected.npv_gbp, rel=1e-12)
    panel.rows[key].reset()
    assert panel.answer.npv_gbp == pytest.approx(study.estimate().npv_gbp, rel=1e-12)


def test_the_loan_comes_and_goes_as_a_whole(panel, study):
    assert panel.answer.loan is None
    panel.set("loan.apr", 12.0)
    assert panel.answer.loan is None
    panel.set("loan", True)
    panel.set("loan.deposit_gbp", 1000.0)
    loan = {"deposit_gbp": 1000.0, "apr": 0.12, "years": 5}
    expected = study.change({"loan": loan}).estimate().loan
    assert panel.answer.loan.npv_gbp == pytest.approx(expected.npv_gbp, rel=1e-12)
    assert "a month" in panel._sentence.value
    panel.set("loan", False)
    assert panel.answer.loan is None


def test_a_site_with_a_loan_starts_with_it_and_can_go_without():
    lent = Study(load_site(SITE)).change(
        {"loan": {"deposit_gbp": 500.0, "apr": 0.05, "years": 7}}
    ).site  # fmt: skip
    every = [c for group in money_controls(lent).values() for c in group]
    stands = {control: control.surveyed for control in every}
    assert money_changes(stands, lent) == {}
    tick = next(control for control in every if control.key == "loan")
    assert money_changes(stands | {tick: False}, lent) == {"loan": None}


def test_ranges_follow_when_it_rests_and_are_remembered(panel):
    panel.set("tariff.import_gbp_per_kwh", 28.0)
    assert "aria-busy='true'" in panel._figures.value
    panel.settle()
    assert "aria-busy" not in panel._figures.value
    for words in money_likely(panel.answer):
        assert words in panel._figures.value
    panel.rows["tariff.import_gbp_per_kwh"].reset()
    panel.settle()
    panel.set("tariff.import_gbp_per_kwh", 28.0)
    assert "aria-busy" not in panel._figures.value


def test_a_doubt_left_out_narrows_the_worth_and_moves_no_estimate(panel, study):
    before = panel.answer
    panel.doubts["price_drift"].value = False
    after = panel.answer
    assert after.npv_gbp == pytest.approx(before.npv_gbp, rel=1e-12)
    wide, narrow = (e.ranges.npv_gbp.p10 - e.ranges.npv_gbp.p90 for e in (before, after))
    assert narrow < wide
    calm = study.change({"doubt.price_drift_per_year": 0.0}).estimate()
    assert after.ranges.npv_gbp == calm.ranges.npv_gbp


def test_with_every_doubt_left_out_the_middle_is_the_estimate(panel):
    for tick in panel.doubts.values():
        tick.value = False
    panel.picture.value = SWAY
    panel.settle()
    found = panel.answer.ranges
    assert found.npv_gbp.p90 == pytest.approx(panel.answer.npv_gbp, rel=1e-9)
    assert sway_picture(panel.answer).answer.startswith("No doubt is counted")
    assert len(_chart(panel)["data"][0]["y"]) == 1


def test_a_doubt_that_the_survey_left_out_can_be_counted_again(study):
    calm = study.change({"doubt.sun_fraction": 0.0}).site
    assert doubt_changes({"sun": True}, calm) == {"doubt.sun_fraction": None}
    assert doubt_changes({"sun": False}, calm) == {}


@pytest.mark.parametrize("question", QUESTIONS)
def test_every_picture_is_drawn_and_stands_in_the_saved_page(panel, question):
    panel.set("tariff.export_gbp_per_kwh", 12.0)
    panel.picture.value = question
    panel.settle()
    assert _chart(panel)["data"]
    html = panel.view._repr_mimebundle_()["text/html"]
    assert money_headlines(panel.answer)[0].figure in html
    assert NO_FIGURES.findall(html + panel._table.value) == []


def test_the_comparison_holds_surveyed_current_and_the_files_cases(panel, study):
    panel.set("tariff.export_gbp_per_kwh", 12.0)
    panel.picture.value = COMPARE
    panel.settle()
    found = panel.comparison()
    names = [scenario.name for scenario in load_scenarios(CHOICES)]
    assert [column.name for column in found.columns] == ["as surveyed", NOW, *names]
    dearer = compare(study, load_scenarios(CHOICES)).table["a better export price"]
    assert found.table[NOW].to_numpy() == pytest.approx(dearer.to_numpy(), rel=1e-12, nan_ok=True)
    assert "without the diverter" in panel._table.value


def test_without_a_file_or_a_move_it_says_that_there_is_nothing_to_compare():
    alone = MoneyPanel("south_family_home")
    assert compare_picture(alone.comparison()).answer.startswith("There is nothing to compare")


def test_bars_of_cases_have_no_dash_for_a_pattern(study):
    case = load_scenarios(CHOICES)[0]
    many = [case.model_copy(update={"name": f"case {n}"}) for n in range(8)]
    assert drawn_json(compare_picture(compare(study, many)))["data"]


def test_how_sure_it_is_shows_the_sampled_ranges(study):
    answer = study.estimate()
    picture = sure_picture(answer)
    found = answer.ranges
    for chart, each in zip(
        picture.charts,
        (found.yield_kwh, found.saving_gbp, found.payback_years, found.npv_gbp),
        strict=True,
    ):
        assert chart.values == (each.p90, each.p50, each.p10)
    assert picture.charts[2].said[0] == "not within<br>the years"
    assert "not within the years" in drawn_html(picture)


def test_what_moves_the_answer_most_comes_first(study):
    picture = sway_picture(study.estimate())
    widths = [high - low for low, high in zip(picture.low, picture.high, strict=True)]
    assert picture.labels[0] == "everything below together"
    assert widths == sorted(widths, reverse=True)


def test_pounds_of_each_year_end_where_the_nominal_table_does(study):
    answer = study.estimate()
    nominal, real = of_the_year_picture(answer).series
    assert nominal.values[-1] == pytest.approx(
        answer.cash_nominal["cumulative_gbp"].iloc[-1], abs=0.05
    )
    assert real.values[-1] == pytest.approx(answer.cash["cumulative_gbp"].iloc[-1], abs=0.05)


@pytest.mark.parametrize(
    "change",
    [
        {"tariff.export_gbp_per_kwh": 0.0},
        {"tariff.import_gbp_per_kwh": 0.0, "tariff.export_gbp_per_kwh": 0.0},
        {"hot_water": None},
        {"finance.years": 40},
        {"finance.years": 1, "costs.replacements": []},
        {"finance.discount_rate": 0.3},
    ],
    ids=lambda change: " ".join(change),
)
def test_an_odd_site_has_every_picture_and_no_missing_figure(study, change):
    odd = study.change(change).estimate()
    said = " ".join(
        f"{head.figure} {head.note} {words}"
        for head, words in zip(money_headlines(odd), money_likely(odd), strict=True)
    )
    for make in MONEY_PICTURES.values():
        picture = make(odd)
        assert drawn_json(picture)["data"]
        said += picture.answer
        said += drawn_html(picture) if isinstance(picture, Smalls) else ""
    assert NO_FIGURES.findall(said) == []


def test_a_case_is_saved_only_with_a_move_a_name_and_a_toml_file(panel, tmp_path):
    file = tmp_path / "our chöices.toml"
    panel.saving.file.value = str(tmp_path / "choices.txt")
    panel.saving.save()
    for said in ("move a control", "write a name", "a name in .toml"):
        assert said in panel.saving.said.value
    panel.saving.file.value, panel.saving.name.value = str(file), '=cmd|"a" & <b>'
    panel.set("loan", True)
    panel.set("tariff.export_gbp_per_kwh", 11.5)
    panel.saving.save()
    assert "role='status'" in panel.saving.said.value
    assert "<b>" not in panel.saving.said.value.replace("<b>Please", "")
    scenario = load_scenarios(file)[0]
    assert scenario.name == '=cmd|"a" & <b>'
    case = compare(Study(load_site(SITE)), [scenario]).columns[1]
    assert case.figures["npv_gbp"] == pytest.approx(panel.answer.npv_gbp, rel=1e-12)
    assert case.estimate.loan is not None
    panel.saving.save()
    assert "a new name" in panel.saving.said.value


def test_a_file_that_is_no_scenario_file_is_left_alone(panel, tmp_path):
    file = tmp_path / "site.toml"
    file.write_text("[site]\nname = 'mine'\n", encoding="utf-8")
    panel.saving.file.value, panel.saving.name.value = str(file), "a"
    panel.set("tariff.export_gbp_per_kwh", 11.5)
    panel.saving.save()
    assert "role='alert'" in panel.saving.said.value
    assert file.read_text(encoding="utf-8") == "[site]\nname = 'mine'\n"


def test_the_first_picture_after_sure_is_drawn_at_once(panel):
    panel.picture.value = SURE
    panel.settle()
    panel.picture.value = QUESTIONS[0]
    assert _chart(panel)["data"][0]["name"] == "in hand"
