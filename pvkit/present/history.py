"""A history of records, one JSON line each: added to, never changed."""

import errno
import json
import os
import stat
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from pvkit.errors import Fault, InputError
from pvkit.present.files import refuse_name

_OWN_FILE = "give a file of its own for the history, .jsonl"


def read_history(path: Path, kind: str) -> tuple[dict[str, Any], ...]:
    """Read the records of a history file.

    Parameters
    ----------
    path : the file; none yet is no fault
    kind : what its records must be

    Raises
    ------
    InputError
        If a line is no such record: a file that holds anything else is left alone. Only a last
        line that a crash cut short, after records, is passed over: it was never whole.
    """
    return tuple(_records(_content(path, kind), path, kind))


def _content(path: Path, kind: str) -> bytes:
    refuse_name(path)
    try:
        if not stat.S_ISREG(path.stat().st_mode):  # a pipe might never end
            raise InputError(_unreadable(path, "something that is no plain file", kind))
        return path.read_bytes()
    except FileNotFoundError:
        return b""
    except OSError as error:
        raise InputError(_unreadable(path, "something that cannot be read", kind)) from error


def _records(content: bytes, path: Path, kind: str) -> Iterator[dict[str, Any]]:
    """Read line by line; only line feeds end one, words may hold other breaks."""
    *lines, last = content.split(b"\n")
    torn = bool(lines) and _record(last, kind) is None
    for number, line in enumerate(lines if torn or not last else [*lines, last], 1):
        record = _record(line, kind)
        if record is None:
            found = f"found {line[:40].decode('utf-8', 'replace')!r}"
            fault = Fault(f"{path}, line {number}", found, _what(kind), _OWN_FILE)
            raise InputError(fault)
        yield record


def _record(line: bytes, kind: str) -> dict[str, Any] | None:
    try:
        record = json.loads(line)
    except (ValueError, RecursionError):
        return None
    return record if isinstance(record, dict) and record.get("kind") == kind else None


def _unreadable(path: Path, found: str, kind: str) -> Fault:
    return Fault(str(path), f"found {found}", _what(kind), _OWN_FILE)


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
    refuse_name(path)
    line = json.dumps(record, allow_nan=False, ensure_ascii=False) + "\n"
    try:
        with _locked(path) as file:
            content = _content(path, kind)
            if json.loads(line) in _records(content, path, kind):
                return False
            _append(file, line, _after(content, kind))
    except OSError as error:
        fault = Fault(str(path), f"it cannot be written ({error.strerror})",
                      "a file name in a folder that is there and may be written to",
                      "choose another place")  # fmt: skip
        raise InputError(fault) from error
    return True


def _after(content: bytes, kind: str) -> tuple[int, bytes]:
    """Say where the next line begins, and what ends the one before it."""
    last = content.rpartition(b"\n")[2]
    if last and _record(last, kind) is None:
        return len(content) - len(last), b""  # cut short by a crash: it gives way
    return len(content), b"\n" if last else b""


def _append(file: int, line: str, after: tuple[int, bytes]) -> None:
    """Write a line whole, or leave the records as they were."""
    size, before = after
    data = before + line.encode("utf-8")
    os.ftruncate(file, size)
    try:
        if os.write(file, data) != len(data):
            raise OSError(errno.ENOSPC, "the disk is full")
        os.fsync(file)
    except OSError:
        os.ftruncate(file, size)
        raise


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
