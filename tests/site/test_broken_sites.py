"""Each broken file of broken_sites.toml gets its plain fault, and no second cry."""

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from pvkit.errors import InputError

GROUPS = tomllib.loads(Path(__file__).with_name("broken_sites.toml").read_text(encoding="utf-8"))
# A misspelt or missing key may rightly be told twice: this one is unknown, that one is missing.
TOLD_ONCE = [name for name in GROUPS if name not in ("keys", "other_kinds")]

Refusal = Callable[[str], InputError]


def cases(*groups: str) -> list[Any]:
    return [
        pytest.param(case, id=f"{group}: {what}")
        for group in groups
        for what, case in GROUPS[group].items()
    ]


@pytest.mark.parametrize("case", cases(*GROUPS))
def test_a_broken_file_is_told_its_key_what_was_found_and_what_to_do(
    case: dict[str, str], good_text: str, refusal: Refusal
) -> None:
    assert case["old"] in good_text
    error = refusal(good_text.replace(case["old"], case["new"], 1))
    there = [fault for fault in error.faults if fault.where == f"home.toml, {case['key']}"]
    meant = [fault for fault in there if case["found"] in fault.found]
    assert meant, f"\n{error}"
    assert case.get("fix", "") in meant[0].fix, f"\n{error}"


@pytest.mark.parametrize("case", cases(*TOLD_ONCE))
def test_one_slip_gives_one_fault(case: dict[str, str], good_text: str, refusal: Refusal) -> None:
    error = refusal(good_text.replace(case["old"], case["new"], 1))
    assert len(error.faults) == 1, f"\n{error}"


@pytest.mark.parametrize(
    ("old", "new", "key", "found"),
    [
        ("count = 6", "count = 0x" + "f" * 5000, "array.main.count", "very many digits"),
        ("width_m = 9.0", "width_m = " + "9" * 400, "roof.top.width_m", "very many digits"),
        ("[2.8]", "[" * 90 + "]" * 90, "hot_water.immersion_kw.1", "[[[...]]]"),
        ("12 Invented Row", "x" * 300, "site.name", "'xxx"),
        ('"region"\n\n', f'"epw"\nfile = "{"x" * 400}"\n\n', "weather.file", "no file"),
        ("years = 25", f"{'y' * 900} = 25", "finance." + "y" * 80, "unknown key"),
    ],
)
def test_a_value_of_absurd_length_is_told_shortly(
    old: str, new: str, key: str, found: str, good_text: str, refusal: Refusal
) -> None:
    (fault,) = refusal(good_text.replace(old, new, 1)).faults
    assert fault.where == f"home.toml, {key}"
    assert found in fault.found
    assert len(fault.found) < 700


def test_all_faults_of_a_file_come_at_once(good_text: str, refusal: Refusal) -> None:
    slips = {
        "latitude = 52.9": "latitude = 529",
        '"Midlands"': '"Midland"',
        'roof = "top"': 'roof = "tpo"',
        "tilt_deg = 10": "tilt_deg = 300",
        "count = 6": "count = 6\nstrings = 4",
        '"half-cut-415"': '"half-cut-999"',
        "import_gbp_per_kwh = 0.26": "import_gbp_per_kwh = 26",
        "year = 12": "year = 40",
        "[12, 15, 4]": "[12, 15]",
        '"single-phase-4000"': '"triple-phase"',
        "occupants = 2": "ocupants = 2",
    }
    text = good_text
    for old, new in slips.items():
        assert old in text
        text = text.replace(old, new, 1)
    error = refusal(text)
    assert {fault.where.removeprefix("home.toml, ") for fault in error.faults} == {
        "site.latitude",
        "site.region",
        "array.main.roof",
        "array.main.tilt_deg",
        "array.main.strings",
        "array.rear.module",
        "tariff.import_gbp_per_kwh",
        "costs.replacements.inverter.year",
        "horizon",
        "inverter.part",
        "home.ocupants",
    }
    assert str(error).startswith("11 things to put right:")


def test_six_faults_of_one_array_are_six(good_text: str, refusal: Refusal) -> None:
    start, end = good_text.index('name = "main"'), good_text.index('[[array]]\nname = "rear"')
    bad = (
        'name = "main"\nroof = "tpo"\nmodule = "half"\ncount = 0\ntilt_deg = 300\n'
        'mounting = "glued"\ncolour = "red"\n\n'
    )
    error = refusal(good_text[:start] + bad + good_text[end:])
    assert sorted(fault.where.rpartition(".")[2] for fault in error.faults) == [
        "colour", "count", "module", "mounting", "roof", "tilt_deg",
    ]  # fmt: skip


def test_a_check_that_rests_on_a_refused_value_says_nothing(
    good_text: str, refusal: Refusal
) -> None:
    # Were the refused 0 counted as a span of years, the replacement in year 12 would be too late.
    error = refusal(good_text.replace("years = 25", "years = 0"))
    assert [fault.where for fault in error.faults] == ["home.toml, finance.years"]


def test_entries_without_a_name_of_their_own_are_counted(good_text: str, refusal: Refusal) -> None:
    text = good_text.replace('name = "rear"', 'name = "main"').replace("rows = 2", "rows = 2.5")
    wheres = [fault.where for fault in refusal(text).faults]
    assert "home.toml, array.2.rows" in wheres


def test_a_file_of_rubbish_gets_its_first_faults_and_the_number_of_the_rest(
    refusal: Refusal,
) -> None:
    error = refusal("\n".join(f"key_{n} = {n}" for n in range(50_000)))
    assert len(error.faults) == 101
    assert "49,904 further faults" in error.faults[-1].found
