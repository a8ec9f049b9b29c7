"""Keep a commissioning record: dated files of its own, none of which is ever written over."""

import os
import re
import tempfile
import unicodedata
from dataclasses import dataclass
from itertools import count
from pathlib import Path

from pvkit.errors import Fault, InputError
from pvkit.present.files import refuse_name
from pvkit.present.record_sheet import record_html
from pvkit.study.record import Record, record_json

_LONGEST_NAME = 40


@dataclass(frozen=True, slots=True)
class SavedRecord:
    """Where a record was kept.

    Parameters
    ----------
    json, html : the same record for machines and to print
    """

    json: Path
    html: Path


def save_record(record: Record, folder: Path) -> SavedRecord:
    """Save a record as JSON and as a page to print, beside every earlier one.

    The name holds site and day, and says so where the record is not complete; a name that is
    taken gets a number. Two programs at once get a name each.

    Parameters
    ----------
    record : from :func:`pvkit.study.record.commission`
    folder : where records are kept; made if it is not there

    Raises
    ------
    InputError
        If the folder cannot be written to.
    """
    end = "" if record.complete else "_not_complete"
    stem = f"{_plain(record.site.site.name)}_commissioning_{record.file.record.date}{end}"
    page, machine = record_html(record), record_json(record)
    refuse_name(folder)
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise InputError(_unwritable(folder, error)) from error
    names = (stem if number == 1 else f"{stem}_{number}" for number in count(1))
    pairs = (SavedRecord(folder / f"{name}.json", folder / f"{name}.html") for name in names)
    return next(files for files in pairs if _save_both(files, machine, page))


def _save_both(files: SavedRecord, machine: str, page: str) -> bool:
    """Write both files of one name, or neither."""
    if not write_new(files.html, page):
        return False
    written = False
    try:
        written = write_new(files.json, machine)
    finally:
        if not written:
            files.html.unlink()
    return written


def write_new(path: Path, text: str) -> bool:
    """Write a file whole where there is none yet.

    Parameters
    ----------
    path : where to
    text : what to write, as UTF-8

    Returns
    -------
    whether it was written; False, and nothing touched, if the name is taken

    Raises
    ------
    InputError
        If the folder is not there or cannot be written to.
    """
    refuse_name(path)
    part = None
    try:
        with tempfile.NamedTemporaryFile(
            "w", encoding="utf-8", dir=path.parent, prefix=".part-", delete=False
        ) as file:
            part = Path(file.name)
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        part.chmod(0o644)
        return _named(part, path)
    except OSError as error:
        raise InputError(_unwritable(path, error)) from error
    finally:
        if part is not None:
            part.unlink(missing_ok=True)


def _unwritable(path: Path, error: OSError) -> Fault:
    allowed = "a place that is there and may be written to"
    return Fault(str(path), f"it cannot be written ({error.strerror})", allowed,
                 "choose another place")  # fmt: skip


def _named(part: Path, path: Path) -> bool:
    """Give a whole file its name, unless another has it."""
    try:
        os.link(part, path)  # one step, and it fails if the name is taken
    except FileExistsError:
        return False
    except OSError:  # a disk without links: claim the name first
        try:
            path.open("x").close()
        except FileExistsError:
            return False
        part.replace(path)
    return True


def _plain(name: str) -> str:
    """Turn a site's name into part of a file's name.

    Examples
    --------
    >>> _plain("Sample: Größe & Söhne / 12")
    'sample_groe_sohne_12'
    """
    letters = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    words = re.sub(r"[^a-z0-9]+", "_", letters).strip("_")
    if len(words) > _LONGEST_NAME:
        words = words[:_LONGEST_NAME].rpartition("_")[0] or words[:_LONGEST_NAME]
    return words or "site"
