"""``pvkit workbooks``: copy the workbooks to a folder of one's own."""

import shutil
from pathlib import Path
from typing import Annotated

import typer

from pvkit.cli.say import say
from pvkit.errors import Fault, InputError
from pvkit.present.workbook_files import workbook_files


def workbooks_command(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Where to copy them.")],
) -> None:
    """Copy the workbooks to a folder, leaving files that are there alone.

    Example: pvkit workbooks my_workbooks
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for file in workbook_files():
            new = folder / file.name
            if new.exists():
                say(f"  there already: {new.name}")
                continue
            shutil.copyfile(file, new)
            say(f"  copied: {new.name}")
    except OSError as error:
        fault = Fault(
            str(folder),
            f"it cannot be written ({error.strerror})",
            "a folder that may be written to",
            "choose another place",
        )
        raise InputError(fault) from error
    say(f"Next: jupyter lab {folder}")
