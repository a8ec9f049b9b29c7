"""The loss workbook in a real JupyterLab: guesses, causes, ticks and exercises."""

import json

import pytest

from pvkit import Study, load_site
from pvkit.present.exercise_set import offers_exercise, slip_exercise, year_exercise
from pvkit.present.stack_controls import stack_controls
from pvkit.study.lesson import questions

pytestmark = pytest.mark.browser
BOOK = "2_loss_stack.ipynb"
SITE = "chimney_and_birch"
TICKED = "dirt"


@pytest.fixture(scope="module")
def surveyed():
    return Study(load_site(SITE))


@pytest.fixture
def book(open_book, lab_folder):
    """Give the workbook with no guesses made before."""
    (lab_folder / "my_guesses.json").unlink(missing_ok=True)
    opened = open_book(BOOK)
    _meter(opened.page).wait_for(timeout=90_000)
    return opened


def _meter(page):
    return page.get_by_role("status").filter(has_text="a year at the meter")


def _wait_for_meter(page, study):
    page.wait_for_function(
        "text => [...document.querySelectorAll('[role=status]')].some(e =>"
        " e.textContent.includes('at the meter') && e.textContent.startsWith(text))",
        arg=f"{study.estimate().ac_kwh:,.0f} kWh", timeout=20_000,
    )  # fmt: skip


def test_a_guess_shows_the_answer_and_how_far_off_and_is_kept(
    book, surveyed, lab_folder, artefacts
):
    page, asked = book.page, questions(surveyed.estimate())
    field = page.get_by_label("Your guess (%)")
    for number, question in enumerate(asked[:3]):
        page.get_by_text(f"Step {number + 1} of {len(asked)}").wait_for()
        field.fill("-3")
        field.press("Tab")
        page.get_by_role("button", name="Show the answer").click()
        told = page.get_by_role("status").filter(has_text="You guessed -3.0 %")
        told.filter(has_text=f"{question.answer_percent:+.1f} %").wait_for()
        assert question.name.capitalize() in told.inner_text()
        assert f"{abs(question.answer_percent + 3):.1f} points off" in told.inner_text()
    page.screenshot(path=artefacts / "workbook_2_guesses.png")
    kept = json.loads((lab_folder / "my_guesses.json").read_text(encoding="utf-8"))
    assert list(kept["guesses"]) == [question.id for question in asked[:3]]
    assert book.errors == []
    assert book.strangers == []


def test_every_cause_moves_the_stack_to_the_engines_own(book, surveyed, artefacts):
    page = book.page
    _meter(page).scroll_into_view_if_needed()
    page.screenshot(path=artefacts / "workbook_2_stack.png")
    for control in stack_controls(surveyed.site):
        field = page.get_by_label(control.label, exact=True)
        if isinstance(control.surveyed, bool):
            field.click()
            value = not control.surveyed
        elif control.choices:
            value, words = next(c for c in control.choices if c[0] != control.surveyed)
            field.select_option(words)
        else:
            handle = page.get_by_role("slider", name=control.label)
            handle.focus()
            page.keyboard.press("PageUp")
            row = page.locator(".widget-slider", has_text=control.label)
            value = float(row.locator(".widget-readout").inner_text())
        changed = surveyed.change({control.key: control.site_value(value)})
        _wait_for_meter(page, changed)
        row = page.locator(".widget-hbox", has=page.get_by_label(control.label, exact=True)).last
        row.get_by_role("button").click()
        _wait_for_meter(page, surveyed)
    assert book.errors == []


def test_a_ticked_step_is_left_out(book, surveyed, artefacts):
    page = book.page
    page.get_by_label(TICKED, exact=True).click()
    _wait_for_meter(page, surveyed.change({"losses.off": [TICKED]}))
    page.screenshot(path=artefacts / "workbook_2_left_out.png")


@pytest.mark.parametrize("make", [slip_exercise, offers_exercise, year_exercise])
def test_a_wrong_and_a_right_answer_are_both_told(book, artefacts, make):
    page, exercise = book.page, make()
    check = page.locator(".widget-vbox", has=page.get_by_label(exercise.choices[0], exact=True))
    check = check.last
    check.scroll_into_view_if_needed()
    button = check.get_by_role("button", name="Check my answer")
    button.click()
    check.get_by_role("status").filter(has_text="Choose one first.").wait_for()
    wrong = next(choice for choice in exercise.choices if choice != exercise.answer)
    check.get_by_label(wrong, exact=True).check()
    button.click()
    check.get_by_role("status").filter(has_text="Not so.").wait_for()
    check.get_by_label(exercise.answer, exact=True).check()
    button.click()
    check.get_by_role("status").filter(has_text="Right.").wait_for()
    page.screenshot(path=artefacts / f"workbook_2_{make.__name__}.png")


def test_the_summary_sheet_is_written(book, lab_folder):
    page = book.page
    page.get_by_role("button", name="Write the summary sheet").click()
    page.get_by_role("status").filter(has_text="Written:").wait_for()
    assert "what I guessed" in (lab_folder / "my_losses.html").read_text(encoding="utf-8")


def test_nothing_scrolls_sideways_or_is_cut_in_either_theme(book, artefacts, looks_whole):
    looks_whole(book.page, _meter(book.page), artefacts / "workbook_2_dark.png")
