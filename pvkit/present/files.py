"""Write a file whole or not at all."""

import os
import stat
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
    path : where to; an existing file is replaced only once the new one is complete and on the
        disk, through a link the file that it points to; a pipe or device is written to as it is
    content : what to write

    Raises
    ------
    InputError
        If the folder is not there or cannot be written to, or the disk is full.
    """
    refuse_name(path)
    try:
        mode = _mode_there(path)
        if mode is not None and not stat.S_ISREG(mode):
            path.write_bytes(content)
        else:
            _replace(path.resolve(), content, _new_mode() if mode is None else stat.S_IMODE(mode))
    except OSError as error:
        fault = Fault(
            str(path),
            f"it cannot be written ({error.strerror})",
            "a file name in a folder that is there and may be written to",
            "choose another place",
        )
        raise InputError(fault) from error


def refuse_name(path: Path) -> None:
    """Refuse a name that no disk can hold: one with a zero byte or half a letter in it.

    Parameters
    ----------
    path : a file or folder to be written

    Raises
    ------
    InputError
        If it is such a name.

    Examples
    --------
    >>> refuse_name(Path("Größe ½.html"))
    """
    try:
        if b"\0" not in os.fsencode(path):
            return
    except UnicodeEncodeError:
        pass
    fault = Fault(ascii(str(path)), "it cannot be written (no name of a file)",
                  "letters, figures, spaces, - and _", "choose another name")  # fmt: skip
    raise InputError(fault)


def _replace(path: Path, content: bytes, mode: int) -> None:
    """Put a whole new file in the old one's place in one step."""
    part = None
    try:
        with tempfile.NamedTemporaryFile(dir=path.parent, prefix=".part-", delete=False) as file:
            part = Path(file.name)
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        part.chmod(mode)
        part.replace(path)
    finally:
        if part is not None:
            part.unlink(missing_ok=True)  # there only if something went wrong


def _mode_there(path: Path) -> int | None:
    try:
        return path.stat().st_mode
    except FileNotFoundError:
        return None


def _new_mode() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
