"""Write a file whole or not at all."""

import os
import tempfile
from pathlib import Path

from pvkit.errors import Fault, InputError


def write_text(path: Path, text: str) -> None:
    """Write text so that a half-written file never stands in for a whole one.

    Parameters
    ----------
    path : where to; an existing file is replaced only once the new one is complete
    text : what to write, as UTF-8

    Raises
    ------
    InputError
        If the folder is not there or cannot be written to.
    """
    write_bytes(path, text.encode("utf-8"))


def write_bytes(path: Path, content: bytes) -> None:
    """Write bytes in the same way, a picture or a spreadsheet say.

    Parameters
    ----------
    path : where to; an existing file is replaced only once the new one is complete
    content : what to write

    Raises
    ------
    InputError
        If the folder is not there or cannot be written to.
    """
    part = None
    try:
        with tempfile.NamedTemporaryFile(dir=path.parent, prefix=".part-", delete=False) as file:
            part = Path(file.name)
            file.write(content)
        part.chmod(0o666 & ~_umask())
        part.replace(path)
    except OSError as error:
        fault = Fault(
            str(path),
            f"it cannot be written ({error.strerror})",
            "a file name in a folder that is there and may be written to",
            "choose another place",
        )
        raise InputError(fault) from error
    finally:
        if part is not None:
            part.unlink(missing_ok=True)  # there only if something went wrong


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
