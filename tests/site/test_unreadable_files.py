"""Files that are no site file at all: each is told so, none gives a traceback or hangs."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from pvkit.errors import InputError
from pvkit.site.reader import load_site
from pvkit.site.toml_file import LARGEST_SITE_FILE_BYTES

Refusal = Callable[[str], InputError]


def told(path: str | Path) -> str:
    with pytest.raises(InputError) as caught:
        load_site(path)
    (fault,) = caught.value.faults
    assert fault.allowed
    assert fault.fix
    return str(fault)


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ("tilt_deg = 30 deg", "something after the value"),
        ("tilt_deg = 30°", "something after the value"),
        ("price = £26", "no number, text, list"),
        ("name = top", "no number, text, list"),
        ("name = “top”", "no number, text, list"),
        ("name =", "no number, text, list"),
        ('name = "top', "without its closing quote"),
        ("size = 5,5", "something after the value"),
        ("roof", "without = after it"),
        ("[roof", "found"),
        ("name = 1\nname = 2", "stands twice"),
        ("[roof]\n[roof]", "the table [roof] twice"),
        ("[a.b]\n[a.b]", "the table [a.b] twice"),
        ("count = 007", "found"),
        ("day = 2025-13-45", "found"),
    ],
)
def test_a_line_that_is_no_toml_is_shown_with_its_number(
    line: str, reason: str, refusal: Refusal
) -> None:
    (fault,) = refusal(f"# a comment\n\n{line}\n").faults
    assert fault.where == f"home.toml, line {3 + line.count(chr(10))}"
    assert line.rpartition("\n")[2] in fault.found
    assert reason in fault.found


def test_a_list_left_open_is_told_at_the_end_of_the_file(refusal: Refusal) -> None:
    (fault,) = refusal("bearing_deg = [90, 120\n").faults
    assert "line 1" in fault.where
    assert "closing ]" in fault.found


def test_lists_nested_too_deep_are_told(refusal: Refusal) -> None:
    assert "nested too deep" in str(refusal("a = " + "[" * 100_000))


def test_a_number_of_thousands_of_digits_is_told(refusal: Refusal) -> None:
    assert "digits" in str(refusal("a = " + "9" * 10_000))


def test_an_empty_file_is_told_which_tables_it_needs(refusal: Refusal) -> None:
    wheres = [fault.where for fault in refusal("").faults]
    assert wheres == [f"home.toml, {table}" for table in ("site", "roof", "array", "inverter")]


def test_a_missing_file_gets_the_nearest_sample(tmp_path: Path) -> None:
    assert "found no such file" in told(tmp_path / "none.toml")
    assert "use 'bungalow_extension'" in told("bungalow_extention")


def test_a_folder_is_told(tmp_path: Path) -> None:
    assert "found a folder" in told(tmp_path)


@pytest.mark.parametrize("path", ["", "a\0b", "x" * 5000, "home.toml/inner"])
def test_a_path_that_cannot_be_is_told(path: str) -> None:
    assert "found" in told(path)


def test_a_path_through_a_file_is_told(tmp_path: Path) -> None:
    (tmp_path / "home.toml").write_text("", encoding="utf-8")
    assert "cannot be read" in told(tmp_path / "home.toml" / "inner.toml")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes")
def test_a_pipe_that_would_never_end_is_told(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "home.toml")
    assert "no plain file" in told(tmp_path / "home.toml")


def test_a_binary_file_is_told(tmp_path: Path) -> None:
    (tmp_path / "home.toml").write_bytes(bytes(range(256)) * 8)
    assert "no text" in told(tmp_path / "home.toml")


def test_text_of_another_encoding_is_told(tmp_path: Path, good_text: str) -> None:
    (tmp_path / "home.toml").write_text(good_text, encoding="utf-16")
    assert "UTF-8" in told(tmp_path / "home.toml")


def test_text_with_nulls_is_told(tmp_path: Path) -> None:
    (tmp_path / "home.toml").write_bytes(b"name = 'a'\0\n")
    assert "line 1" in told(tmp_path / "home.toml")


def test_a_file_too_large_is_not_read(tmp_path: Path) -> None:
    (tmp_path / "home.toml").write_bytes(b"#" * (LARGEST_SITE_FILE_BYTES + 1))
    assert "1,000,001 bytes" in told(tmp_path / "home.toml")


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read all")
def test_a_file_that_may_not_be_read_is_told(tmp_path: Path) -> None:
    (tmp_path / "home.toml").write_text("", encoding="utf-8")
    (tmp_path / "home.toml").chmod(0)
    assert "cannot be read" in told(tmp_path / "home.toml")


def test_a_mark_of_byte_order_and_windows_lines_are_no_fault(
    tmp_path: Path, good_text: str
) -> None:
    file = tmp_path / "home.toml"
    file.write_bytes(b"\xef\xbb\xbf" + good_text.replace("\n", "\r\n").encode())
    assert load_site(file).site.name == "12 Invented Row"
