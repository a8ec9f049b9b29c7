"""Ballast as mechanics: the free body closes; more grip, less wind, more shelter never cost."""

import json
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvkit.errors import InputError
from pvkit.roof.ballast import Hold, needed_mass, tray_shares, whole_blocks
from pvkit.roof.ballast_plan import ballast_plan
from pvkit.roof.ballast_rows import ballast_facts, ballast_rows
from pvkit.roof.fixing_loads import fixing_loads
from pvkit.roof.held import array_block
from pvkit.roof.wind_zones import module_zones
from pvkit.site.placing import site_blocks
from pvkit.site.reader import load_site
from pvkit.study.changes import changed
from tests.roof.sites import site_with

G = 9.81
TOP = {"width_m": 20.0, "depth_m": 15.0, "height_m": 6.0}
GIVEN = {"pressure_coefficient": -0.3, "pressure_source": "test report"}


def flat_site(*, roof=None, array=None, **tables):
    """A large flat roof with nine modules in three rows, changed as given."""
    block = {"rows": 3, "columns": 3, "count": 9, "x_m": 6.0, **(array or {})}
    return site_with(kind="flat", roof=TOP | (roof or {}), array=block, **tables)


holds = st.builds(
    Hold, st.floats(0.0, 45.0), st.floats(0.0, 5.0), st.floats(0.15, 1.2), st.booleans()
)
forces = st.floats(1.0, 1e4)


def mass_of(force_n, hold):
    return needed_mass(np.array([force_n]), hold)


def body(force_n, mass_kg, hold):
    """Sum the factored forces on a module in plain axes: level (downhill positive) and up.

    Returns what the roof must push square to itself, and what it must hold back along itself.
    """
    tilt, fall = math.radians(hold.tilt_deg), math.radians(hold.fall_deg)
    # The roof's own directions: along it downhill, and square to it, as level and up.
    along = np.array([math.cos(fall), -math.sin(fall)])
    square = np.array([math.sin(fall), math.cos(fall)])
    # Suction acts square to the module: the roof's square turned downhill by the tilt.
    suction = 1.5 * force_n * (math.cos(tilt) * square + math.sin(tilt) * along)
    held_down = 0.9 * mass_kg * np.array([0.0, -G])  # helps: only its part square to the roof
    drawn_down = 1.1 * mass_kg * np.array([0.0, -G])  # harms: only its part along the roof
    push = -(suction @ square + held_down @ square)
    back = suction @ along + drawn_down @ along
    return push, back


@given(forces, holds)
def test_the_free_body_just_lifts_at_the_mass_against_lifting(force_n, hold):
    push, _ = body(force_n, mass_of(force_n, hold).lifting[0], hold)
    assert push == pytest.approx(0.0, abs=1e-9 * force_n)


@given(forces, holds)
def test_the_free_body_just_slides_at_the_mass_against_sliding(force_n, hold):
    mass_kg = mass_of(force_n, hold).sliding[0]
    if math.isinf(mass_kg):
        assert hold.friction * 0.9 <= 1.1 * math.tan(math.radians(hold.fall_deg)) * (1 + 1e-9)
        return
    push, back = body(force_n, mass_kg, hold)
    assert hold.friction * push == pytest.approx(back, rel=1e-9, abs=1e-9 * mass_kg * G)


@given(forces, holds, st.floats(0.5, 2.5))
def test_the_free_body_just_tips_about_its_lower_edge(force_n, hold, length_m):
    if hold.tied:
        assert mass_of(force_n, hold).tipping[0] == 0.0
        return
    tilt, mass_kg = math.radians(hold.tilt_deg), mass_of(force_n, hold).tipping[0]
    # Moments about the lower foot, in the roof's axes: the suction acts three quarters up.
    at = 0.75 * length_m * np.array([math.cos(tilt), math.sin(tilt)])
    suction = 1.5 * force_n * np.array([-math.sin(tilt), math.cos(tilt)])
    lifts = at[0] * suction[1] - at[1] * suction[0]
    holds_down = 0.9 * mass_kg * G * math.cos(math.radians(hold.fall_deg))
    assert holds_down * length_m * math.cos(tilt) / 2 == pytest.approx(lifts)
    # With the suction as near the lower edge, the upper foot is asked no more.
    at = 0.25 * length_m * np.array([math.cos(tilt), math.sin(tilt)])
    foot = length_m * np.array([math.cos(tilt), 0.0])
    about_upper = (at - foot)[0] * suction[1] - (at - foot)[1] * suction[0]
    assert abs(about_upper) <= lifts * (1 + 1e-12)


