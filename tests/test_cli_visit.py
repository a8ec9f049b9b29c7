"""``pvkit visit``: exit codes, files, and never a traceback."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

READINGS = Path(__file__).parents[1] / "sample_sites" / "readings"
SOUND = ("bungalow_extension", "bungalow_second_year.toml")
LOW = ("east_west_pair", "east_west_low_since_autumn.toml")
KEYS = {
    "format_version", "kind", "site", "visit_date", "installed", "made_kwh", "expected_kwh",
    "ratio", "doubt", "performance_ratio", "verdict", "sentence", "look_at", "spans", "rows",
    "not_looked_at", "notes", "cautions",
}  # fmt: skip


def run(sample, *more, cwd=None):
    site, name = sample
    command = [sys.executable, "-m", "pvkit.cli", "visit", site, "--readings", READINGS / name]
    return subprocess.run([*map(str, command), *more], capture_output=True, text=True, cwd=cwd,
                          check=False)  # fmt: skip


@pytest.fixture(scope="module")
def sound(tmp_path_factory):
    """Judge, record and print a sound year, and give the folder and what was said."""
    folder = tmp_path_factory.mktemp("visit")
    done = run(SOUND, "--out", "sheet.html", "--history", "visits.jsonl", cwd=folder)
    return folder, done


def test_a_sound_year_ends_with_0_and_is_printed_and_recorded(sound):
    folder, done = sound
    assert done.returncode == 0, done.stderr
    assert "As expected" in done.stdout
    assert "Record added" in done.stdout
    page = (folder / "sheet.html").read_text(encoding="utf-8")
    assert page.startswith("<!doctype html>")


def test_a_low_year_ends_with_1_and_says_everything_as_json():
    low = run(LOW, "--json")
    assert low.returncode == 1, low.stderr
    facts = json.loads(low.stdout)
    assert facts.keys() >= KEYS
    assert facts["verdict"] == "low"
    assert facts["rows"][0].keys() == {"what", "value", "limit", "verdict", "source"}


def test_a_second_visit_is_set_beside_the_first(sound, tmp_path):
    history = tmp_path / "visits.jsonl"
    history.write_bytes((sound[0] / "visits.jsonl").read_bytes())
    later = (READINGS / SOUND[1]).read_text(encoding="utf-8")
    for was, now in (
        ("date = 2027-04-01", "date = 2028-04-01"),
        ("2026-04-01", "2027-04-01"),
        ('first = "2026-04"', 'first = "2027-04"'),
        ("kwh = 4779", "kwh = 4520"),
    ):
        later = later.replace(was, now)
    (tmp_path / "later.toml").write_text(later, encoding="utf-8")
    done = run((SOUND[0], tmp_path / "later.toml"), "--history", str(history))
    assert done.returncode == 1, done.stdout + done.stderr
    assert "Against its own earlier visits" in done.stdout
    assert len(history.read_text(encoding="utf-8").splitlines()) == 2


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (["--history", "no/such/folder/h.jsonl"], "cannot be written"),
        (["--installed", "2025-04-12"], "stands in the file's [visit]"),
    ],
)
def test_a_bad_call_ends_with_2_and_a_message(more, said, tmp_path):
    done = run(SOUND, *more, cwd=tmp_path)
    assert done.returncode == 2
    assert said in done.stderr
    assert "Traceback" not in done.stderr + done.stdout


def test_bad_readings_end_with_2_and_all_faults(tmp_path):
    text = (READINGS / SOUND[1]).read_text(encoding="utf-8").replace("4779", "12")
    (tmp_path / "bad.toml").write_text(text, encoding="utf-8")
    done = run((SOUND[0], tmp_path / "bad.toml"), "--out", "s.html", cwd=tmp_path)
    assert done.returncode == 2
    assert "runs backwards" in done.stderr
    assert not (tmp_path / "s.html").exists()
