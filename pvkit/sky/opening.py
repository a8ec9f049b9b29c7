"""Open a weather file, or say in plain words why not."""

from pathlib import Path

import numpy as np
import pandas as pd

from pvkit.errors import Fault, InputError
from pvkit.site.place import Weather
from pvkit.sky.rows import listed

LARGEST_BYTES = 100_000_000
READERS_WORDS = (ValueError, KeyError, TypeError, IndexError, AttributeError, OverflowError)


def weather_path(weather: Weather) -> Path:
    """Give the path of the file a site names.

    Raises
    ------
    InputError
        If it names none.
    """
    if weather.file is None:
        raise InputError(
            Fault(
                "weather.file",
                f"found no file beside source = '{weather.source}'",
                "the name of a weather file",
                "add file = \"name\", or choose source = 'region' for the built-in year",
            )
        )
    return Path(weather.file)


def text_of(path: Path, *, any_letters: bool) -> str:
    """Read a text file whole.

    Parameters
    ----------
    path : the file
    any_letters : take a file that is not UTF-8 as Latin-1 (station names have accents)

    Raises
    ------
    InputError
        If there is no such file, or it is empty, too large, or no text.
    """
    raw = _bytes(path)
    if b"\0" in raw or raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise _not_text(path, "bytes that are no plain text (a spreadsheet, zip file or UTF-16?)")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        if not any_letters:
            line = raw[: error.start].count(b"\n") + 1
            raise _not_text(path, f"a letter that is not UTF-8 in line {line}") from error
        text = raw.decode("latin-1")
    if not text.strip():
        raise InputError(_fault(path, "an empty file", "give a file with a year of weather"))
    return text


def unreadable(path: Path, kind: str, error: Exception | str) -> InputError:
    """Make the error for a file that is not what it was said to be."""
    said = str(error).strip().splitlines()
    reason = f" ({said[0][:120]})" if said else ""
    return InputError(
        Fault(
            path.name,
            f"found something that does not read as {kind}{reason}",
            f"a whole {kind} file",
            "check weather.source and weather.file, and that the file was saved complete",
        )
    )


def numeric(text: pd.Series, name: str, where: list[str]) -> tuple[pd.Series, list[Fault]]:
    """Turn a column into numbers; blanks become missing, words become faults (and 0)."""
    numbers = pd.to_numeric(text, errors="coerce").astype("float64")
    blank = text.isna() | (text.astype(str).str.strip() == "")
    words = ~np.isfinite(numbers.to_numpy()) & ~blank.to_numpy()
    faults = [
        Fault(
            where[row],
            f"found {name} '{str(text.iloc[row])[:40]}'",
            "a number with a decimal point",
            "put the number in, or leave the cell empty to mark a gap",
        )
        for row in words.nonzero()[0]
    ]
    return numbers.mask(words, 0.0), listed(faults)


def _bytes(path: Path) -> bytes:
    try:
        size = path.stat().st_size
        if path.is_file() and size > LARGEST_BYTES:
            found = f"{size:,} bytes"
            raise InputError(_fault(path, found, "give one year of hours or half-hours"))
        return path.read_bytes()
    except FileNotFoundError as error:
        missing = _fault(path, f"no such file ({path})", "check the name; it is looked for beside"
                         " the site file")  # fmt: skip
        raise InputError(missing) from error
    except IsADirectoryError as error:
        raise InputError(_fault(path, "a folder", "name the file inside it")) from error
    except (OSError, ValueError) as error:
        raise InputError(_fault(path, "something that cannot be read", "check that the file may be"
                                " read and is not open elsewhere")) from error  # fmt: skip


def _fault(path: Path, found: str, fix: str) -> Fault:
    return Fault(f"weather.file, {path.name}", f"found {found}", "a weather file", fix)


def _not_text(path: Path, found: str) -> InputError:
    return InputError(_fault(path, found, "save it as plain text, UTF-8"))
