"""The lesson's panels: guesses show answers, ticks and causes move the stack as the engine says."""

import pytest

from pvkit import Study, load_site
from pvkit.present.lesson_panel import LessonPanel
from pvkit.present.stack_panel import StackPanel

SITE = "chimney_and_birch"


def test_a_lesson_goes_on_where_it_stopped(tmp_path):
    path = tmp_path / "book.json"
    first = LessonPanel(SITE, path)
    first.guess(10.0)
    first.guess(-5.0)
    again = LessonPanel(SITE, path)
    assert again.next_question.id == first.next_question.id
    assert "2 of 14" in again.say()
    again.begin_again()
    assert LessonPanel(SITE, path).next_question.id == "plane"


def test_after_the_last_step_the_summary_holds_every_guess():
    panel = LessonPanel(SITE)
    while panel.next_question is not None:
        panel.guess(-1.0)
    page = panel.summary()
    assert page.count("-1.0") >= 14
    assert "reflected off the glass" in page


@pytest.mark.parametrize(
    ("key", "value", "change"),
    [
        ("losses.soiling_fraction", 8.0, {"losses.soiling_fraction": 0.08}),
        ("array.main.mounting", "in-roof", {"array.main.mounting": "in-roof"}),
        ("cables.dc_mm2", 1.5, {"cables.dc_mm2": 1.5}),
        ("inverter.part", "single-phase-2000", {"inverter.part": "single-phase-2000"}),
        ("losses.tracker_stuck", True, {"losses.tracker_stuck": True}),
    ],
)
def test_a_cause_moves_the_stack_to_the_engines_figure(key, value, change):
    panel = StackPanel(SITE)
    panel.set(key, value)
    alone = Study(load_site(SITE)).change(change).estimate()
    assert panel.answer.ac_kwh == alone.ac_kwh
    assert alone.ac_kwh < Study(load_site(SITE)).estimate().ac_kwh


def test_ticking_every_step_leaves_the_light_on_the_plane():
    panel = StackPanel(SITE)
    for step in panel.answer.stages.output.stack[2:-1]:
        panel.leave_out(step.id)
    stack = panel.answer.stages.output.stack
    assert panel.answer.ac_kwh == pytest.approx(stack[1].remaining_kwh, rel=1e-12)


@pytest.mark.parametrize("site", ["chimney_and_birch", "bungalow_extension"])
def test_every_way_to_hold_panels_that_is_offered_suits_the_roof(site):
    panel = StackPanel(site)
    field = panel.rows["array.main.mounting"].field
    made = set()
    for _, held in field.options:
        field.value = held
        assert panel._message.value == ""
        made.add(panel.answer.ac_kwh)
    assert len(made) == len(field.options)
