"""An exercise with a choice, a button that checks it, and the answer folded away."""

from html import escape

import ipywidgets as w

from pvkit.present.exercise_set import Exercise
from pvkit.present.guess_book import GuessBook
from pvkit.present.rows import Labeller
from pvkit.present.twin import Twin

_INK = "color:var(--jp-ui-font-color1);line-height:1.4"
CHOOSE_FIRST = "Choose one first."


class ExercisePanel:
    """Choose, check, try again; whether it was right goes into the trainee's book.

    Parameters
    ----------
    exercise : what is asked, with its answer from the engine
    book : where it is marked; None marks it nowhere

    Examples
    --------
    >>> one = Exercise("Sums", "2 + 2?", "", ("3", "4"), "4", {"3": "Too few.", "4": "Yes."})
    >>> panel = ExercisePanel(one)
    >>> panel.answer("3")
    'Not so. Too few.'
    >>> panel.answer("4")
    'Right. Yes.'
    """

    def __init__(self, exercise: Exercise, book: GuessBook | None = None) -> None:
        self.exercise = exercise
        self.book = GuessBook() if book is None else book
        self._choice = w.RadioButtons(
            options=list(exercise.choices), value=None, layout=w.Layout(width="auto")
        )
        self._check = w.Button(description="Check my answer", layout=w.Layout(width="160px"))
        self._check.on_click(lambda _: self._checked())
        self._verdict = w.HTML()

    @property
    def view(self) -> Twin:
        """The exercise for a notebook cell: live when run, question and answer when only opened."""
        parts = [w.HTML(self._asked()), self._choice, self._check, self._verdict,
                 w.HTML(self._folded())]  # fmt: skip
        return Twin(w.VBox([Labeller(), *parts]), self._twin, self.say)

    def answer(self, choice: str) -> str:
        """Choose and check, as a trainee would; give what is said to it."""
        self._choice.value = choice
        self._check.click()
        return self._said(choice)

    def say(self) -> str:
        """Give the state of the exercise in one line."""
        state = "answered" if self.book.exercises.get(self.exercise.name) else "not answered yet"
        return f"{self.exercise.name}: {state}."

    def _checked(self) -> None:
        choice = self._choice.value
        if choice is None:
            self._show(CHOOSE_FIRST)
            return
        self.book.mark(self.exercise.name, right=choice == self.exercise.answer)
        self._show(self._said(choice))

    def _said(self, choice: str) -> str:
        word = "Right." if choice == self.exercise.answer else "Not so."
        return f"{word} {self.exercise.why[choice]}"

    def _show(self, words: str) -> None:
        self._verdict.value = (
            f"<div role='status' aria-live='polite' style='{_INK}'><b>{escape(words)}</b></div>"
        )

    def _asked(self) -> str:
        return (
            f"<p style='{_INK};margin:2px 0'>{escape(self.exercise.asks)}</p>{self.exercise.table}"
        )

    def _folded(self) -> str:
        answer = self.exercise.answer
        return (
            f"<details style='{_INK}'><summary>Show the answer</summary><b>{escape(answer)}.</b> "
            f"{escape(self.exercise.why[answer])}</details>"
        )

    def _twin(self) -> str:
        items = "".join(f"<li>{escape(choice)}</li>" for choice in self.exercise.choices)
        return (
            f"{self._asked()}<ul>{items}</ul>{self._folded()}"
            "<p><b>To answer: Run &gt; Run All Cells.</b></p>"
        )
