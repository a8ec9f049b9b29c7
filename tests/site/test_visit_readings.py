"""Readings files: what is read, and that every fault is told in plain words, all at once."""

import datetime
import re
import tomllib
from pathlib import Path

import numpy as np
import pytest

from pvkit.errors import InputError
from pvkit.site.samples import sample_sites
from pvkit.site.visit_readings import build_visit, day_number, load_visit
from pvkit.site.visit_typed import typed_light, typed_readings
from tests.site.conftest import JARGON

SAMPLES = Path(__file__).parents[2] / "sample_sites" / "readings"
VISIT = "[visit]\ndate = 2027-04-01\ninstalled = 2025-04-12\n"
METER = "[[meter]]\ndate = 2026-04-12\nkwh = 100\n[[meter]]\ndate = 2027-04-01\nkwh = 4100\n"


def told(text, folder):
    """Load a text as a readings file that must be refused, in whole and plain words."""
    file = folder / "visit.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_visit(file)
    for fault in caught.value.faults:
        assert fault.where
        assert fault.allowed
        assert fault.fix
        assert not JARGON.search(str(fault)), str(fault)
    return str(caught.value)


@pytest.mark.parametrize("sample", sorted(SAMPLES.glob("*.toml")), ids=lambda path: path.stem)
def test_every_sample_is_read(sample):
    assert load_visit(sample).file.visit.date.year >= 2026


def test_readings_are_no_sample_sites():
    names = {path.stem for path in SAMPLES.iterdir()}
    assert names.isdisjoint({sample.name for sample in sample_sites()})


def test_meter_readings_are_taken_at_midday(tmp_path):
    spans = build_visit(tomllib.loads(VISIT + METER), "visit.toml", tmp_path).spans
    assert spans is not None
    first, last = (day_number(datetime.date(*day)) for day in ((2026, 4, 12), (2027, 4, 1)))
    assert (spans.start[0], spans.end[0], spans.kwh[0]) == (first + 0.5, last + 0.5, 4000.0)


def test_the_months_of_installation_and_visit_count_from_and_to_that_day(tmp_path):
    raw = tomllib.loads(VISIT + "[monthly]\nfirst = '2025-04'\nkwh = " + str([100] * 25))
    spans = build_visit(raw, "visit.toml", tmp_path).spans
    assert spans is not None
    assert spans.start[0] == day_number(datetime.date(2025, 4, 12))
    assert spans.end[-1] == day_number(datetime.date(2027, 4, 1)) + 0.5
    assert spans.start[1] == day_number(datetime.date(2025, 5, 1))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", ["visit: this table is missing"]),
        (VISIT, ["found no readings", "[[meter]], [monthly], [half_hourly]"]),
        (VISIT + METER + "[monthly]\nfirst = '2026-04'\nkwh = [1]\n", ["found [[meter]] and"]),
        ("[visit]\ndate = 2025-04-01\ninstalled = 2026-04-12\n" + METER,
         ["visit.installed", "after the visit"]),
        (VISIT + METER.replace("2026-04-12", "2025-01-01"), ["readings begin on 2025-01-01"]),
        (VISIT + METER.replace("2027-04-01", "2027-06-01"), ["before the readings end on 2027-06"]),
        (VISIT + METER.replace("4100", "90"), ["meter.2.kwh", "runs backwards"]),
        (VISIT + METER.replace("4100", "-3"), ["meter.2.kwh", "found -3"]),
        (VISIT + METER.replace("4100", "'4100'"), ["without quotes"]),
        (VISIT + METER.replace("2027-04-01", "2026-01-01"), ["meter.2.date", "in the order"]),
        (VISIT + METER.replace("2027-04-01", "2026-04-12"), ["a second time"]),
        (VISIT + METER[: len(METER) // 2], ["2 to 1000 tables [[meter]]"]),
        (VISIT + "[monthly]\nfirst = '2026-4'\nkwh = [1]\n", ["'2026-04'", "monthly.first"]),
        (VISIT + "[monthly]\nfirst = '2026-04'\n", ["found first", "first and kwh"]),
        (VISIT + "[monthly]\nfirst = '2026-04'\nkwh = [1, -2]\n", ["monthly.kwh.2"]),
        (VISIT + "[monthly]\nfirst = '2025-01'\nkwh = [1, 2, 3, 4, 5, 6]\n",
         ["visit.installed", "readings begin on 2025-01-01"]),
        (VISIT + METER + "[irradiation]\nfirst = '2026-04'\nkwh_per_m2 = [900]\n",
         ["irradiation.kwh_per_m2.1", "0 to 400 kWh/m2"]),
        (VISIT + METER + "[irradiation]\nkwh_per_m2 = [90]\n", ["found kwh_per_m2"]),
        (VISIT + METER + "[weather]\nsource = 'tmy3'\nfile = 'a'\n", ["'csv' or 'epw'"]),
        (VISIT + METER + "[weather]\nfile = 'a'\n[irradiation]\nfirst = '2026-04'\nkwh_per_m2 ="
         " [90]\n", ["weather, irradiation", "one way"]),
        (VISIT + METER + "[checks]\npanel = 'good'\n", ["checks.panel", "use 'panels'"]),
        (VISIT + METER + "[checks]\npanels = 'fine'\n", ["'good', 'put right' or 'fault'"]),
        (VISIT + METER + "[checks]\nover_voltage_trips = -1\n", ["over_voltage_trips"]),
        (VISIT + METER + "[[insulation]]\nname = 'a'\ntest_v = 5\nmohm = 1\n", ["test_v"]),
        (VISIT + "[half_hourly]\nfile = 'none.csv'\nclock = 'utc'\n", ["no such file"]),
        ("[visit]\ndate = 2027-04-01\n" + METER, ["visit.installed", "is missing"]),
        ("[visit]\ndate = '2027-04-01'\ninstalled = 2025-04-12\n" + METER, ["without quotes"]),
        ("visit = 3", ["visit: found 3"]),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_in_plain_words(text, said, tmp_path):
    message = told(text, tmp_path)
    for words in said:
        assert words in message, message


def test_all_faults_come_at_once(tmp_path):
    text = VISIT.replace("2025", "2028") + METER.replace("4100", "90")
    assert told(text, tmp_path).startswith("2 things to put right")


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("month,kWh\n2026-04,500\n2026-06,520\n", ["row 2", "2026-05 is missing"]),
        ("month,kWh\n2026-04,500\n2026-03,520\n", ["sort the rows by month"]),
        ("month,kWh\n2026-04,500\n2026-04,520\n", ["a second time"]),
        ("month,kWh\n2026-04,\n", ["found no kWh"]),
        ("month,kWh\n2026-04,5 kWh\n", ["a point for decimals"]),
        ("month,kWh\n2026-04,nan\n", ["a number of kWh"]),
        ("month,kWh\n2026-04,-5\n", ["none below 0"]),
        ("month,kWh\nApril,500\n", ["2026-04", "found month 'April'"]),
        ("month,kWh\n", ["no rows"]),
        ("month;kWh\n2026-04;500\n", ["commas"]),
        ("month,energy\n2026-04,500\n", ["no column 'kWh'"]),
    ],
)
def test_what_is_wrong_with_a_monthly_csv_is_told(rows, said, tmp_path):
    (tmp_path / "made.csv").write_text(rows, encoding="utf-8")
    message = told(VISIT + "[monthly]\nfile = 'made.csv'\n", tmp_path)
    for words in said:
        assert words in message, message


