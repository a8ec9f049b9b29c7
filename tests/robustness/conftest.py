"""Answers that several files of this folder write down, worked out once."""

import contextlib
import os
import resource
from collections.abc import Iterator
from pathlib import Path

import pytest

from pvkit import estimate, load_site
from pvkit.electrical.readings import load_record
from pvkit.study.record import commission

SITE = "bungalow_extension"
NOBODY = 65534


@pytest.fixture(scope="package")
def answer():
    return estimate(load_site(SITE))


@pytest.fixture(scope="package")
def record():
    site = load_site(SITE)
    return commission(site, load_record(SITE, site))


@pytest.fixture
def full_after():
    """Give a block within which the system lets no file grow beyond so many bytes."""

    @contextlib.contextmanager
    def limited(size: int) -> Iterator[None]:
        soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
        resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
        try:
            yield
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))

    return limited


@pytest.fixture
def closed_folder(tmp_path: Path) -> Iterator[Path]:
    """Give a folder that holds a file and may be read but not written to, even by root."""
    folder = tmp_path / "closed"
    folder.mkdir()
    (folder / "there").write_text("old", encoding="utf-8")
    folder.chmod(0o555)
    root = os.geteuid() == 0
    if root:
        for above in (tmp_path, *tmp_path.parents[:2]):
            above.chmod(0o755)
        os.seteuid(NOBODY)
    yield folder
    if root:
        os.seteuid(0)
    folder.chmod(0o755)
