"""``pvkit compare`` and ``pvkit estimate --range``: figures, files, exit codes."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from pvkit.site.samples import samples_folder

SAMPLE = str(samples_folder() / "scenarios" / "bungalow_choices.toml")


def run(*arguments: str, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "pvkit.cli", *arguments]
    return subprocess.run(command, capture_output=True, text=True, cwd=cwd, check=False)


@pytest.fixture(scope="module")
def facts():
    done = run("compare", "bungalow_extension", SAMPLE, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_json_holds_every_case_with_its_difference_from_the_first(facts):
    first, *others = facts["cases"]
    assert first["name"] == "as surveyed"
    assert set(first["difference"].values()) <= {0.0, None}
    assert len(others) == 4
    for case in others:
        expected = case["npv_gbp"] - first["npv_gbp"]
        assert case["difference"]["npv_gbp"] == pytest.approx(expected)
        assert case["npv_p90_gbp"] < case["npv_gbp"]
    assert facts["draws"] >= 2000


def test_the_table_is_printed_or_written(tmp_path):
    done = run("compare", "bungalow_extension", SAMPLE, "--out", "side.txt", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    text = (tmp_path / "side.txt").read_text(encoding="utf-8")
    assert "without the diverter" in text
    assert "Net present value" in text
    assert "nan" not in text


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "scenario"),
        ('[[scenario]]\nname = "a"\nchanges = { "array.mian.count" = 3 }\n', "scenario 'a'"),
        ('[[scenario]]\nname = "a"\nchangs = {}\n', "changes"),
    ],
)
def test_a_bad_scenario_file_ends_with_2_and_a_message(tmp_path, text, said):
    file = tmp_path / "bad.toml"
    file.write_text(text, encoding="utf-8")
    done = run("compare", "bungalow_extension", str(file))
    assert done.returncode == 2
    assert said in done.stderr
    assert "Traceback" not in done.stderr + done.stdout


def test_estimate_says_how_sure_it_is_when_asked():
    done = run("estimate", "bungalow_extension", "--json", "--range")
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    assert found["ranges"]["yield_kwh"]["p90"] < found["ac_kwh"]
    assert found["ranges"]["payback_years"]["p90"] is None  # not within the span
    assert found["ranges"]["sways"][0]["doubt"]["source"]
    paths = {path["path"]: path for path in found["carbon_paths"]}
    assert paths["flat"]["saved_kg"] > paths["falling"]["saved_kg"]
    assert sum(line["gbp"] for line in found["price_lines"]) == found["capital_gbp"]
    assert found["standard_estimate"]["standard_kwh"] > 0
    assert found["loan"] is None
