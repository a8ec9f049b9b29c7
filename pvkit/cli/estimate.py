"""``pvkit estimate``: the answer for one site, as a summary or as JSON."""

import json
from pathlib import Path
from typing import Annotated

import pandas as pd
import typer

from pvkit.cli.say import JsonOption, OutOption, SiteArgument, say
from pvkit.present.files import write_text
from pvkit.present.range_words import range_text
from pvkit.present.summary import summary
from pvkit.site.reader import load_site
from pvkit.study.estimate import Estimate
from pvkit.study.ledger_facts import range_facts
from pvkit.study.study import estimate


def estimate_command(
    site: SiteArgument,
    as_json: JsonOption = False,
    out: OutOption = None,
    flows: Annotated[
        Path | None, typer.Option("--flows", help="Also write every half-hour to this CSV file.")
    ] = None,
    ranges: Annotated[
        bool, typer.Option("--range", help="Also say how sure the answer is, and what moves it.")
    ] = False,
) -> None:
    """Estimate one site and print a summary.

    Example: pvkit estimate bungalow_extension
    """
    answer = estimate(load_site(site))
    if flows is not None:
        write_text(flows, _flows_csv(answer))
    if as_json:
        facts = {**answer.facts(), **({"ranges": range_facts(answer.ranges)} if ranges else {})}
        say(json.dumps(facts, indent=2, allow_nan=False, ensure_ascii=False), out)
    else:
        say(summary(answer) + (f"\n\n{range_text(answer)}" if ranges else ""), out)


def _flows_csv(answer: Estimate) -> str:
    table = answer.flows
    stamps = pd.DatetimeIndex(table.index).strftime("%Y-%m-%dT%H:%MZ")
    lines = [",".join(["start_utc", *table.columns])]
    lines += [
        ",".join([stamp, *(f"{value:.15g}" for value in row)])
        for stamp, row in zip(stamps, table.to_numpy().tolist(), strict=True)
    ]
    return "\n".join(lines) + "\n"
