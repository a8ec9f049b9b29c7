"""The check sheet of a whole site."""

import json

import pytest

from pvkit import Study, load_site
from pvkit.errors import InputError
from pvkit.site.reader import build_site
from pvkit.study.changes import changed
from pvkit.study.site_check import check_site
from pvkit.study.study import estimate


@pytest.fixture(scope="module")
def bungalow():
    return check_site(load_site("bungalow_extension"))


def test_a_sound_site_has_no_row_that_fails(bungalow):
    assert bungalow.failing == ()
    assert sum(bungalow.count(v) for v in ("pass", "fail", "ask")) == len(bungalow.rows)


def test_what_an_estimate_refuses_is_a_row_that_fails_and_nothing_is_raised():
    site = changed(load_site("south_family_home"), {"inverter.part": "single-phase-6000"})
    raw_window = {"inverter": {"datasheet": site.inverter_sheet().model_dump() | {
        "dc_max_v": 160.0, "mppt_min_v": 40.0, "mppt_max_v": 140.0}}}  # fmt: skip
    short = build_site(site.model_dump(exclude_unset=True) | raw_window)
    with pytest.raises(InputError):
        estimate(short)
    failing = [row.what for row in check_site(short).failing]
    assert any("open-circuit" in what for what in failing)


def test_a_contradictory_data_sheet_is_a_row_that_fails():
    site = load_site("bungalow_extension")
    raw = site.model_dump(exclude_unset=True)
    sheet = site.module(site.array[0]).model_dump() | {"pmax_w": 500.0}
    raw["array"][0]["datasheet"] = sheet
    del raw["array"][0]["module"]
    failing = check_site(build_site(raw)).failing
    assert "Module's data sheet" in [row.what for row in failing]


def test_facts_are_plain_and_hold_the_rows_layout_ballast_and_cautions(bungalow):
    facts = bungalow.facts()
    assert json.loads(json.dumps(facts, allow_nan=False)) == facts
    assert facts.keys() >= {"rows", "layout", "ballast", "cautions"}
    assert facts["rows"][0].keys() == {"what", "value", "limit", "verdict", "source"}
    assert {row["verdict"] for row in facts["rows"]} <= {"pass", "fail", "ask"}


def test_the_cautions_stand_beside_the_sheet(bungalow):
    words = " ".join(bungalow.cautions)
    for need in ("structural engineer", "registered person", "no certificate"):
        assert need in words


def test_the_supply_changes_no_estimate(bungalow):
    study = Study(bungalow.site)
    changes = {"supply.measured_v": 244.0, "supply.loop_ohm": 0.2, "supply.earthing": "TT"}
    other = study.change(changes).estimate()
    assert other.facts() == study.estimate().facts()