def test_a_monthly_csv_alone_will_do(tmp_path):
    file = tmp_path / "made.csv"
    file.write_text("month,kWh,other\n2026-04,500,x\n2026-05,600,y\n", encoding="utf-8")
    brought = load_visit(file, datetime.date(2025, 5, 1))
    assert brought.spans is not None
    assert brought.spans.kwh.tolist() == [500.0, 600.0]
    assert brought.file.visit.date == datetime.date(2026, 6, 1)
    assert brought.notes == ()


@pytest.mark.parametrize("name", ["a.toml", "a.csv"])
def test_a_missing_file_is_told_without_naming_samples(name, tmp_path):
    with pytest.raises(InputError, match="no such file") as caught:
        load_visit(tmp_path / name)
    assert "bungalow" not in str(caught.value)


def test_light_may_come_from_a_csv(tmp_path):
    (tmp_path / "light.csv").write_text("Month,kWh_per_m2\n2026-04,121\n2026-05,160\n", "utf-8")
    raw = tomllib.loads(VISIT + METER + "[irradiation]\nfile = 'light.csv'\n")
    light = build_visit(raw, "visit.toml", tmp_path).light
    assert light is not None
    assert light.kwh_per_m2.tolist() == [121.0, 160.0]
    assert np.datetime64(light.first, "M") == np.datetime64("2026-04")


def test_typed_lines_become_the_tables_of_a_file():
    assert typed_readings("2026-04-12, 100\n\n2027-04-01; 4100")["meter"][1]["kwh"] == 4100.0
    assert typed_readings("2026-04 543\n2026-05 652")["monthly"]["kwh"] == [543.0, 652.0]
    assert typed_light("") == {}
    assert typed_light("2026-04 121")["irradiation"]["first"] == "2026-04"


@pytest.mark.parametrize(
    ("text", "said"),
    [("", "found nothing"), ("12/04/2026 100", "line 1"), ("2026-04-12 100\n2026-05 3", "line 2"),
     ("2026-04-31 100\n2026-05-01 2", "calendar"), ("2026-04 5\n2026-06 5", "is missing")],
)  # fmt: skip
def test_a_line_that_is_no_reading_is_told_with_its_number(text, said):
    with pytest.raises(InputError, match=re.escape(said)):
        typed_readings(text)
