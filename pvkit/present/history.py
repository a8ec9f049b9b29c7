"""A history of records, one JSON line each: added to, never changed."""

import json
import os
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from pvkit.errors import Fault, InputError


def read_history(path: Path, kind: str) -> tuple[dict[str, Any], ...]:
    """Read the records of a history file.

    Parameters
    ----------
    path : the file; none yet is no fault
    kind : what its records must be

    Raises
    ------
    InputError
        If a line is no such record: a file that holds anything else is left alone.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return ()
    except (OSError, UnicodeDecodeError) as error:
        fault = Fault(str(path), "found something that cannot be read", _what(kind),
                      "give a file of its own for the history, .jsonl")  # fmt: skip
        raise InputError(fault) from error
    return tuple(_records(text, path, kind))


def _records(text: str, path: Path, kind: str) -> Iterator[dict[str, Any]]:
    for number, line in enumerate(text.splitlines(), 1):
        try:
            record = json.loads(line)
        except ValueError:
            record = None
        if not isinstance(record, dict) or record.get("kind") != kind:
            fault = Fault(
                f"{path}, line {number}", f"found {line[:40]!r}", _what(kind),
                "give a file of its own for the history; a line cut short by a crash may be"
                " removed by hand",
            )  # fmt: skip
            raise InputError(fault)
        yield record


def _what(kind: str) -> str:
    return f"records of a {kind}, one on each line"


def add_record(path: Path, record: Mapping[str, Any], kind: str) -> bool:
    """Add a record at the end of a history file; what stands there is never changed.

    A lock keeps two programs from writing at once; a line is written whole and to the disk
    before the lock is given back. The same record a second time is not added again.

    Parameters
    ----------
    path : the file; made if it is not there
    record : JSON-ready, its ``kind`` that of the file
    kind : what the file's records are

    Returns
    -------
    whether it was added

    Raises
    ------
    InputError
        If the file holds anything else, or cannot be written to.
    """
    line = json.dumps(record, allow_nan=False, ensure_ascii=False) + "\n"
    try:
        with _locked(path) as file:
            known = read_history(path, kind)
            if json.loads(line) in known:
                return False
            _append(file, line)
    except OSError as error:
        fault = Fault(str(path), f"it cannot be written ({error.strerror})",
                      "a file name in a folder that is there and may be written to",
                      "choose another place")  # fmt: skip
        raise InputError(fault) from error
    return True


def _append(file: int, line: str) -> None:
    """Write a line whole, or leave the file as it was."""
    size = os.fstat(file).st_size
    data = line.encode("utf-8")
    if size and not _ends_its_line(file, size):
        data = b"\n" + data
    try:
        if os.write(file, data) != len(data):
            raise OSError(28, "the disk is full")
        os.fsync(file)
    except OSError:
        os.ftruncate(file, size)
        raise


def _ends_its_line(file: int, size: int) -> bool:
    os.lseek(file, size - 1, os.SEEK_SET)
    return os.read(file, 1) == b"\n"


@contextmanager
def _locked(path: Path) -> Iterator[int]:
    """Open a file for adding to it, alone among the programs that ask for the same."""
    file = os.open(path, os.O_RDWR | os.O_APPEND | os.O_CREAT, 0o666)
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(file, msvcrt.LK_LOCK, 1)
        else:
            import fcntl

            fcntl.flock(file, fcntl.LOCK_EX)
        yield file
    finally:
        os.close(file)  # gives the lock back
