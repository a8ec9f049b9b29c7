"""``pvkit compare``: named changes to a site, side by side."""

import json
from pathlib import Path
from typing import Annotated

import typer

from pvkit.cli.say import JsonOption, OutOption, SiteArgument, say
from pvkit.present.comparison_table import comparison_text
from pvkit.site.reader import load_site
from pvkit.study.comparison import compare
from pvkit.study.scenarios import load_scenarios
from pvkit.study.study import Study


def compare_command(
    site: SiteArgument,
    scenarios: Annotated[
        Path, typer.Argument(metavar="SCENARIOS", help="Scenario file: named changes to the site.")
    ],
    as_json: JsonOption = False,
    out: OutOption = None,
) -> None:
    """Set a site as surveyed beside the scenarios of a file, every figure with its cautious one.

    Example: pvkit compare bungalow_extension sample_sites/scenarios/bungalow_choices.toml
    """
    found = compare(Study(load_site(site)), load_scenarios(scenarios))
    if as_json:
        say(json.dumps(found.facts(), indent=2, allow_nan=False, ensure_ascii=False), out)
    else:
        say(comparison_text(found), out)
