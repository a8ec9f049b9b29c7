"""The commands, one module each: load, call one public function, print."""

import io
import sys

import typer
from rich.console import Console

from pvkit.cli.check import check_command
from pvkit.cli.commission import commission_command
from pvkit.cli.compare import compare_command
from pvkit.cli.estimate import estimate_command
from pvkit.cli.new import fields_command, new_command, sheet_command
from pvkit.cli.portfolio import homes_command, portfolio_command
from pvkit.cli.report import report_command
from pvkit.cli.say import BAD_INPUT
from pvkit.cli.sites import sites_command
from pvkit.cli.visit import visit_command
from pvkit.cli.workbooks import workbooks_command
from pvkit.errors import PvkitError

app = typer.Typer(
    help="What a roof yields, saves, costs and avoids: from a surveyed site to a 25-year answer.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
app.command("new")(new_command)
app.command("sheet")(sheet_command)
app.command("fields")(fields_command)
app.command("estimate")(estimate_command)
app.command("report")(report_command)
app.command("compare")(compare_command)
app.command("check")(check_command)
app.command("commission")(commission_command)
app.command("portfolio")(portfolio_command)
app.command("homes")(homes_command)
app.command("visit")(visit_command)
app.command("sites")(sites_command)
app.command("workbooks")(workbooks_command)


def main() -> None:
    """Run the command line; a bad input prints its message and ends with 2."""
    _speak_in_any_letters()
    try:
        app()
    except PvkitError as error:
        Console(stderr=True, highlight=False, soft_wrap=True, markup=False).print(str(error))
        sys.exit(BAD_INPUT)


def _speak_in_any_letters() -> None:
    """Write what a console has no letter for by its number, instead of ending on it."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper) and stream.errors == "strict":
            stream.reconfigure(errors="backslashreplace")
