"""What the run of the months gives away, and where the sheet sends the fitter."""

import datetime
from pathlib import Path

import numpy as np
import pytest

from pvkit import load_site
from pvkit.site.visit_readings import build_visit
from pvkit.study.store import Store
from pvkit.study.visit import judge
from pvkit.study.visit_checklist import items_of
from pvkit.study.visit_earlier import Earlier
from pvkit.study.visit_site import reference_month, site_year
from pvkit.study.visit_verdict import level_of, limits
from pvkit.tables import constant

MONTH = reference_month()
ORDER = (3 + np.arange(12)) % 12  # April to March


@pytest.fixture(scope="module")
def pair():
    """A site of two arrays, so that one of them may go out."""
    site = load_site("east_west_pair")
    return site, site_year(site, Store())


def judged(case, share, *, light=True, checks=None, earlier=(), **more):
    site, year = case
    kwh = np.bincount(MONTH, year.day_kwh)[ORDER] * 0.975 * share
    raw = {
        "visit": {"date": datetime.date(2027, 4, 3), "installed": datetime.date(2025, 4, 1)},
        "monthly": {"first": "2026-04", "kwh": kwh.tolist()},
        "checks": checks or {},
    }
    if light:
        ghi = np.bincount(MONTH, year.day_ghi)[ORDER]
        raw["irradiation"] = {"first": "2026-04", "kwh_per_m2": ghi.round(1).tolist()}
    return judge(site, year, build_visit(raw | more, "visit.toml", Path()), earlier)


def shares(**lower):
    """Give twelve months' shares from April on, some of them lower: {from: (to, share)}."""
    found = np.ones(12)
    for (first, last), share in lower.values():
        found[first : last + 1] = share
    return found


SEPTEMBER, MARCH, OCTOBER, JULY = 5, 11, 6, 3


def test_a_sound_year_has_nothing_to_look_at(pair):
    found = judged(pair, np.ones(12))
    assert found.level == "as expected"
    assert found.look_at == ()
    assert found.failing == ()


def test_an_array_gone_since_september_is_named_with_its_month(pair):
    gone = next(part for part in pair[1].parts if "evening" in part.name)
    found = judged(pair, shares(gone=((SEPTEMBER, MARCH), 1.0 - gone.share)))
    assert found.level == "low"
    assert found.look_at[0].startswith(gone.name)
    assert any("since about September 2026" in row.value for row in found.failing)


def test_a_part_that_came_back_is_told_with_both_its_months(pair):
    found = judged(pair, shares(gone=((SEPTEMBER, OCTOBER), 0.5)))
    assert any("September 2026 to October 2026, then back" in r.value for r in found.failing)
    assert found.level == "a little low"


def test_a_month_of_nothing_is_told_as_standing_still(pair):
    found = judged(pair, shares(still=((JULY, JULY), 0.0)))
    assert found.level == "a little low"
    assert any(row.what == "Stood still" and "July 2026" in row.value for row in found.failing)
    assert "inverter's log" in found.look_at[0]


def test_a_low_winter_points_at_shade_and_a_low_summer_at_limits(pair):
    winter = judged(pair, shares(shade=((OCTOBER, MARCH), 0.6)))
    assert "shade" in winter.look_at[0]
    summer = judged(pair, shares(limit=((0, SEPTEMBER), 0.7)))
    assert "over-voltage" in summer.look_at[0]


def test_a_steady_lack_of_one_panels_share_names_the_panel():
    site = load_site("bungalow_extension")
    year = site_year(site, Store())
    panel = next(part for part in year.parts if "panel" in part.name)
    found = judged((site, year), np.full(12, 1.0 - panel.share))
    assert found.level == "a little low"
    assert found.look_at[0].startswith(panel.name)


def test_far_too_much_sends_to_the_meter(pair):
    found = judged(pair, np.full(12, 1.5))
    assert found.level == "higher than expected"
    assert "meter" in found.look_at[0]
    assert found.failing == ()


def test_where_a_fifth_cannot_be_told_the_sheet_says_so(pair):
    found = judged(pair, np.ones(12), light=False,
                   monthly={"first": "2026-12", "kwh": [62.0]})  # fmt: skip
    assert limits(found.doubt.total).attention < constant("visit.low_fraction")
    assert "could hide a lack of a fifth" in found.facts()["sentence"]
    assert level_of(0.75, 0.2) == "too little to tell"


@pytest.mark.parametrize(
    ("ratio", "level"),
    [(1.21, "higher than expected"), (1.19, "as expected"), (0.901, "as expected"),
     (0.899, "a little low"), (0.801, "a little low"), (0.799, "low")],
)  # fmt: skip
def test_each_limit_has_a_case_on_either_side(ratio, level):
    # Limits of 90 and 80 %: common practice, no source; they hold where the doubt is small.
    assert level_of(ratio, 0.03) == level


def test_a_fall_against_earlier_visits_is_told_before_the_limit_is_reached(pair):
    before = judged(pair, np.full(12, 1.04))
    record = Earlier("2026-04-02", before.ratio, before.level, before.light_source,
                     before.doubt.light_of_its_own)  # fmt: skip
    now = judged(pair, np.full(12, 0.95), earlier=[record])
    assert now.level == "a little low"
    assert judged(pair, np.full(12, 0.95)).level == "as expected"
    assert judged(pair, np.full(12, 1.0), earlier=[record]).level == "as expected"
    other = Earlier("2026-04-02", before.ratio, before.level, "another source", 0.01)
    assert judged(pair, np.full(12, 0.95), earlier=[other]).level == "as expected"


def test_what_was_not_looked_at_stays_open_and_a_fault_fails(pair):
    found = judged(pair, np.ones(12), checks={"cables": "fault", "panels": "put right"})
    verdicts = {row.what: row.verdict for row in found.groups[1].rows}
    assert verdicts["Cables under the panels"] == "fail"
    assert verdicts["Panels"] == "pass"
    assert verdicts["Labels"] == "ask"
    assert "Labels" in found.still_open


def test_ballast_is_looked_at_on_flat_roofs_alone(pair):
    keys = {item.key for item in items_of(pair[0])}
    flat = {item.key for item in items_of(load_site("bungalow_extension"))}
    assert flat - keys == {"ballast", "membrane"}


@pytest.mark.parametrize(
    ("checks", "more", "what", "verdict"),
    [
        ({"string_amps": [8.0, 8.3]}, {}, "Like strings beside each other", "pass"),
        ({"string_amps": [8.0, 9.0]}, {}, "Like strings beside each other", "fail"),
        ({"over_voltage_trips": 0}, {}, "Over-voltage trips in the inverter's log", "pass"),
        ({"over_voltage_trips": 1}, {}, "Over-voltage trips in the inverter's log", "ask"),
        ({}, {"test_v": 500.0, "mohm": 1.0}, "Insulation to earth, main", "pass"),
        ({}, {"test_v": 500.0, "mohm": 0.99}, "Insulation to earth, main", "fail"),
        ({}, {"test_v": 250.0, "mohm": 200.0}, "Insulation to earth, main", "fail"),
    ],
)
def test_each_measured_row_has_a_case_on_either_side(pair, checks, more, what, verdict):
    # 5 % between like strings, and 1 MOhm at 500 V for a string of 120 to 400 V: BS EN 62446-1 as
    # taught and a test-meter manual (secondary copies).
    extra = {"insulation": [{"name": "main", **more}]} if more else {}
    found = judged(pair, np.ones(12), checks=checks, **extra)
    assert {row.what: row.verdict for row in found.groups[1].rows}[what] == verdict
