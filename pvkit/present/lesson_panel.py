"""The lesson on losses: guess each step before it is shown, and see the stack grow."""

from html import escape
from pathlib import Path

import ipywidgets as w

from pvkit.electrical.stack import Step
from pvkit.present.guess_book import Guess, GuessBook
from pvkit.present.lesson_pages import figure_html, progress_html, summary_html
from pvkit.present.lesson_words import ASKED, WHY
from pvkit.present.live import LivePanel, chart_place, two_columns
from pvkit.present.pages import sentence_html
from pvkit.present.pictures import steps_picture
from pvkit.present.rows import LABEL_WIDTH, show_chart
from pvkit.present.screen_charts import picture_json
from pvkit.present.twin import Twin
from pvkit.site.reader import load_site
from pvkit.study.lesson import Question, questions
from pvkit.study.study import Study


class LessonPanel(LivePanel):
    """Guess a step, see the answer, why, and how far off; go on from where one stopped.

    Parameters
    ----------
    site : a sample's name or a site file
    book : the file in which guesses are kept; None keeps them in memory alone

    Examples
    --------
    >>> panel = LessonPanel("chimney_and_birch")
    >>> panel.guess(10.0)
    >>> panel.say()
    'Sample: tiled roof with a chimney and a birch: 1 of 14 steps guessed.'
    """

    def __init__(self, site: str, book: str | Path | None = None) -> None:
        super().__init__()
        self._study = Study(load_site(site))
        self.answer = self._study.estimate()
        self.rows = {}
        self.book = GuessBook() if book is None else GuessBook.open(Path(book))
        self._steps = {question.id: question for question in questions(self.answer)}
        self._title, self._told = w.HTML(), w.HTML()
        self._field = w.BoundedFloatText(
            value=0.0, min=-100.0, max=100.0, step=0.5, description="Your guess (%)",
            tooltip="Your guess in per cent of what was left, below zero for a loss",
            style={"description_width": LABEL_WIDTH}, layout=w.Layout(width="98%"),
        )  # fmt: skip
        self._show = w.Button(description="Show the answer", layout=w.Layout(width="49%"))
        self._again = w.Button(description="Begin again", layout=w.Layout(width="47%"))
        self._show.on_click(lambda _: self._safely(lambda: self.guess(self._field.value)))
        self._again.on_click(lambda _: self._safely(self.begin_again))
        self._progress, self._words = w.HTML(), w.HTML()
        self._chart = chart_place()
        self._draw()

    @property
    def view(self) -> Twin:
        """The panel for a notebook cell: live when run, a table when only opened."""
        buttons = w.HBox([self._show, self._again])
        left = [self._title, self._field, buttons, self._told, self._progress]
        right = [self._message, self._words, self._chart]
        return two_columns(left, right, self._twin, self.say)

    @property
    def next_question(self) -> Question | None:
        """The first step without a guess; None when all are guessed."""
        left = (q for q in self._steps.values() if q.id not in self.book.guesses)
        return next(left, None)

    def guess(self, percent: float) -> None:
        """Guess the step that is asked, as a trainee would, and show its answer."""
        question = self.next_question
        if question is not None:
            self.book.guess(Guess(question.id, percent, question.answer_percent))
        self._field.value = 0.0
        self._draw()

    def begin_again(self) -> None:
        """Take all guesses out."""
        self.book.begin_again()
        self._draw()

    def say(self) -> str:
        """Give the state of the lesson in one line."""
        done = len([q for q in self._steps if q in self.book.guesses])
        return f"{self.answer.site.site.name}: {done} of {len(self._steps)} steps guessed."

    def summary(self) -> str:
        """Give the summary sheet for the mentor, a page to print."""
        return summary_html(self.answer.site.site.name, self._steps, self.book)

    def _draw(self) -> None:
        question, guesses = self.next_question, self.book.guesses
        number = list(self._steps).index(question.id) + 1 if question else len(self._steps)
        self._title.value = figure_html(question, ASKED, f"Step {number} of {len(self._steps)}")
        self._show.disabled = self._field.disabled = question is None
        self._told.value = self._answer_html()
        self._progress.value = progress_html(self._steps, guesses)
        picture = steps_picture(self._seen(number if question is None else number - 1))
        self._words.value = sentence_html(picture.answer)
        show_chart(self._chart, picture_json(picture))
        self._message.value = ""

    def _seen(self, count: int) -> tuple[Step, ...]:
        """Give the stack as far as it has been guessed."""
        return self.answer.stages.output.stack[: count + 1]

    def _answer_html(self) -> str:
        last = next(reversed(self.book.guesses.values()), None)
        if last is None or last.step not in self._steps:
            return ""
        question = self._steps[last.step]
        return (
            "<div role='status' aria-live='polite' style='line-height:1.4;"
            "color:var(--jp-ui-font-color1)'>"
            f"<b>{escape(question.name.capitalize())}: {question.answer_percent:+.1f} %</b> of "
            f"{question.before_kwh:,.0f} kWh, so {question.after_kwh:,.0f} kWh are left. You "
            f"guessed {last.guess_percent:+.1f} %. {escape(last.say())} "
            f"{escape(WHY[question.id])}</div>"
        )

    def _twin(self) -> str:
        return (
            f"<p>{escape(self.say())}</p>{progress_html(self._steps, self.book.guesses)}"
            "<p><b>To use the controls: Run &gt; Run All Cells.</b></p>"
        )
