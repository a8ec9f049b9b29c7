"""The flat roof's panel without a browser: every control, every picture, the engine's figures."""

import html
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from pvkit import Study, load_site
from pvkit.errors import InputError
from pvkit.present.roof_controls import (
    asked_covering,
    hold_controls,
    holding_keys,
    layout_controls,
    wind_controls,
)
from pvkit.present.roof_panel import SEARCHING, FlatRoofPanel
from pvkit.present.roof_pictures import ROOF_PICTURES
from pvkit.roof.ballast_plan import ballast_plan
from pvkit.site.samples import sample_path
from pvkit.study.changes import changed
from pvkit.study.covering import surveyed_covering
from pvkit.study.layout_choice import layout_choices
from pvkit.study.roof_case import roof_case

SITE, ROOF = "flat_roof_garage", "garage"
WHERE, HOLDS, TRADE, DECIDES = ROOF_PICTURES


@pytest.fixture(scope="module")
def whole():
    return FlatRoofPanel(SITE)


@pytest.fixture(scope="module")
def study():
    """Apart from the panel's own, so that nothing is remembered from one to the other."""
    return Study(load_site(SITE))


@pytest.fixture
def panel(whole):
    yield whole
    for row in whole.rows.values():
        row.reset()
    whole._source.value = ""
    whole._question.value = WHERE
    whole._under.value = "under each panel"
    assert "as surveyed" in whole._words.value


def texts(markup):
    return html.unescape(re.sub(r"<[^>]+>", " ", markup))


def test_it_starts_with_the_surveyed_roof(panel, study):
    plan = ballast_plan(load_site(SITE), "garage")
    kwh = study.estimate().ac_kwh
    for words in (f"{kwh:,.0f} kWh", f"{plan.blocks * plan.block_kg:,.0f} kg",
                  f"{plan.load.local_kg_per_m2:.0f} kg/m²",
                  f"{plan.load.local_kn_per_m2:.2f} kN/m²; allowance 1.00 kN/m²",
                  "Ask a structural engineer, with these figures"):  # fmt: skip
        assert words in texts(panel._figures.value)
        assert words in panel.say()


@pytest.mark.parametrize(
    ("key", "value", "changes"),
    [
        ("basic_m_per_s", 26.0, {"wind.basic_m_per_s": 26.0}),
        ("sea_km", "5", {"wind.sea_km": 5.0}),
        ("sea_km", "unknown", {"wind.sea_km": None}),
        ("coefficient", "cautious",
         {"array.garage.pressure_coefficient": None, "array.garage.pressure_source": None}),
        ("tied", False, {"array.garage.tied": False}),
        ("closed_back", False, {"array.garage.closed_back": False}),
        ("surface", "unknown", {"roof.garage.membrane": None}),
        ("surface", "single-ply", {"roof.garage.membrane": "single-ply"}),
        ("wet", False, {"ballast.wet": False}),
        ("block_kg", 25.0, {"ballast.block_kg": 25.0}),
        ("allowance", "0.5", {"roof.garage.allowance_kn_per_m2": 0.5}),
        ("allowance", "unknown", {"roof.garage.allowance_kn_per_m2": None}),
    ],
)  # fmt: skip
def test_a_moved_control_of_wind_or_ballast_gives_the_engines_plan(panel, key, value, changes):
    before = panel._study.store.runs.copy()
    panel.set(key, value)
    assert panel.case.hold.plans == (ballast_plan(changed(load_site(SITE), changes), "garage"),)
    assert panel._study.store.runs == before  # no search, no estimate


def test_measured_friction_counts_once_it_is_picked(panel):
    panel.set("friction", 0.5)
    assert panel.case.hold.plans[0].friction.value == 0.375
    assert "Friction" not in panel._words.value
    panel.set("surface", "measured")
    plan = ballast_plan(changed(load_site(SITE), {"roof.garage.friction": 0.5}), "garage")
    assert panel.case.hold.plans == (plan,)


def test_a_coefficient_of_ones_own_asks_for_its_source_and_then_counts(panel):
    panel.set("coefficient", "own")
    panel.set("own_coefficient", -0.45)
    assert panel.case is None
    assert "role='alert'" in panel._message.value
    assert "Its source" in panel._message.value
    assert "kWh" not in panel._figures.value
    panel._source.value = "report of a test"
    plan = panel.case.hold.plans[0]
    assert (plan.coefficient.value, plan.coefficient.source) == (-0.45, "report of a test")
    assert panel._message.value == ""


