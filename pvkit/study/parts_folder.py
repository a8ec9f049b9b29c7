"""Finished parts of a long run, kept as files so that a restart goes on where it stopped."""

from pathlib import Path
from typing import Protocol
from uuid import uuid4

import pandas as pd

from pvkit.errors import Fault, InputError


class Parts(Protocol):
    """Where finished parts are kept."""

    def has(self, digest: str) -> bool:
        """Whether a part is done."""

    def read(self, digest: str) -> pd.DataFrame:
        """Give a part's table."""

    def write(self, digest: str, table: pd.DataFrame) -> None:
        """Keep a part's table."""


class PartsAtHand:
    """Finished parts kept for as long as this object lives, as a workbook does."""

    def __init__(self) -> None:
        self._tables: dict[str, pd.DataFrame] = {}

    def has(self, digest: str) -> bool:
        """Whether a part is done."""
        return digest in self._tables

    def read(self, digest: str) -> pd.DataFrame:
        """Give a part's table."""
        return self._tables[digest]

    def write(self, digest: str, table: pd.DataFrame) -> None:
        """Keep a part's table."""
        self._tables[digest] = table


class PartsFolder:
    """A folder of finished parts, one Parquet file each, named by a digest of what went in.

    Parameters
    ----------
    path : the folder; made if it is not there

    Raises
    ------
    InputError
        If the folder cannot be made.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        try:
            path.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise InputError(_unwritable(path, error)) from error

    def has(self, digest: str) -> bool:
        """Whether a part is done."""
        return self._file(digest).is_file()

    def read(self, digest: str) -> pd.DataFrame:
        """Give a part's table."""
        return pd.read_parquet(self._file(digest))

    def write(self, digest: str, table: pd.DataFrame) -> None:
        """Keep a part's table, whole or not at all."""
        write_parquet(self._file(digest), table)

    def clear(self) -> None:
        """Remove the parts, once their whole is written."""
        for file in self.path.glob("*.parquet"):
            file.unlink(missing_ok=True)
        if not any(self.path.iterdir()):
            self.path.rmdir()

    def _file(self, digest: str) -> Path:
        return self.path / f"{digest}.parquet"


def write_parquet(path: Path, table: pd.DataFrame) -> None:
    """Write a table so that a half-written file never stands in for a whole one.

    Raises
    ------
    InputError
        If the place cannot be written to.
    """
    part = path.with_name(f".part-{uuid4().hex}")
    try:
        table.to_parquet(part, index=False)
        part.replace(path)
    except OSError as error:
        raise InputError(_unwritable(path, error)) from error
    finally:
        part.unlink(missing_ok=True)


def _unwritable(path: Path, error: OSError) -> Fault:
    return Fault(
        str(path),
        f"it cannot be written ({error.strerror})",
        "a place in a folder that may be written to",
        "choose another place",
    )
