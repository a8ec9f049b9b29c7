"""``pvkit check``: layout, ballast and wiring of one site against their limits."""

import json
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from pvkit.cli.say import A_ROW_FAILS, JsonOption, OutOption, SiteArgument, say
from pvkit.present.check_sheet import check_html, check_sheet, check_text
from pvkit.present.files import write_text
from pvkit.present.roof_files import write_engineer_sheet, write_plan
from pvkit.site.reader import load_site
from pvkit.site.survey import Site
from pvkit.study.site_check import SiteCheck, check_site


def check_command(
    site: SiteArgument,
    as_json: JsonOption = False,
    out: OutOption = None,
    engineer: Annotated[
        Path | None, typer.Option(help="Write the structural engineer's sheet (.html or .pdf).")
    ] = None,
    plan: Annotated[
        Path | None, typer.Option(help="Write the plan of the roof, to scale (.svg).")
    ] = None,
) -> None:
    """Check layout, ballast and wiring of one site, rule by rule; end with 1 if a row fails.

    `--out` writes a page to print if its name ends in .html, else text.

    Example: pvkit check flat_roof_garage --engineer sheet.html --plan plan.svg
    """
    surveyed = load_site(site)
    check = check_site(surveyed)
    told = _papers(surveyed, engineer, plan)
    if as_json:
        say(json.dumps(check.facts(), indent=2, allow_nan=False, ensure_ascii=False), out)
    elif out is None:
        _show(check)
    elif out.suffix.lower() in (".html", ".htm"):
        write_text(out, check_html(check))
    else:
        write_text(out, check_text(check) + "\n")
    if told and not as_json:
        say("\n".join(["", *told]))
    if check.failing:
        raise typer.Exit(A_ROW_FAILS)


def _papers(site: Site, engineer: Path | None, plan: Path | None) -> list[str]:
    """Write the papers that were asked for and say where they are."""
    told = []
    if engineer is not None:
        write_engineer_sheet(site, engineer)
        told.append(f"Engineer's sheet: {engineer.resolve()}")
    if plan is not None:
        write_plan(site, plan)
        told.append(f"Plan: {plan.resolve()}")
    return told


def _show(check: SiteCheck) -> None:
    """Print the sheet in a terminal's own colours, and wide enough to read elsewhere."""
    console = Console(highlight=False, markup=False)
    if console.is_terminal:
        console.print(check_sheet(check))
    else:
        say(check_text(check))
