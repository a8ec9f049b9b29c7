"""Names of files with spaces, accents and letters of another encoding; consoles of few letters."""

import io
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from pvkit.cli import main
from pvkit.present.history import read_history
from pvkit.site.samples import reading_files, record_files, sample_path
from pvkit.study.record import read_record

SITE, READINGS = "bungalow_extension", "bungalow_second_year"
ODD = (
    "a plain",
    "with two  spaces",
    "façade Größe ½",
    "日本 屋根",
    "it's #1 & 50 % [new] {x}",
    "-o",
)


def run(monkeypatch, *words: str | Path) -> int:
    """Run the command as the console does; give how it ended."""
    monkeypatch.setattr(sys, "argv", ["pvkit", *map(str, words)])
    with pytest.raises(SystemExit) as end:
        main()
    return int(end.value.code or 0)


@pytest.fixture(params=ODD)
def folder(request, tmp_path):
    found = tmp_path / request.param
    found.mkdir()
    shutil.copy(sample_path(SITE), found / f"{request.param} site.toml")
    shutil.copy(record_files()[SITE], found / f"{request.param} record.toml")
    shutil.copy(reading_files()[READINGS], found / f"{request.param} visit.toml")
    return found


def test_a_whole_job_works_under_any_name(folder, monkeypatch, capsys):
    name = folder.name
    site, record, readings = (folder / f"{name} {end}.toml" for end in ("site", "record", "visit"))
    kept, pack, history = folder / f"{name} kept", folder / f"{name} p.html", folder / f"{name} h"
    sheet, check = folder / f"{name} sheet.html", folder / f"{name} check.html"
    assert run(monkeypatch, "commission", site, "--record", record, "--save", kept,
               "--handover", pack) == 0  # fmt: skip
    assert run(monkeypatch, "visit", site, "--readings", readings, "--history", history,
               "--out", sheet) == 0  # fmt: skip
    assert run(monkeypatch, "check", site, "--out", check) == 0
    said = capsys.readouterr().out
    assert str(pack) in said
    (machine,) = kept.glob("*.json")
    assert read_record(machine.read_text(encoding="utf-8")).complete
    assert len(read_history(history, "yearly visit")) == 1
    for page in (pack, sheet, check):
        assert page.read_text(encoding="utf-8").startswith("<!doctype html>")


def test_weather_of_an_odd_name_is_found_beside_the_site(monkeypatch, capsys, tmp_path):
    text = sample_path(SITE).read_text(encoding="utf-8")
    more = '\n[weather]\nsource = "csv"\nfile = "wetter für 2023 ½.csv"\n'
    (tmp_path / "my häus.toml").write_text(text + more, encoding="utf-8")
    (tmp_path / "wetter für 2023 ½.csv").write_text("time,ghi\n", encoding="utf-8")
    assert run(monkeypatch, "estimate", tmp_path / "my häus.toml") == 2
    assert "wetter für 2023 ½.csv: found no column 'temp_air'" in capsys.readouterr().err


@pytest.fixture
def latin_1(tmp_path):
    """Give the bytes of a folder's and a file's names that are no UTF-8."""
    return os.fsencode(tmp_path) + b"/caf\xe9", b"/gr\xf6\xdfe"


def console(*words: str | bytes, letters: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "pvkit.cli", *words],
        env=os.environ | {"PYTHONIOENCODING": letters}, capture_output=True, timeout=120,
        check=False,
    )  # fmt: skip


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere names are always Unicode")
def test_names_that_are_no_utf_8_are_read_and_written_or_refused_in_words(latin_1):
    folder, name = latin_1
    Path(os.fsdecode(folder)).mkdir()
    site, readings, history = folder + name, folder + name + b".csv", folder + b"/h"
    shutil.copy(sample_path("south_family_home"), site)
    shutil.copy(reading_files()["family_home_october"].with_suffix(".csv"), readings)
    shutil.copy(reading_files()["family_home_october"], folder + b"/visit.toml")
    shutil.copy(readings, folder + b"/family_home_october.csv")
    end = console("visit", site, "--readings", folder + b"/visit.toml", "--history", history,
                  "--out", folder + name + b".html", letters="utf-8:strict")  # fmt: skip
    assert (end.returncode, end.stderr) == (0, b"")
    assert len(read_history(Path(os.fsdecode(history)), "yearly visit")) == 1
    assert Path(os.fsdecode(folder + name + b".html")).exists()
    end = console("visit", site, "--readings", readings, letters="utf-8:strict")
    assert end.returncode == 2
    assert b"found a file name that is no plain text" in end.stderr
    assert b"Traceback" not in end.stderr


@pytest.mark.parametrize("letters", ["latin-1", "cp1252", "ascii", "utf-8"])
def test_a_console_of_few_letters_gets_its_answer(letters, monkeypatch):
    page = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(page, letters, errors="strict"))
    assert run(monkeypatch, "check", SITE) == 0
    sys.stdout.flush()
    said = page.getvalue().decode(letters)
    assert " pass, 0 fail, " in said
    assert ("✓ pass" if letters == "utf-8" else r"\u2713 pass") in said
