"""The layout's rows of the check sheet and its facts."""

import json

import pytest

from pvkit.roof.fit_rows import layout_facts, layout_rows
from pvkit.roof.fit_search import largest_layout
from pvkit.roof.schemes import Choices
from pvkit.site.reader import load_site
from pvkit.study.changes import changed

SAMPLES = ("bungalow_extension", "chimney_and_birch", "east_west_pair", "south_family_home")


def row(site, words):
    (found,) = [row for row in layout_rows(site) if words in row.what]
    return found


@pytest.mark.parametrize("name", SAMPLES)
def test_no_sample_fails_and_each_array_is_asked_about_for_planning(name):
    site = load_site(name)
    rows = layout_rows(site)
    assert {row.verdict for row in rows} <= {"pass", "ask"}
    assert sum("planning" in row.what for row in rows) == len(site.array)
    assert all(row.value and row.limit and row.source for row in rows)


def test_a_margin_that_is_only_practice_is_asked_about_and_one_the_site_gives_fails():
    site = load_site("bungalow_extension")
    near = changed(site, {"array.main.y_m": 0.2})
    assert row(near, "front edge").value == "0.20 m"
    assert row(near, "front edge").verdict == "ask"
    told = changed(near, {"roof.top.eaves_margin_m": 0.3})
    assert row(told, "front edge").verdict == "fail"
    assert row(told, "front edge").source == "site file (given)"
    assert row(changed(told, {"roof.top.eaves_margin_m": 0.2}), "front edge").verdict == "pass"


def test_the_flue_too_near_the_sample_array_is_told_with_its_distance():
    found = row(load_site("chimney_and_birch"), "flue")
    assert (found.value, found.limit, found.verdict) == ("0.14 m", "0.30 m or more", "ask")


def test_the_row_pitch_is_told_by_the_sun_it_is_clear_of():
    site = load_site("bungalow_extension")
    found = row(site, "Row pitch")
    assert "below 15.0°" in found.value
    assert "1.88 m would be clear at noon on the shortest day (14.5°)" in found.limit
    assert found.verdict == "pass"
    close = changed(site, {"array.main.row_pitch_m": 1.3})
    assert row(close, "Row pitch").verdict == "ask"
    assert row(close, "Way in front").verdict == "ask"


def test_pairs_leave_a_way_between_them():
    site = load_site("bungalow_extension")
    pairs = changed(site, largest_layout(site, "top", Choices(("pairs",))).as_changes())
    ways = [row for row in layout_rows(pairs) if "Way in front" in row.what]
    assert [way.value for way in ways] == ["0.40 m", "0.40 m"]
    assert {way.verdict for way in ways} == {"pass"}


def test_a_long_row_asks_for_a_walkway():
    site = load_site("bungalow_extension")
    wide = {"roof.top.width_m": 20.0, "array.main.count": None, "array.main.rows": 1,
            "array.main.columns": 9}  # fmt: skip
    assert row(site, "Walkways").verdict == "pass"
    assert row(changed(site, wide), "Walkways").verdict == "ask"


def test_planning_heights_are_those_of_the_modules():
    flat = row(load_site("bungalow_extension"), "planning")
    # 0.08 m below the lower edge, 1.134 m at 10 degrees above it.
    assert "0.28 m above the roof's surface, 0.13 m above its upstand" in flat.value
    assert "0.6 m" in flat.limit
    assert row(load_site("south_family_home"), "planning").value == "0.12 m proud of the slope"


@pytest.mark.parametrize("name", SAMPLES)
def test_the_facts_are_ready_for_json_and_agree_with_the_site(name):
    site = load_site(name)
    facts = json.loads(json.dumps(layout_facts(site), allow_nan=False))
    assert [a["count"] for a in facts["arrays"]] == [site.count(a) for a in site.array]
    assert sum(a["kwp"] for a in facts["arrays"]) == pytest.approx(site.kwp())
    for array in facts["arrays"]:
        assert len(array["positions_m"]) == array["count"]
        assert array["most_that_fit"] <= array["most_without_margins"]


def test_as_many_as_the_facts_say_do_fit_with_their_margins():
    site = load_site("bungalow_extension")
    most = layout_facts(site)["arrays"][0]["most_that_fit"]
    full = changed(site, {"array.main.count": most})
    assert {row.verdict for row in layout_rows(full) if "edge" in row.what} == {"pass"}


def test_the_facts_name_every_margin_with_its_source():
    site = load_site("flat_roof_garage")
    own = changed(site, {"roof.garage.eaves_margin_m": 0.8})
    (roof,) = layout_facts(own)["roofs"]
    found = {margin["name"]: (margin["value"], margin["kind"]) for margin in roof["margins"]}
    assert found["margin to the front edge"] == (0.8, "given")
    assert found["margin to the sides"] == (0.5, "from memory")
    assert found["margin round 'vent'"] == (0.3, "given")
    assert found["margin round 'rooflight'"] == (0.5, "from memory")
    assert found["way between blocks"] == (0.6, "from memory")
    assert all(margin["source"] and margin["unit"] == "m" for margin in roof["margins"])
