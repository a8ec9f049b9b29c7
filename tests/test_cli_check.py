"""``pvkit check``: exit codes, JSON, files, and never a traceback."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from pvkit.site.samples import sample_path


def run(*arguments: str, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "pvkit.cli", "check", *arguments]
    return subprocess.run(command, capture_output=True, text=True, cwd=cwd, check=False)


@pytest.fixture(scope="module")
def low_window(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write a site of ten plain modules on an inverter for few volts."""
    text = Path(str(sample_path("south_family_home"))).read_text(encoding="utf-8")
    start = text.index("[inverter]")
    end = text.index("[", start + 1)
    sheet = """[inverter.datasheet]
ac_w = 3680
efficiency_10 = 0.94
efficiency_50 = 0.97
efficiency_100 = 0.965
dc_max_v = 160
mppt_min_v = 40
mppt_max_v = 140
trackers = 1
input_max_a = 16
input_isc_max_a = 20

"""
    file = tmp_path_factory.mktemp("sites") / "low.toml"
    file.write_text(text[:start] + sheet + text[end:], encoding="utf-8")
    return file


def test_a_sound_site_ends_with_0_and_prints_a_sheet():
    done = run("bungalow_extension")
    assert done.returncode == 0, done.stderr
    for words in ("Network route", "0 fail", "structural engineer", "Where the limits are from"):
        assert words in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 100


def test_json_has_the_documented_keys():
    done = run("bungalow_extension", "--json")
    assert done.returncode == 0
    facts = json.loads(done.stdout)
    assert facts.keys() >= {"rows", "layout", "ballast", "cautions"}
    assert all(
        row.keys() == {"what", "value", "limit", "verdict", "source"} for row in facts["rows"]
    )


def test_a_string_outside_the_window_ends_with_1_and_its_reason(low_window):
    done = run(str(low_window))
    assert done.returncode == 1
    assert "Traceback" not in done.stderr + done.stdout
    head = " ".join(done.stdout.split("──")[0].split())
    assert "put at most 3 in a string" in head
    assert run(str(low_window), "--json").returncode == 1


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("tilt_deg = 10", "tilt_deg = 300", "array.main.tilt_deg"),
        ("[home]", "[supply]\nloop_ohm = 35\n\n[home]", "supply.loop_ohm"),
        ("[home]", '[supply]\nearthing = "TNCS"\n\n[home]', "supply.earthing"),
        ("[home]", "[cables]\ndc_mm2 = 5\n\n[home]", "cables.dc_mm2"),
    ],
)
def test_a_bad_file_ends_with_2_and_a_message(old, new, said, tmp_path):
    text = Path(str(sample_path("bungalow_extension"))).read_text(encoding="utf-8")
    assert old in text
    file = tmp_path / "bad.toml"
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    done = run(str(file))
    assert done.returncode == 2
    assert said in done.stderr
    assert "Fix:" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_missing_file_ends_with_2():
    assert run("nowhere.toml").returncode == 2


def test_the_engineers_sheet_and_the_plan_are_written_and_named(tmp_path):
    done = run("flat_roof_garage", "--engineer", "e.html", "--plan", "p.svg", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "e.html" in done.stdout
    assert "p.svg" in done.stdout
    assert "For the structural engineer" in (tmp_path / "e.html").read_text(encoding="utf-8")
    assert (tmp_path / "p.svg").read_text(encoding="utf-8").startswith("<svg")
    quiet = run("flat_roof_garage", "--json", "--plan", "p.svg", cwd=tmp_path)
    assert json.loads(quiet.stdout)["rows"]
    wrong = run("flat_roof_garage", "--plan", "p.png", cwd=tmp_path)
    assert wrong.returncode == 2
    assert "p.png: found the ending '.png'" in wrong.stderr


def test_the_sheet_is_written_as_text_or_as_a_page(tmp_path):
    assert run("bungalow_extension", "--out", "c.txt", cwd=tmp_path).returncode == 0
    assert run("bungalow_extension", "--out", "c.html", cwd=tmp_path).returncode == 0
    assert "Network route" in (tmp_path / "c.txt").read_text(encoding="utf-8")
    page = (tmp_path / "c.html").read_text(encoding="utf-8")
    assert page.startswith("<!doctype html>")
    assert run("bungalow_extension", "--out", "no/c.txt", cwd=tmp_path).returncode == 2