def test_a_figure_of_the_tables_is_tried_with_its_kind_beside_it(panel):
    panel.set("coefficient", "as proven in a wind tunnel, low end")
    found = panel.case.hold.plans[0].coefficient
    assert found.value == -0.2
    assert "no maker's report" in found.source
    assert "from memory" in texts(panel._words.value)


@pytest.mark.parametrize(
    ("key", "value", "asked"),
    [
        ("arrangement", "pairs", {"arrangement": "pairs"}),
        ("surface_tilt", 14.0, {"surface_tilt": 14.0}),
        ("surface_azimuth", 182.0, {"surface_azimuth": 182.0}),
        ("spacing", "noon", {"spacing": "noon"}),
        ("limit_deg", 20.0, {"limit_deg": 20.0}),
        ("how_many", "fit", {"count": None}),
        ("count", 7, {"count": 7}),
        ("margin_m", 0.8, {"margin_m": 0.8}),
    ],
)
def test_a_moved_control_of_the_layout_gives_the_engines_case(panel, study, key, value, asked):
    if key == "margin_m":  # ten no longer fit
        panel.set("how_many", "fit")
        asked = asked | {"count": None}
    panel.set(key, value)
    covering = replace(surveyed_covering(load_site(SITE), ROOF), **asked)
    covering = replace(covering, limit_deg=float(panel.rows["limit_deg"].field.value))
    expected = roof_case(study, ROOF, covering)
    assert panel.case.count == expected.count
    assert panel.case.most == expected.most
    assert panel.case.energy.ac_kwh == pytest.approx(expected.energy.ac_kwh, rel=1e-12)
    assert panel.case.hold.blocks == expected.hold.blocks


def test_a_search_is_announced_and_a_move_of_wind_is_not(panel):
    said = []
    panel._message.observe(lambda change: said.append(change["new"]), "value")
    panel.set("basic_m_per_s", 25.0)
    assert said == []
    panel.set("surface_tilt", 12.0)
    assert SEARCHING in said[0]
    assert panel._message.value == ""


def test_too_many_panels_are_told_with_how_many_fit_and_no_old_figure_stays(panel):
    most = panel.case.most
    panel.set("count", most + 1)
    assert panel.case is None
    assert f"{most} panels" in texts(panel._figures.value)
    assert "kWh" not in texts(panel._figures.value)
    assert panel._drawing.value == panel._words.value == ""
    assert "role='alert'" in panel._message.value
    panel.write_sheet()
    assert "found no case to write" in panel._message.value


def test_wiring_that_does_not_suit_is_told_beside_a_plan_that_still_stands(tmp_path):
    file = tmp_path / "one_tracker.toml"
    sample = sample_path(SITE).read_text(encoding="utf-8")
    file.write_text(sample.replace("single-phase-3680", "single-phase-2500"), encoding="utf-8")
    panel = FlatRoofPanel(str(file))
    panel.set("arrangement", "pairs")
    assert "1 tracker" in panel._message.value
    assert "not worked out" in panel._figures.value
    assert "<svg" in panel._drawing.value


def test_an_allowance_that_is_passed_is_said_in_capitals(panel):
    panel.set("allowance", "0.5")
    assert "OVER the 0.50 allowed" in texts(panel._figures.value)


def test_a_roof_that_lets_all_slide_says_that_no_weight_holds(tmp_path):
    file = tmp_path / "steep.toml"
    sample = sample_path(SITE).read_text(encoding="utf-8")
    file.write_text(sample.replace("tilt_deg = 1.2", "tilt_deg = 5"), encoding="utf-8")
    panel = FlatRoofPanel(str(file))
    panel.set("surface", "measured")
    panel.set("friction", 0.1)
    assert "no weight holds it" in texts(panel._figures.value)
    for question in (HOLDS, DECIDES):
        panel._question.value = question
        assert "No weight holds" in panel._caption.value


@pytest.mark.parametrize("arrangement", ["rows", "pairs"])
def test_the_plans_number_every_panel_and_show_every_block(panel, arrangement):
    panel.set("arrangement", arrangement)
    for under in ("under each panel", "on trays shared by two"):
        panel._under.value = under
        panel._question.value = HOLDS
        root = ET.fromstring(re.search(r"<svg.*</svg>", panel._drawing.value, re.DOTALL)[0])
        words = [node for node in root.iter() if node.tag.endswith("text")]
        numbers = [node.text for node in words if node.get("font-weight") and node.text != "N"]
        said = [node.text for node in words if not node.get("font-weight")]
        hold = panel.case.hold
        if under == "under each panel":
            shown = [int(word.split()[0]) for word in said if word.endswith(("block", "blocks"))]
            assert sum(shown) == hold.blocks
        else:
            boxes = [int(word) for word in said if word.isdigit()]
            assert sum(boxes) == hold.tray_blocks
        assert len(set(numbers)) == len(numbers) == panel.case.count


