"""The command line: load, call one public function, print."""

import json
import sys
from pathlib import Path
from typing import Annotated

import pandas as pd
import typer
from rich.console import Console

from pvkit.errors import Fault, InputError, PvkitError
from pvkit.present.files import write_text
from pvkit.present.summary import summary
from pvkit.site.reader import load_site
from pvkit.site.samples import sample_sites
from pvkit.study.estimate import Estimate
from pvkit.study.study import estimate

BAD_INPUT = 2

app = typer.Typer(
    help="What a roof yields, saves, costs and avoids: from a surveyed site to a 25-year answer.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
SiteArgument = Annotated[str, typer.Argument(metavar="SITE", help="Site file, or a sample's name.")]


@app.command("estimate")
def estimate_command(
    site: SiteArgument,
    as_json: Annotated[bool, typer.Option("--json", help="Print everything as JSON.")] = False,
    out: Annotated[Path | None, typer.Option("--out", help="Write to this file instead.")] = None,
    flows: Annotated[
        Path | None, typer.Option("--flows", help="Also write every half-hour to this CSV file.")
    ] = None,
) -> None:
    """Estimate one site and print a summary.

    Example: pvkit estimate bungalow_extension
    """
    answer = estimate(load_site(site))
    if flows is not None:
        write_text(flows, _flows_csv(answer))
    if as_json:
        _say(json.dumps(answer.facts(), indent=2, allow_nan=False, ensure_ascii=False), out)
    else:
        _say(summary(answer), out)


@app.command()
def report(
    site: SiteArgument,
    out: Annotated[Path, typer.Option("-o", "--out", help="The report's file name (.html).")],
) -> None:
    """Print a summary and write the customer's report, one HTML file that opens offline.

    Example: pvkit report bungalow_extension -o report.html
    """
    from pvkit.present.report import report_html

    if out.suffix.lower() not in (".html", ".htm"):
        fault = Fault(str(out), f"found the ending '{out.suffix}'", ".html", "name it report.html")
        raise InputError(fault)
    answer = estimate(load_site(site))
    write_text(out, report_html(answer))
    _say(summary(answer), None)
    _say(f"Report written: {out.resolve()}", None)


@app.command()
def sites() -> None:
    """List the sample sites that come with the kit.

    Example: pvkit sites
    """
    for sample in sample_sites():
        _say(f"{sample.name:22} {sample.title}\n{'':22} {sample.path}", None)


def _say(text: str, out: Path | None) -> None:
    if out is None:
        Console(highlight=False, soft_wrap=True, markup=False).print(text)
    else:
        write_text(out, text + "\n")


def _flows_csv(answer: Estimate) -> str:
    table = answer.flows
    stamps = pd.DatetimeIndex(table.index).strftime("%Y-%m-%dT%H:%MZ")
    lines = [",".join(["start_utc", *table.columns])]
    lines += [
        ",".join([stamp, *(f"{value:.15g}" for value in row)])
        for stamp, row in zip(stamps, table.to_numpy().tolist(), strict=True)
    ]
    return "\n".join(lines) + "\n"


def main() -> None:
    """Run the command line; a bad input prints its message and ends with 2."""
    try:
        app()
    except PvkitError as error:
        Console(stderr=True, highlight=False, soft_wrap=True, markup=False).print(str(error))
        sys.exit(BAD_INPUT)


if __name__ == "__main__":
    main()