@given(forces, holds, st.floats(0.0, 0.5))
def test_more_friction_never_needs_more_mass(force_n, hold, more):
    better = Hold(hold.tilt_deg, hold.fall_deg, hold.friction + more, hold.tied)
    assert mass_of(force_n, better).needed[0] <= mass_of(force_n, hold).needed[0] * (1 + 1e-12)


@given(forces, holds, st.floats(0.0, 1e4))
def test_more_pull_never_needs_less_mass(force_n, hold, more):
    assert mass_of(force_n + more, hold).needed[0] >= mass_of(force_n, hold).needed[0]


@given(forces, holds, st.floats(0.0, 5.0))
def test_more_fall_never_needs_less_mass(force_n, hold, more):
    steeper = Hold(hold.tilt_deg, hold.fall_deg + more, hold.friction, hold.tied)
    assert mass_of(force_n, steeper).needed[0] >= mass_of(force_n, hold).needed[0] * (1 - 1e-12)


@given(forces, holds)
def test_tying_rows_never_needs_more_mass(force_n, hold):
    tied = Hold(hold.tilt_deg, hold.fall_deg, hold.friction, tied=True)
    assert mass_of(force_n, tied).needed[0] <= mass_of(force_n, hold).needed[0]


@given(st.lists(st.floats(-50.0, 1e4), min_size=1, max_size=30), st.floats(1.0, 100.0))
def test_blocks_are_whole_enough_and_no_more_than_needed(ballast_kg, block_kg):
    needed = np.maximum(np.array(ballast_kg), 0.0)
    blocks = whole_blocks(np.array(ballast_kg), block_kg)
    slack = 1e-8 * (needed + 1.0)
    assert (blocks == np.round(blocks)).all()
    assert (blocks * block_kg >= needed - slack).all()
    assert ((blocks - 1) * block_kg < needed + slack)[blocks > 0].all()


def test_an_exact_number_of_blocks_is_not_rounded_up_by_noise():
    assert whole_blocks(np.array([0.1 + 0.2, 3 * 23.0]), 0.1).tolist() == [3.0, 690.0]
    assert whole_blocks(np.array([69.0, 69.01]), 23.0).tolist() == [3.0, 4.0]


@given(st.lists(st.integers(1, 6), min_size=1, max_size=5))
def test_trays_carry_all_that_the_modules_need(rows):
    needed = np.arange(1.0, sum(rows) + 1.0)
    shares = tray_shares(needed, rows)
    assert [len(row) for row in shares] == [count + 1 for count in rows]
    assert sum(row.sum() for row in shares) == pytest.approx(needed.sum())
    assert shares[0][0] == needed[0] / 2


@pytest.mark.parametrize(
    ("less", "more"),
    [
        ({"wind": {"basic_m_per_s": 22.0}}, {"wind": {"basic_m_per_s": 25.0}}),
        ({"roof": {"building_height_m": 6.0}}, {"roof": {"building_height_m": 12.0}}),
        (  # at one height of the building, so that only what the parapet does itself is seen
            {"roof": {"parapet_m": 0.0, "building_height_m": 9.0}},
            {"roof": {"parapet_m": 1.5, "building_height_m": 9.0}},
        ),
        ({"roof": {"membrane": "concrete"}}, {"roof": {"membrane": "single-ply"}}),
        ({"ballast": {"wet": False}}, {"ballast": {"wet": True}}),
        ({"roof": {"friction": 0.6}}, {"roof": {"friction": 0.3}}),
        ({"array": {"tied": True, "closed_back": True}}, {"array": {"tied": True}}),
        ({"array": {"tied": True}}, {"array": {}}),
        ({"array": GIVEN}, {"array": {**GIVEN, "pressure_coefficient": -0.4}}),
        ({"array": GIVEN}, {"array": {**GIVEN, "x_m": 0.0, "y_m": 0.0}}),
        ({"roof": {"tilt_deg": 0.0}}, {"roof": {"tilt_deg": 3.0}}),
        ({"wind": {"sea_km": 50.0}}, {"wind": {"sea_km": 5.0}}),
        ({"wind": {"sea_km": 5.0}}, {"wind": {"sea_km": 0.2}}),
    ],
)
def test_what_makes_it_worse_asks_for_more_ballast(less, more):
    light, heavy = (ballast_plan(flat_site(**changes), "m") for changes in (less, more))
    assert sum(m.ballast_kg for m in heavy.modules) > sum(m.ballast_kg for m in light.modules)