def test_pictures_are_drawn_on_white_and_charts_on_nothing(panel):
    for question in (WHERE, HOLDS):
        panel._question.value = question
        assert "background:#fff" in panel._drawing.value
        assert panel._chart.layout.display == "none"
    for question in (TRADE, DECIDES):
        panel._question.value = question
        assert panel._drawing.layout.display == "none"
        assert panel._chart.outputs


def figure(panel):
    return next(iter(panel._chart.outputs[0]["data"].values()))


def test_the_trade_shows_the_engines_table(panel, study):
    panel._question.value = TRADE
    table = layout_choices(study, ROOF)
    shown = sorted(y for trace in figure(panel)["data"] for y in trace["y"])
    assert shown == pytest.approx(sorted(table["kwh_per_m2"].round(2)))
    best = table["kwh_per_m2"].max()
    assert f"{best:.0f} kWh/m²" in panel._caption.value


def test_the_coefficients_chart_marks_what_is_taken_and_all_that_is_known(panel):
    panel._question.value = DECIDES
    line, known, taken = figure(panel)["data"]
    plan = panel.case.hold.plans[0]
    assert (taken["x"], taken["y"]) == ([-0.3], [round(plan.inner_kg, 1)])
    assert set(known["x"]) == {float(case.coefficient.value) for case in plan.cases}
    assert line["y"] == sorted(line["y"], reverse=True)
    assert "the coefficient decides everything" in texts(panel._caption.value)


def test_the_papers_are_written_of_the_case_as_it_stands(panel, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    panel.set("basic_m_per_s", 25.0)
    panel.write_sheet()
    assert "engineer.html" in panel._message.value
    page = texts((tmp_path / "engineer.html").read_text(encoding="utf-8"))
    assert "wind of the map 25 m/s (surveyed: 22 m/s)" in page
    plan = panel.case.hold.plans[0]
    assert f"{plan.wind.pressure.peak_pa / 1000:.3f} kPa" in page
    panel.write_plan()
    ET.fromstring((tmp_path / "roof_plan.svg").read_text(encoding="utf-8"))
    panel._plan.value = "plan.png"
    panel.write_plan()
    assert ".svg" in panel._message.value
    panel._plan.value = "roof_plan.svg"


def test_the_cautions_stand_below_with_all_that_the_plan_says(panel):
    said = texts(panel._cautions.value)
    for words in ("indicative and no proof", "not a promise", "registered person",
                  *panel.case.hold.plans[0].sentences):  # fmt: skip
        assert words in said


def test_the_saved_twin_holds_the_figures_and_the_plan(panel):
    twin = panel.view._repr_mimebundle_()
    assert twin["text/plain"] == panel.say()
    assert "1,080 kg" in twin["text/html"]
    assert "data:image/svg+xml;base64," in twin["text/html"]


def test_a_site_that_says_nothing_of_wind_and_holding_has_its_panel_too():
    panel = FlatRoofPanel("bungalow_extension")
    assert panel.rows["coefficient"].field.value == "cautious"
    assert panel.rows["sea_km"].field.value == "unknown"
    panel.set("tied", True)
    panel.set("closed_back", True)
    assert panel.case.hold.plans[0].coefficient.value == -0.5
    assert "no allowance given" in panel._figures.value


def test_a_site_without_a_flat_roof_is_refused_in_words():
    with pytest.raises(InputError, match="no flat roof with an array"):
        FlatRoofPanel("south_family_home")


def test_controls_at_rest_ask_for_nothing():
    site = load_site(SITE)
    every = (*layout_controls(site, ROOF), *wind_controls(site, ROOF), *hold_controls(site, ROOF))
    values = {control.key: control.surveyed for control in every}
    assert holding_keys(site, ROOF, values) == {}
    asked, surveyed = asked_covering(values), surveyed_covering(site, ROOF)
    assert replace(asked, limit_deg=surveyed.limit_deg) == surveyed
    for control in every:  # a slider rounds what is not on its steps, and would seem moved
        if control.step:
            steps = (control.surveyed - control.low) / control.step
            assert steps == pytest.approx(round(steps), abs=1e-6), control.key
