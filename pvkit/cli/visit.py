"""``pvkit visit``: a yearly visit's readings against what the site should have made."""

import datetime
import json
from pathlib import Path
from typing import Annotated

import typer

from pvkit.cli.say import A_ROW_FAILS, JsonOption, OutOption, SiteArgument, say
from pvkit.errors import Fault, InputError
from pvkit.present.files import write_text
from pvkit.present.history import add_record, read_history
from pvkit.present.visit_sheet import visit_html, visit_text
from pvkit.site.reader import load_site
from pvkit.site.visit_readings import load_visit
from pvkit.study.visit import visit
from pvkit.study.visit_earlier import earlier_visits
from pvkit.study.visit_facts import KIND
from pvkit.study.visit_result import Visit


def visit_command(
    site: SiteArgument,
    readings: Annotated[
        Path,
        typer.Option(
            help="Readings file (.toml), a CSV file of months or half-hours, or a sample's name."
        ),
    ],
    as_json: JsonOption = False,
    out: OutOption = None,
    history: Annotated[
        Path | None,
        typer.Option(help="Add the record to this file (.jsonl) and compare with those in it."),
    ] = None,
    installed: Annotated[
        str, typer.Option(help="Beside a CSV file: the day it was switched on, like 2025-04-12.")
    ] = "",
) -> None:
    """Judge a yearly visit's readings and say where to look; end with 1 if a row fails.

    `--out` writes a page to print if its name ends in .html, else what is printed otherwise.

    Example: pvkit visit bungalow_extension --readings bungalow_second_year
    """
    surveyed = load_site(site)
    brought = load_visit(readings, _date(installed, readings))
    known = () if history is None else read_history(history, KIND)
    before = earlier_visits(known, surveyed.site.name, brought.file.visit.date.isoformat())
    found = visit(surveyed, brought, earlier=before)
    added = history is not None and add_record(history, found.facts(), KIND)
    _show(found, out, as_json=as_json)
    if history is not None and not as_json:
        say(f"Record {'added to' if added else 'stood already in'} {history.resolve()}")
    if found.failing:
        raise typer.Exit(A_ROW_FAILS)


def _show(found: Visit, out: Path | None, *, as_json: bool) -> None:
    page = out is not None and out.suffix.lower() in (".html", ".htm")
    if out is not None and page:
        write_text(out, visit_html(found))
    if as_json:
        text = json.dumps(found.facts(), indent=2, allow_nan=False, ensure_ascii=False)
    else:
        text = visit_text(found)
    say(text, None if page else out)
    if out is not None and page and not as_json:
        say(f"\nSheet written: {out.resolve()}")


def _date(text: str, readings: Path) -> datetime.date | None:
    if not text:
        return None
    if readings.suffix.lower() != ".csv":
        fault = Fault("--installed", f"found beside {readings.name}", "a CSV file of readings",
                      "leave it out; the day stands in the file's [visit]")  # fmt: skip
        raise InputError(fault)
    try:
        return datetime.date.fromisoformat(text)
    except ValueError as error:
        fault = Fault("--installed", f"found '{text[:40]}'", "a day like 2025-04-12",
                      "write year, month, day with hyphens")  # fmt: skip
        raise InputError(fault) from error
