"""A file is written whole or not at all."""

import os
import stat

import pytest

from pvkit.errors import InputError
from pvkit.present.files import write_text

TEXT = "é £ − CO₂e\n"


def test_text_is_written_as_utf_8(tmp_path):
    write_text(tmp_path / "a.html", TEXT)
    assert (tmp_path / "a.html").read_bytes() == TEXT.encode("utf-8")


def test_an_existing_file_is_replaced(tmp_path):
    path = tmp_path / "a.html"
    path.write_text("a much longer text that was there before")
    write_text(path, TEXT)
    assert path.read_text(encoding="utf-8") == TEXT


def test_nothing_else_is_left_in_the_folder(tmp_path):
    write_text(tmp_path / "a.html", TEXT)
    assert [path.name for path in tmp_path.iterdir()] == ["a.html"]


def test_a_file_is_as_readable_as_any_new_one(tmp_path):
    old = os.umask(0o022)
    try:
        write_text(tmp_path / "a.html", TEXT)
    finally:
        os.umask(old)
    assert stat.S_IMODE((tmp_path / "a.html").stat().st_mode) == 0o644


def test_a_folder_that_is_not_there_is_said_so(tmp_path):
    path = tmp_path / "nowhere" / "a.html"
    with pytest.raises(InputError) as caught:
        write_text(path, TEXT)
    (fault,) = caught.value.faults
    assert fault.where == str(path)
    assert "cannot be written" in fault.found


def test_a_write_that_fails_leaves_the_old_file_and_no_part(tmp_path):
    path = tmp_path / "a.html"
    path.write_text("old")
    with pytest.raises(UnicodeEncodeError):
        write_text(path, "half of it \ud800 cannot be written")
    assert path.read_text() == "old"
    assert [path.name for path in tmp_path.iterdir()] == ["a.html"]


def test_a_folder_in_the_files_place_is_said_so_and_no_part_is_left(tmp_path):
    (tmp_path / "a.html").mkdir()
    with pytest.raises(InputError):
        write_text(tmp_path / "a.html", TEXT)
    assert [path.name for path in tmp_path.iterdir()] == ["a.html"]
