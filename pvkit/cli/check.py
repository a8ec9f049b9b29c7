"""``pvkit check``: layout, ballast and wiring of one site against their limits."""

import json

import typer
from rich.console import Console

from pvkit.cli.say import A_ROW_FAILS, JsonOption, OutOption, SiteArgument, say
from pvkit.present.check_sheet import check_html, check_sheet, check_text
from pvkit.present.files import write_text
from pvkit.site.reader import load_site
from pvkit.study.site_check import SiteCheck, check_site


def check_command(site: SiteArgument, as_json: JsonOption = False, out: OutOption = None) -> None:
    """Check layout, ballast and wiring of one site, rule by rule; end with 1 if a row fails.

    `--out` writes a page to print if its name ends in .html, else text.

    Example: pvkit check bungalow_extension
    """
    check = check_site(load_site(site))
    if as_json:
        say(json.dumps(check.facts(), indent=2, allow_nan=False, ensure_ascii=False), out)
    elif out is None:
        _show(check)
    elif out.suffix.lower() in (".html", ".htm"):
        write_text(out, check_html(check))
    else:
        write_text(out, check_text(check) + "\n")
    if check.failing:
        raise typer.Exit(A_ROW_FAILS)


def _show(check: SiteCheck) -> None:
    """Print the sheet in a terminal's own colours, and wide enough to read elsewhere."""
    console = Console(highlight=False, markup=False)
    if console.is_terminal:
        console.print(check_sheet(check))
    else:
        say(check_text(check))
