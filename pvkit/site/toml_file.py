"""Read TOML from a file a person made, with a plain fault for all that can be wrong with it."""

import re
import stat
import tomllib
from pathlib import Path
from typing import Any

from pvkit.errors import Fault, InputError
from pvkit.site.faults import nearest
from pvkit.site.samples import samples_folder
from pvkit.site.wording import shown

LARGEST_SITE_FILE_BYTES = 1_000_000
SITE_FILE = "site file"

_PLAIN = {
    "Unterminated string": "text without its closing quote",
    "Illegal character '\\n'": "text without its closing quote",
    "Invalid value": "a value that is no number, text, list, true or false",
    "Cannot overwrite a value": "a key that stands twice",
    "Expected '=' after a key": "a key without = after it",
    "Expected newline or end of document": "something after the value",
    "Unclosed array": "a list without its closing ]",
    "Unclosed inline table": "a { without its closing }",
    "Invalid statement": "a line that is neither key = value nor a [table] head",
}


def read_toml(file: Path, kind: str = SITE_FILE) -> dict[str, Any]:
    """Read a TOML file.

    Parameters
    ----------
    file : where it is
    kind : what it should be, for messages

    Raises
    ------
    InputError
        If there is no such file, it is no text, too large, or no TOML; a bad line is named.
    """
    text = text_of(file, kind)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(_line_fault(file, text, str(error))) from error
    except RecursionError as error:
        fault = Fault(
            file.name,
            "found lists or tables nested too deep to read",
            "lists of numbers and tables of keys, as in a sample site",
            "look for a run of [[[[ or of key.key.key",
        )
        raise InputError(fault) from error
    except ValueError as error:
        fault = Fault(
            file.name,
            "found a number of thousands of digits",
            "numbers of up to 15 digits",
            "look for a number that has run away",
        )
        raise InputError(fault) from error


def text_of(file: Path, kind: str, largest_bytes: int = LARGEST_SITE_FILE_BYTES) -> str:
    """Read a text file whole.

    Raises
    ------
    InputError
        If there is no such file, or it is no text, too large, or may not be read.
    """
    try:
        found = file.stat()
        if stat.S_ISDIR(found.st_mode):
            raise InputError(_unreadable(file, kind, "a folder"))
        if not stat.S_ISREG(found.st_mode):  # a pipe or device might never end
            raise InputError(_unreadable(file, kind, "something that is no plain file"))
        if found.st_size > largest_bytes:
            raise InputError(_too_large(file, kind, found.st_size, largest_bytes))
        return file.read_text(encoding="utf-8-sig")
    except FileNotFoundError as error:
        raise InputError(_no_such(file, kind)) from error
    except UnicodeDecodeError as error:
        fault = Fault(
            file.name,
            "found bytes that are no text",
            f"a {kind} in UTF-8",
            "save the file as plain text, encoding UTF-8",
        )
        raise InputError(fault) from error
    except (OSError, ValueError) as error:  # no permission, a name too long, a name with a NUL
        raise InputError(_unreadable(file, kind, "something that cannot be read")) from error


def _too_large(file: Path, kind: str, size: int, largest_bytes: int) -> Fault:
    return Fault(
        file.name,
        f"found {size:,} bytes",
        f"up to {largest_bytes:,} bytes of text",
        f"check that this is a {kind}",
    )


def _unreadable(file: Path, kind: str, found: str) -> Fault:
    return Fault(str(file)[:200], f"found {found}", f"a {kind}", "give a file that you may read")


def _no_such(file: Path, kind: str) -> Fault:
    if kind != SITE_FILE:
        return Fault(str(file), "found no such file", f"a {kind}", "check the path and the name")
    samples = sorted(path.stem for path in samples_folder().glob("*.toml"))
    return Fault(
        str(file),
        "found no such file",
        "a site file, or the name of a sample: " + ", ".join(samples),
        f"check the path, or {nearest(file.stem, samples)}",
    )


def _line_fault(file: Path, text: str, message: str) -> Fault:
    """Name the line and show it; the parser's own words are for programmers."""
    lines = text.rstrip("\n").split("\n")  # as the parser counts them
    found = re.search(r"at line (\d+)", message)
    number = min(int(found[1]), len(lines)) if found else len(lines)
    return Fault(
        f"{file.name}, line {number}",
        f"found {_reason(message)}: {shown(lines[number - 1].strip())}",
        "key = value lines under [table] heads",
        "mend this line or the one before it; text needs plain quotes, numbers no unit",
    )


def _reason(message: str) -> str:
    twice = re.match(r"Cannot declare \((.*?),?\) twice", message)
    if twice:
        return f"the table [{twice[1].replace(', ', '.').replace(chr(39), '')}] twice"
    plain = (words for start, words in _PLAIN.items() if message.startswith(start))
    return next(plain, "what cannot be read")
