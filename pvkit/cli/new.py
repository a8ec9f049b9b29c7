"""``pvkit new``: from survey to site file by questions; ``pvkit sheet`` and ``pvkit fields``."""

from pathlib import Path
from typing import Annotated, Any

import typer
from rich.console import Console

from pvkit.cli.say import say
from pvkit.errors import Fault, InputError
from pvkit.present.field_guide import field_guide
from pvkit.present.files import write_text
from pvkit.present.survey_sheet import survey_sheet_html
from pvkit.site.new_site import faults_of_answer, read_answer, site_text
from pvkit.site.questions import SECTIONS, Question, makes_sense


def new_command(
    out: Annotated[Path, typer.Argument(metavar="FILE", help="The site file to write (.toml).")],
    over: Annotated[bool, typer.Option("--over", help="Write over a file that is there.")] = False,
) -> None:
    """Ask the survey's questions one by one and write a site file.

    Each answer is checked as it is given. Press Enter to leave one out; Ctrl+C stops and writes
    nothing.

    Example: pvkit new my_first_site.toml
    """
    if out.suffix != ".toml":
        raise InputError(Fault(str(out), "found another ending", ".toml", "name it my_site.toml"))
    if out.exists() and not over:
        fault = Fault(str(out), "it is there already", "a new name", "choose another, or --over")
        raise InputError(fault)
    answers: dict[str, Any] = {}
    for title, questions in SECTIONS:
        say(f"\n{title}")
        for question in questions:
            if makes_sense(question, answers):
                _ask(question, answers)
    write_text(out, site_text(answers))
    say(f"\nSite file written: {out.resolve()}")
    say(f"Next: pvkit report {out} -o report.html")


def _ask(question: Question, answers: dict[str, Any]) -> None:
    while True:
        typed = typer.prompt(
            f"  {question.words} ({question.hint})", default="", show_default=False
        )
        value = read_answer(question, typed)
        faults = faults_of_answer(question, value, answers)
        if not faults:
            break
        for fault in faults:
            Console(stderr=True, highlight=False, markup=False).print(
                f"    {fault.found}. Allowed: {fault.allowed}. Fix: {fault.fix}."
            )
    if value is not None:
        answers[question.key] = value


def sheet_command(
    out: Annotated[Path, typer.Option("-o", "--out", help="The sheet's file name (.html).")],
) -> None:
    """Write the survey sheet, to print on A4 and fill in on site.

    Example: pvkit sheet -o survey_sheet.html
    """
    write_text(out, survey_sheet_html())
    say(f"Survey sheet written: {out.resolve()}")


def fields_command(
    out: Annotated[Path | None, typer.Option("-o", "--out", help="Write to this file.")] = None,
) -> None:
    """List every key of a site file: what may stand there, its default and where that is from.

    Example: pvkit fields
    """
    say(field_guide().rstrip(), out)