def test_altitude_asks_for_more_ballast():
    def at(altitude_m):
        home = {"name": "t", "latitude": 52.0, "longitude": -1.0, "altitude_m": altitude_m}
        return ballast_plan(flat_site(site=home), "m").blocks

    assert at(10) < at(150) < at(300)


def test_an_edge_module_needs_more_than_an_inner_one_and_a_corner_most():
    plan = ballast_plan(flat_site(array={**GIVEN, "x_m": 0.0, "y_m": 0.0}), "m")
    by_factor = {module.factor: module.ballast_kg for module in plan.modules}
    assert plan.modules[0].zone == "corner"
    assert plan.modules[4].zone == "inner"
    assert sorted(by_factor) == [1.0, 1.5, 2.0]
    assert by_factor[1.0] < by_factor[1.5] < by_factor[2.0]
    assert by_factor[1.0] == pytest.approx(plan.inner_kg)
    assert by_factor[1.5] == pytest.approx(plan.edge_kg)


def test_totals_are_those_of_the_modules_and_the_load_is_their_weight():
    plan = ballast_plan(flat_site(array={**GIVEN, "x_m": 0.0, "y_m": 0.0}), "m")
    assert plan.load is not None
    heaviest = max(plan.own_kg + module.blocks * plan.block_kg for module in plan.modules)
    assert heaviest > min(plan.own_kg + module.blocks * plan.block_kg for module in plan.modules)
    assert plan.load.local_kg == pytest.approx(heaviest)
    assert plan.blocks == sum(module.blocks for module in plan.modules)
    assert plan.load.total_kg == pytest.approx(9 * plan.own_kg + plan.blocks * plan.block_kg)
    assert plan.load.total_kn == pytest.approx(plan.load.total_kg * 9.81 / 1000)
    assert plan.load.roof_kg_per_m2 == pytest.approx(plan.load.total_kg / 300.0)
    assert plan.load.local_kg_per_m2 > plan.load.array_kg_per_m2 > plan.load.roof_kg_per_m2


def test_no_row_ever_passes_and_the_engineer_is_asked():
    for name in ("bungalow_extension", "south_family_home", "east_west_pair"):
        rows = ballast_rows(load_site(name))
        assert rows
        assert {row.verdict for row in rows} == {"ask"}
        assert any("ask a structural engineer, with these figures" in row.limit for row in rows)


def test_a_generous_allowance_still_asks_and_a_small_one_fails():
    asked = ballast_rows(flat_site(roof={"allowance_kn_per_m2": 20.0}))
    assert {row.verdict for row in asked} == {"ask"}
    plan = ballast_plan(flat_site(), "m")
    assert plan.load is not None
    just = plan.load.local_kn_per_m2
    at = ballast_rows(flat_site(roof={"allowance_kn_per_m2": just}))
    below = ballast_rows(flat_site(roof={"allowance_kn_per_m2": just - 0.001}))
    assert [row.verdict for row in at].count("fail") == 0
    failed = [row for row in below if row.verdict == "fail"]
    assert [row.what for row in failed] == ["m: weight on the roof under the heaviest module"]
    said = ballast_plan(flat_site(roof={"allowance_kn_per_m2": 0.3}), "m").sentences
    assert any("more than the 0.30 kN/m² that the survey allows" in words for words in said)


