"""``pvkit report``: the customer's report of one site."""

from datetime import UTC, date, datetime
from pathlib import Path
from typing import Annotated

import typer

from pvkit.cli.say import SiteArgument, say
from pvkit.errors import Fault, InputError
from pvkit.present.summary import summary
from pvkit.site.reader import load_site
from pvkit.study.study import estimate

FirmOption = Annotated[
    Path | None,
    typer.Option("--firm", help="TOML file with the firm's name, logo, phone and email."),
]
IssuedOption = Annotated[
    str | None, typer.Option("--issued", help="Date to print on it, like 2027-03-05; else today.")
]


def report_command(
    site: SiteArgument,
    out: Annotated[
        Path,
        typer.Option("-o", "--out", help="File name: .html, .pdf, or .xlsx for the money alone."),
    ],
    firm: FirmOption = None,
    issued: IssuedOption = None,
) -> None:
    """Print a summary and write the customer's report: one page that opens offline, or a PDF.

    A name ending in .xlsx gives the money as a spreadsheet of live formulas.

    Example: pvkit report bungalow_extension -o report.html
    """
    from pvkit.present.firm import load_firm
    from pvkit.present.report import Sender, checked_ending, write_report

    checked_ending(out)
    sender = Sender(None if firm is None else load_firm(firm), _day(issued))
    answer = estimate(load_site(site))
    write_report(answer, out, sender)
    say(summary(answer))
    say(f"Report written: {out.resolve()}")


def _day(issued: str | None) -> date:
    if issued is None:
        return datetime.now(UTC).astimezone().date()
    try:
        return date.fromisoformat(issued)
    except ValueError as error:
        fault = Fault("--issued", f"found '{issued}'", "a date like 2027-03-05",
                      "write year, month and day with dashes")  # fmt: skip
        raise InputError(fault) from error
