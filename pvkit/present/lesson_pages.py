"""The lesson's pieces of HTML, and the sheet to print for the mentor."""

from collections.abc import Mapping
from html import escape

from markupsafe import Markup

from pvkit.present.guess_book import Guess, GuessBook
from pvkit.present.templates_folder import environment, template_text
from pvkit.study.lesson import Question

_CELL = "text-align:right;padding:0 6px"
_NAME = "text-align:left;font-weight:400"
_INK = "color:var(--jp-ui-font-color1);line-height:1.4"


def figure_html(question: Question | None, asked: Mapping[str, str], title: str) -> str:
    """Show what is asked now."""
    if question is None:
        return f"<div style='{_INK}'><b>All steps are guessed.</b> Print the summary below.</div>"
    return (
        f"<div style='{_INK}'><b>{title}: {escape(question.name)}</b><br>"
        f"{question.before_kwh:,.0f} kWh are left. {escape(asked[question.id])}</div>"
    )


def progress_html(asked: Mapping[str, Question], guesses: Mapping[str, Guess]) -> str:
    """Show guesses beside answers, as far as they go."""
    rows = "".join(
        f"<tr><th scope='row' style='{_NAME}'>{escape(asked[step].name)}</th>"
        f"<td style='{_CELL}'>{guess.guess_percent:+.1f}</td>"
        f"<td style='{_CELL}'>{guess.answer_percent:+.1f}</td>"
        f"<td style='{_CELL}'>{guess.off_points:.1f}</td></tr>"
        for step, guess in guesses.items()
        if step in asked
    )
    if not rows:
        return ""
    return (
        f"<table style='font-size:.9em;{_INK}'><caption style='text-align:left'>So far</caption>"
        f"<thead><tr><th></th><th style='{_CELL}'>guess (%)</th><th style='{_CELL}'>is (%)</th>"
        f"<th style='{_CELL}'>off (points)</th></tr></thead><tbody>{rows}</tbody></table>"
    )


def summary_html(site: str, asked: Mapping[str, Question], book: GuessBook) -> str:
    """Write the summary sheet.

    Parameters
    ----------
    site : the site's name
    asked : the lesson's steps
    book : guesses and exercises

    Returns
    -------
    a whole HTML page for one sheet of A4
    """
    guesses = [(asked[step], guess) for step, guess in book.guesses.items() if step in asked]
    off = [guess.off_points for _, guess in guesses]
    page = environment().get_template("lesson_summary.html.j2")
    return page.render(
        style=Markup(template_text("report.css")),
        site=site,
        guesses=guesses,
        total=len(asked),
        mean=sum(off) / len(off) if off else None,
        exercises=book.exercises,
    )
