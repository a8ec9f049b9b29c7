"""The command line: figures, files, exit codes, and never a traceback."""

import csv
import json
import subprocess
import sys
from pathlib import Path

import pytest

from pvkit import estimate, load_site

JSON_KEYS = {
    "site", "kwp", "ac_kwh", "specific_yield_kwh_per_kwp", "performance_ratio", "monthly_ac_kwh",
    "poa_kwh_per_m2", "ghi_kwh_per_m2", "loss_stack", "demand_kwh", "direct_kwh",
    "battery_out_kwh", "cylinder_kwh", "export_kwh", "import_kwh", "gas_saved_kwh",
    "first_year_saving_gbp", "capital_gbp", "simple_payback_years", "discounted_payback_years",
    "npv_gbp", "irr", "lcoe_gbp_per_kwh", "carbon_saved_kgco2e", "carbon_first_year_kgco2e",
    "cash_table", "assumptions", "warnings", "cautions",
}  # fmt: skip
CASH_KEYS = {
    "year", "yield_kwh", "direct_kwh", "export_kwh", "cylinder_kwh", "saving_gbp", "costs_gbp",
    "net_gbp", "cumulative_gbp", "discounted_gbp",
}  # fmt: skip


def run(*arguments: str, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "pvkit.cli", *arguments]
    return subprocess.run(command, capture_output=True, text=True, cwd=cwd, check=False)


@pytest.fixture(scope="module")
def facts():
    done = run("estimate", "bungalow_extension", "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_json_has_every_documented_key(facts):
    assert facts.keys() >= JSON_KEYS
    assert facts["cash_table"][0].keys() >= CASH_KEYS
    assert facts["loss_stack"][0].keys() >= {"step", "kwh", "percent_of_previous"}
    assert facts["assumptions"][0].keys() == {"name", "value", "unit", "source", "kind"}


def test_json_compares_the_wirings_and_lists_every_panel(facts):
    assert facts["wiring_comparison"].keys() >= {
        "string_kwh", "string_local_maximum_kwh", "optimiser_kwh", "optimiser_own_loss_kwh",
        "unshaded_kwh", "break_even_gbp_per_module",
    }  # fmt: skip
    assert [module["number"] for module in facts["modules"]] == [1, 2, 3, 4, 5, 6]
    assert facts["modules"][0].keys() >= {"kwh", "beam_lost_percent", "sky_lost_percent"}


def test_json_says_what_python_says(facts):
    answer = estimate(load_site("bungalow_extension"))
    assert facts["ac_kwh"] == pytest.approx(answer.ac_kwh, rel=1e-12)
    assert facts["npv_gbp"] == pytest.approx(answer.npv_gbp, rel=1e-12)


def test_the_paths_add_up_to_what_is_made_and_used(facts):
    paths = facts["direct_kwh"] + facts["cylinder_kwh"] + facts["export_kwh"]
    assert paths == pytest.approx(facts["ac_kwh"], abs=1e-6)
    assert facts["direct_kwh"] + facts["import_kwh"] == pytest.approx(facts["demand_kwh"], abs=1e-6)
    assert sum(facts["monthly_ac_kwh"]) == pytest.approx(facts["ac_kwh"], abs=1e-6)


def test_the_loss_stack_closes(facts):
    kwh = [step["kwh"] for step in facts["loss_stack"]]
    assert sum(kwh[:-1]) == pytest.approx(kwh[-1], abs=1e-9)


def test_the_cash_table_runs_from_the_outlay_to_the_last_year(facts):
    table = facts["cash_table"]
    assert [row["year"] for row in table] == list(range(26))
    assert table[0]["net_gbp"] == -facts["capital_gbp"]
    assert table[1]["saving_gbp"] == pytest.approx(facts["first_year_saving_gbp"])
    assert table[-1]["discounted_gbp"] == pytest.approx(facts["npv_gbp"])
    assert table[1]["yield_kwh"] == pytest.approx(facts["ac_kwh"] * 0.98)


def test_flows_are_written_half_hour_by_half_hour_and_balance(tmp_path):
    file = tmp_path / "flows.csv"
    assert run("estimate", "bungalow_extension", "--flows", str(file)).returncode == 0
    rows = list(csv.DictReader(file.read_text(encoding="utf-8").splitlines()))
    assert len(rows) == 17520
    assert rows[0]["start_utc"] == "2025-01-01T00:00Z"
    for row in rows:
        value = {name: float(text) for name, text in row.items() if name != "start_utc"}
        paths = ("direct_kwh", "cylinder_kwh", "export_kwh", "spilled_kwh")
        assert value["solar_kwh"] == pytest.approx(sum(value[p] for p in paths), abs=1e-9)


def test_a_report_is_written_and_its_path_printed(tmp_path):
    done = run("report", "south_family_home", "-o", "r.html", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert str(tmp_path / "r.html") in done.stdout
    assert "Makes in a year" in done.stdout
    assert (tmp_path / "r.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


def test_sites_lists_the_samples():
    done = run("sites")
    assert done.returncode == 0
    assert "bungalow_extension" in done.stdout


def test_cautions_show_in_the_summary():
    text = run("estimate", "bungalow_extension").stdout
    for word in ("not a promise", "structural engineer", "registered person", "legionella"):
        assert word in text


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["estimate", "nowhere.toml"], "nowhere.toml"),
        (["estimate"], "Missing argument"),
        (["estimat", "bungalow_extension"], "estimate"),
        (["report", "bungalow_extension"], "--out"),
        (["report", "bungalow_extension", "-o", "report.doc"], ".html"),
        (["report", "bungalow_extension", "-o", "no/such/folder/r.html"], "cannot be written"),
        (["estimate", "bungalow_extension", "--out", "no/such/folder/r.txt"], "cannot be written"),
    ],
)
def test_a_bad_call_ends_with_2_and_a_message(arguments, said, tmp_path):
    done = run(*arguments, cwd=tmp_path)
    assert done.returncode == 2
    assert said in done.stderr
    assert "Traceback" not in done.stderr + done.stdout


def test_a_broken_site_file_tells_all_its_faults_and_ends_with_2(tmp_path):
    file = tmp_path / "broken site é.toml"
    good = Path(load_text("bungalow_extension")).read_text(encoding="utf-8")
    file.write_text(
        good.replace("latitude = 52.9", "latitude = 529")
        .replace("tilt_deg = 10", "tilt_deg = 300")
        .replace("[home]", "[hoem]"),
        encoding="utf-8",
    )
    done = run("estimate", str(file))
    assert done.returncode == 2
    for said in ("site.latitude", "array.main.tilt_deg", "hoem", "Allowed:", "Fix:"):
        assert said in done.stderr
    assert "Traceback" not in done.stderr


def test_a_string_outside_the_inverters_window_is_refused(tmp_path):
    file = tmp_path / "short.toml"
    good = Path(load_text("south_family_home")).read_text(encoding="utf-8")
    file.write_text(good.replace("rows = 2\ncolumns = 5", "count = 2"), encoding="utf-8")
    done = run("estimate", str(file))
    assert done.returncode == 2
    assert "array.main.count" in done.stderr


def load_text(name: str) -> str:
    from pvkit.site.samples import sample_path

    return str(sample_path(name))
