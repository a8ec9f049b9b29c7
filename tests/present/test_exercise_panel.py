"""The exercises: right and wrong answers both tried, and the right one is the engine's own."""

import re

import pytest

from pvkit import Study, load_site
from pvkit.present.exercise_panel import CHOOSE_FIRST, ExercisePanel
from pvkit.present.exercise_set import offers_exercise, slip_exercise, year_exercise
from pvkit.present.guess_book import GuessBook
from pvkit.present.lesson_panel import LessonPanel
from pvkit.present.page_panel import PagePanel

MAKERS = {"slip": slip_exercise, "offers": offers_exercise, "year": year_exercise}


@pytest.fixture(scope="module")
def exercises():
    return {name: make() for name, make in MAKERS.items()}


@pytest.mark.parametrize("name", MAKERS)
def test_the_right_answer_is_right_and_every_other_is_wrong(exercises, name):
    exercise, book = exercises[name], GuessBook()
    panel = ExercisePanel(exercise, book)
    for choice in exercise.choices:
        if choice != exercise.answer:
            assert panel.answer(choice).startswith("Not so.")
            assert book.exercises == {exercise.name: False}
            assert "Not so." in panel._verdict.value
    assert panel.answer(exercise.answer).startswith("Right.")
    assert book.exercises == {exercise.name: True}
    assert panel.say().endswith("answered.")


def test_nothing_is_marked_before_something_is_chosen(exercises):
    panel = ExercisePanel(exercises["offers"])
    panel._check.click()
    assert CHOOSE_FIRST in panel._verdict.value
    assert panel.book.exercises == {}


def test_only_the_planted_slip_put_right_gives_the_true_yield(exercises):
    """Recomputed here from a site that never held the slip."""
    exercise = exercises["slip"]
    odd = {"cables.dc_length_m": 31.0, "site.altitude_m": 4.0, "home.yearly_kwh": 9800.0,
           "losses.soiling_fraction": 0.04}  # fmt: skip
    true_kwh = Study(load_site("south_family_home")).change(odd).estimate().ac_kwh
    made = {choice: _first_kwh(words) for choice, words in exercise.why.items()}
    assert [c for c, kwh in made.items() if abs(kwh - true_kwh) < 1] == [exercise.answer]
    assert exercise.answer == "the roof faces (degrees from north)"


def _first_kwh(words: str) -> float:
    return float(re.search(r"([\d,]+) kWh", words)[1].replace(",", ""))


def test_the_better_offer_is_that_of_two_estimates(exercises):
    study = Study(load_site("chimney_and_birch"))
    plain = study.estimate()
    items = [item.model_dump() for item in plain.site.costs.items]
    items.append({"name": "optimisers", "gbp": 450.0})
    fitted = study.change({"array.main.optimisers": True, "costs.items": items}).estimate()
    better = "an optimiser on each panel" if fitted.npv_gbp > plain.npv_gbp else "the plain string"
    assert exercises["offers"].answer == better


def test_the_answer_is_folded_away_in_the_saved_twin(exercises):
    html = ExercisePanel(exercises["year"]).view._repr_mimebundle_()["text/html"]
    before, folded = html.split("<details", 1)
    assert f"<b>{exercises['year'].answer}.</b>" in folded
    assert "<b>" not in before


def test_the_lessons_summary_names_the_exercises_answered(exercises, tmp_path):
    lesson = LessonPanel("chimney_and_birch", tmp_path / "book.json")
    ExercisePanel(exercises["slip"], lesson.book).answer(exercises["slip"].answer)
    wrong = next(c for c in exercises["year"].choices if c != exercises["year"].answer)
    ExercisePanel(exercises["year"], lesson.book).answer(wrong)
    page = PagePanel("Write", lesson.summary, tmp_path / "sheet.html")
    page.write()
    text = (tmp_path / "sheet.html").read_text(encoding="utf-8")
    assert "A slip in a survey: answered" in text
    assert "A measured year: not yet" in text
    assert str(tmp_path / "sheet.html") in page._told.value


def test_a_page_that_cannot_be_written_is_explained(tmp_path):
    page = PagePanel("Write", lambda: "page", tmp_path / "nowhere" / "sheet.html")
    page.write()
    assert "role='alert'" in page._told.value
