"""``pvkit report``: the customer's report of one site."""

from pathlib import Path
from typing import Annotated

import typer

from pvkit.cli.say import SiteArgument, say
from pvkit.errors import Fault, InputError
from pvkit.present.files import write_text
from pvkit.present.summary import summary
from pvkit.site.reader import load_site
from pvkit.study.study import estimate


def report_command(
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
    say(summary(answer))
    say(f"Report written: {out.resolve()}")