def test_a_roof_too_steep_for_its_grip_fails_with_the_reason_and_no_false_figure():
    site = flat_site(roof={"tilt_deg": 9.0, "friction": 0.1})
    plan = ballast_plan(site, "m")
    assert not plan.holdable
    assert plan.load is None
    assert plan.blocks is None
    assert plan.sentences[0].startswith("No weight can hold 'm'")
    assert "fixed to the building" in plan.sentences[0]
    failed = [row for row in ballast_rows(site) if row.verdict == "fail"]
    assert [row.what for row in failed] == ["m: ballast against lifting, sliding and tipping"]
    json.dumps(ballast_facts(site), allow_nan=False)


def test_the_facts_are_plain_and_name_every_source():
    for name in ("bungalow_extension", "south_family_home", "east_west_pair"):
        facts = json.loads(json.dumps(ballast_facts(load_site(name)), allow_nan=False))
        for plan in facts["ballasted"] + facts["fixed"]:
            assert all(number["source"] and number["kind"] for number in plan["inputs"])
            assert plan["modules"]
            assert plan["sentences"][-1] == facts["advice"]


def test_the_words_say_that_the_coefficient_decides_and_that_charts_do():
    said = " ".join(ballast_plan(flat_site(), "m").sentences)
    for words in (
        "The net pressure coefficient decides everything",
        "charts of the UK annex",
        "half as much again near an edge",
        "not spare capacity",
        "Ask a structural engineer, with these figures",
    ):
        assert words in said


def test_the_surveys_own_report_is_named():
    said = " ".join(ballast_plan(flat_site(array=GIVEN), "m").sentences)
    assert "(given: test report)" in said


@pytest.mark.parametrize(
    ("tied", "coefficient", "warned"),
    [(False, -0.3, True), (True, -0.3, False), (False, -1.3, False)],
)
def test_a_mild_figure_for_rows_that_are_not_tied_is_warned_of(tied, coefficient, warned):
    # A row alone at 10° has −0.9 (BS EN 1991-1-4, Table 7.6, from memory).
    array = GIVEN | {"pressure_coefficient": coefficient, "tied": tied}
    said = " ".join(ballast_plan(flat_site(array=array), "m").sentences)
    assert ("tie them, or see that the report covers rows" in said) == warned


def test_a_fixed_array_has_fixings_and_no_ballast():
    site = load_site("south_family_home")
    loads = fixing_loads(site, "main")
    edge = max(loads.modules, key=lambda module: module.factor)
    # By hand: 1.5 × suction less 0.9 × the module's weight square to the slope.
    weight = 0.9 * site.module(site.array[0]).mass_kg * G
    slope = math.cos(math.radians(site.roof[0].tilt_deg))
    assert edge.pull_n == pytest.approx(1.5 * edge.force_n - weight * slope)
    assert all(module.along_n < module.pull_n for module in loads.modules)
    with pytest.raises(InputError, match="'ballasted' for a ballast plan"):
        ballast_plan(site, "main")
    with pytest.raises(InputError, match="ask for its ballast instead"):
        fixing_loads(flat_site(), "m")
    with pytest.raises(InputError, match="found none called 'mian'"):
        fixing_loads(site, "mian")


def test_a_tilted_array_screwed_to_a_flat_roof_has_fixings():
    loads = fixing_loads(flat_site(array={"mounting": "on-roof", "tilt_deg": 10.0}), "m")
    module = loads.modules[4]
    assert module.along_n > 1.5 * module.force_n * math.sin(math.radians(10.0))


def test_ballast_lies_where_the_modules_went_round_a_rooflight():
    surveyed = changed(load_site("flat_roof_garage"), {"array.garage.count": 8})
    in_the_way = {"name": "skylight", "roof": "garage", "kind": "rooflight",
                  "x_m": 4.5, "y_m": 2.0, "width_m": 1.5, "depth_m": 1.5}  # fmt: skip
    zones = [zone.model_dump(exclude_unset=True) for zone in surveyed.keep_clear]
    site = changed(surveyed, {"keep_clear": [*zones, in_the_way]})
    places = site_blocks(site, site.roof[0])["garage"]
    assert places.module_outlines() != array_block(surveyed, surveyed.array[0]).module_outlines()
    assert array_block(site, site.array[0]) == places
    modules, before = (ballast_plan(each, "garage").modules for each in (site, surveyed))
    assert tuple(module.zone for module in modules) == module_zones(site.roof[0], places)
    assert [module.zone for module in modules] != [module.zone for module in before]
