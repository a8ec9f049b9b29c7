"""A history of records, one JSON line each: added to, never changed."""

import json
import os
import stat
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from pvkit.errors import Fault, InputError
from pvkit.site.toml_file import text_of

LARGEST_BYTES = 100_000_000


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
    if not path.exists():
        return ()
    lines = _whole_lines(text_of(path, _what(kind), LARGEST_BYTES), kind)
    return tuple(_records(lines, path, kind))


def _whole_lines(text: str, kind: str) -> list[str]:
    """Split at line ends alone (words may hold other breaks), without a last line cut short."""
    lines = text.split("\n")
    last = lines.pop()
    torn = bool(lines) and _record(last, kind) is None
    return lines if not last or torn else [*lines, last]


def _records(lines: Sequence[str], path: Path, kind: str) -> Iterator[dict[str, Any]]:
    for number, line in enumerate(lines, 1):
        record = _record(line, kind)
        if record is None:
            fault = Fault(
                f"{path}, line {number}", f"found {line[:40]!r}", _what(kind),
                "give a file of its own for the history",
            )  # fmt: skip
            raise InputError(fault)
        yield record


def _record(line: str, kind: str) -> dict[str, Any] | None:
    try:
        record = json.loads(line)
    except (ValueError, RecursionError):
        return None
    return record if isinstance(record, dict) and record.get("kind") == kind else None


def _what(kind: str) -> str:
    return f"history: records of a {kind}, one on each line"


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
            if not stat.S_ISREG(os.fstat(file).st_mode):
                raise InputError(_unwritable(path, "it is no plain file"))
            if json.loads(line) in read_history(path, kind):
                return False
            _append(file, line, path, kind)
    except OSError as error:
        raise InputError(_unwritable(path, str(error.strerror))) from error
    return True


def _unwritable(path: Path, why: str) -> Fault:
    return Fault(str(path), f"it cannot be written ({why})",
                 "a file name in a folder that is there and may be written to",
                 "choose another place")  # fmt: skip


def _append(file: int, line: str, path: Path, kind: str) -> None:
    """Write a line whole, or leave the file as it was; a line cut short before gives way."""
    text = path.read_text(encoding="utf-8-sig", errors="replace")
    last = text.rpartition("\n")[2]
    size = os.fstat(file).st_size
    data = line.encode("utf-8")
    if last and _record(last, kind) is not None:
        data = b"\n" + data
    elif last:
        size -= _bytes_of_last_line(path)
        os.ftruncate(file, size)
    try:
        if os.write(file, data) != len(data):
            raise OSError(28, "the disk is full")
        os.fsync(file)
    except OSError:
        os.ftruncate(file, size)
        raise


def _bytes_of_last_line(path: Path) -> int:
    return len(path.read_bytes().rpartition(b"\n")[2])


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
