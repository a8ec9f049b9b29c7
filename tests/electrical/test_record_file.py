"""The record as a file: its template, its faults in plain words, its samples."""

import datetime
import re
import tomllib

import pytest

from pvkit import load_site
from pvkit.electrical.commissioning import judge_record
from pvkit.electrical.protection import protection_settings
from pvkit.electrical.readings import build_record, load_record
from pvkit.electrical.record_file import Protection, RecordFile, StringRecord
from pvkit.electrical.record_template import record_template
from pvkit.errors import InputError
from pvkit.site.samples import record_files, sample_sites
from pvkit.tables import rows
from tests.electrical.records import changed, sample, whole

PLAIN, OPTIMISED = load_site("south_family_home"), load_site("bungalow_extension")
DAY = datetime.date(2026, 5, 14)
# A sound value for every kind of advice that a template's line may give.
FILLED = {
    "polarity": "'correct'", "before_start": "'safe volts'", "rule": "'G98'", "date": "2026-05-14",
    "modules": "['a', 'b']", "optimisers": "['a', 'b']", "droop_hz": "50.4",
    "module_voc_v": "[37, 37, 37, 37, 37, 37]", "insulation_test_v": "500", "safe_v_each": "1",
}  # fmt: skip
NUMBERS = r"_(v|a|s|ohm|mohm|kwh|degc|m2)$"
TICKS = ("frame_bonded", "stayed_off", "satisfactory", "starts", "isolators_break",
         "labels_in_place")  # fmt: skip


def faults(raw: dict, site=PLAIN) -> list:
    with pytest.raises(InputError) as caught:
        build_record(raw, site)
    return list(caught.value.faults)


@pytest.mark.parametrize("name", [each.name for each in sample_sites()])
def test_an_empty_template_is_sound_and_not_complete(name):
    site = load_site(name)
    raw = tomllib.loads(record_template(site, DAY))
    found = judge_record(site, build_record(raw, site))
    assert not found.complete
    assert len(raw["string"]) == sum(array.strings for array in site.array)


def filled(line: str) -> str:
    """Take the # off a template's line and put a value in."""
    match = re.match(r"# (\w+) = ({.*?})? *#", line)
    if match is None:
        return line.removeprefix("# ") if line.startswith("# [[") else line
    key = match[1]
    if match[2]:
        return f"{key} = {{ level = 50, trip_s = 0.5 }}"
    value = FILLED.get(key) or ("true" if key in TICKS else "'x'")
    return f"{key} = {'12' if re.search(NUMBERS, key) and key not in FILLED else value}"


@pytest.mark.parametrize("site", [PLAIN, OPTIMISED])
def test_every_line_of_a_template_is_sound_once_it_is_filled_in(site):
    lines = [filled(line) for line in record_template(site, DAY).splitlines()]
    raw = tomllib.loads("\n".join(lines))
    for string in raw["string"]:  # one way of measuring excludes the other
        string.pop("insulation_joined_mohm")
        if site is OPTIMISED:
            string.pop("voc_v"), string.pop("isc_a")
    file = build_record(raw, site)
    for table in RecordFile.model_fields:
        if table not in ("string", "photo") and not (table == "optimisers" and site is PLAIN):
            assert set(raw[table]) == set(type(getattr(file, table)).model_fields)
    skipped = {"safe_v", "module_voc_v"} if site is PLAIN else {"voc_v", "isc_a"}
    unset = set(StringRecord.model_fields) - set(raw["string"][0])
    assert unset == skipped | {"insulation_joined_mohm"}


def test_a_sites_name_cannot_break_out_of_its_comment():
    place = PLAIN.site.model_copy(update={"name": "x\n[evil]\nkey = 1"})
    text = record_template(PLAIN.model_copy(update={"site": place}), DAY)
    assert "evil" not in tomllib.loads(text)


def test_every_protection_function_of_the_network_rules_has_its_key():
    keys = set(Protection.model_fields) - {"rule", "reconnect_s", "droop_hz"}
    assert keys == {setting.id for setting in protection_settings()}
    assert keys == {row["id"] for row in rows("g98_protection.csv")}


@pytest.mark.parametrize(
    ("key", "value", "where", "said"),
    [
        ("string.0.vco_v", 400.0, "string.1.vco_v", "use 'voc_v' if that is what you meant"),
        ("string.0.voc_v", -400.0, "string.1.voc_v", "polarity is reversed"),
        ("string.0.voc_v", "400 V", "string.1.voc_v", "a number from 0 to 1500 V"),
        ("string.0.polarity", "corect", "string.1.polarity", "use 'correct'"),
        ("string.0.array", "mian", "string.1.array", "use 'main' if that is what you meant"),
        ("string.0.number", 2, "string.1.number", "1 to 1, the strings of array 'main'"),
        ("string.0.safe_v", 6.0, "string.1.safe_v", "has no optimisers"),
        ("string.0.module_voc_v", [38.0], "string.1.module_voc_v", "one for each module"),
        ("string.0.insulation_joined_mohm", 9.0, "string.1.insulation_joined_mohm", "beside"),
        ("protection.under_voltage", 184.0, "protection.under_voltage", "level = a number"),
        ("record.date", "2026-05-14", "record.date", "a date without quotes"),
        ("works.starts", "yes", "works.starts", "true or false"),
        ("loss_of_main", {}, "loss_of_main", "use 'loss_of_mains'"),
    ],
)
def test_each_slip_is_named_with_what_to_do(key, value, where, said):
    (fault,) = faults(changed(whole(PLAIN), key, value))
    assert fault.where == f"record, {where}"
    assert said in str(fault)


def test_all_faults_are_told_at_once():
    raw = changed(whole(PLAIN), "string.0.voc_v", "x")
    assert len(faults(changed(raw, "earth.continuity_ohm", -1.0))) == 2


def test_the_same_string_twice_is_refused():
    raw = whole(PLAIN)
    raw["string"] *= 2
    assert "again" in faults(raw)[0].found


@pytest.mark.parametrize("key", ["voc_v", "isc_a"])
def test_modules_figures_on_optimisers_that_have_not_started_are_refused(key):
    raw = changed(sample("bungalow_extension"), f"string.0.{key}", 12.0)
    (fault,) = faults(raw, OPTIMISED)
    assert "before_start = 'module volts'" in fault.fix


def test_a_record_without_its_day_is_refused():
    (fault,) = faults(changed(whole(PLAIN), "record.date", None))
    assert "missing" in fault.found


def test_a_record_that_is_no_file_is_named(tmp_path):
    with pytest.raises(InputError, match="no such file"):
        load_record(tmp_path / "nothing.toml", PLAIN)


def test_the_samples_can_be_read_by_name():
    assert set(record_files()) == {"bungalow_extension", "family_home_with_faults"}
    assert load_record("bungalow_extension", OPTIMISED).record.date == DAY
