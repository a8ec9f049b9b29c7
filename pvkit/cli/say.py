"""How a command speaks: its site argument, its exit codes, and print or write."""

from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from pvkit.present.files import write_text

A_ROW_FAILS = 1
BAD_INPUT = 2

SiteArgument = Annotated[str, typer.Argument(metavar="SITE", help="Site file, or a sample's name.")]
JsonOption = Annotated[bool, typer.Option("--json", help="Print everything as JSON.")]
OutOption = Annotated[Path | None, typer.Option("--out", help="Write to this file instead.")]


def say(text: str, out: Path | None = None) -> None:
    """Print a text, or write it to a file."""
    if out is None:
        Console(highlight=False, soft_wrap=True, markup=False).print(text)
    else:
        write_text(out, text + "\n")
