"""The largest and the best layout of a roof: on it, clear of everything, and no more than fit."""

from math import cos, pi, radians, sin

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from pvkit.errors import InputError
from pvkit.roof.fit_search import best_layout, largest_layout
from pvkit.roof.geometry import geometry
from pvkit.roof.layout_light import LayoutLight
from pvkit.roof.rows import profile_deg, row_pitch_m, shortest_day_sun
from pvkit.roof.schemes import Choices
from pvkit.roof.sky_view import sky_view_table
from pvkit.site.placing import site_blocks
from pvkit.site.reader import build_site, load_site
from pvkit.study.changes import changed

QUICK = settings(max_examples=20, deadline=None, database=None, derandomize=True)
# Positions are written to the tenth of a millimetre.
WRITTEN_M = 2e-4
ROWS = Choices(arrangements=("rows",))
PAIRS = Choices(arrangements=("pairs",))


def flat_site(outline, zones=(), azimuth=180.0, **array):
    return build_site({
        "site": {"name": "t", "latitude": 52.0, "longitude": -1.0},
        "roof": [{"name": "r", "kind": "flat", "azimuth_deg": azimuth % 360,
                  "outline_m": [list(p) for p in outline]}],
        "array": [{"name": "m", "roof": "r", "module": "half-cut-430", "count": 1, **array}],
        "keep_clear": [dict(zone, name=f"z{n}", roof="r") for n, zone in enumerate(zones)],
        "inverter": {"part": "single-phase-4000"},
    })  # fmt: skip


ELL = ((0.0, 0.0), (14.0, 0.0), (14.0, 6.0), (8.5, 6.0), (8.5, 10.5), (0.0, 10.5))
LIGHT = {"kind": "rooflight", "outline_m": ((3.0, 3.0), (4.2, 3.0), (4.2, 4.2), (3.0, 4.2))}


@st.composite
def roofs(draw):
    """A star-shaped roof of four to eight corners, with up to three zones on it."""
    spokes = draw(st.lists(st.floats(4.0, 9.0), min_size=4, max_size=8))
    turns = [2 * pi * n / len(spokes) for n in range(len(spokes))]
    outline = [(r * cos(t), r * sin(t)) for r, t in zip(spokes, turns, strict=True)]
    zones = []
    for _ in range(draw(st.integers(0, 3))):
        x, y = draw(st.floats(-2.5, 1.5)), draw(st.floats(-2.5, 1.5))
        zones.append({"kind": "other", "x_m": x, "y_m": y,
                      "width_m": draw(st.floats(0.1, 1.0)), "depth_m": draw(st.floats(0.1, 1.0)),
                      "margin_m": draw(st.floats(0.0, 0.6))})  # fmt: skip
    return outline, zones


def any_of_them(_layout):
    return 0.0


def largest(site, choices):
    try:
        return largest_layout(site, "r", choices)
    except InputError:
        return None


def build(drawn, azimuth=180.0, **array):
    """Build a site of one module; none if the roof or its zones leave no room for it."""
    try:
        return flat_site(*drawn, azimuth=azimuth, **array)
    except InputError:
        return None


@QUICK
@given(roofs(), st.sampled_from([ROWS, PAIRS]), st.floats(90.0, 270.0))
def test_a_layout_keeps_on_its_roof_off_its_zones_and_off_itself(drawn, choices, facing):
    site = build(drawn, azimuth_deg=facing)
    layout = site and largest(site, choices)
    if not layout:
        return
    roof = Polygon(drawn[0])
    found = [Polygon(outline) for outline in layout.modules]
    pairs = zip(*shapely.STRtree(found).query(found), strict=True)
    assert all(found[a].intersection(found[b]).area < WRITTEN_M for a, b in pairs if a != b)
    for module in found:
        assert roof.covers(module)
        assert module.distance(roof.exterior) >= 0.5 - WRITTEN_M
        for zone in layout.kept:
            assert module.distance(Polygon(zone.outline)) >= zone.margin_m - WRITTEN_M


@QUICK
@given(roofs(), st.floats(0.0, 360.0))
def test_the_compass_makes_no_difference_to_roof_and_array_together(drawn, turn):
    choices = Choices(("rows",), (10.0,), (180.0,), ("landscape",), 15.0)
    there = Choices(("rows",), (10.0,), ((180.0 + turn) % 360.0,), ("landscape",), 15.0)
    one, other = build(drawn), build(drawn, azimuth=180.0 + turn)
    if one is None or other is None:
        return
    one, other = largest(one, choices), largest(other, there)
    assert (one is None) == (other is None)
    if one is not None:
        assert one.count == other.count
        np.testing.assert_allclose(one.modules, other.modules, atol=WRITTEN_M)


@QUICK
@given(st.floats(-180.0, 180.0), st.sampled_from(["rows", "pairs"]))
def test_turning_outline_zones_and_array_together_turns_the_modules_with_them(turn, arrangement):
    c, s = cos(radians(turn)), sin(radians(turn))

    def turned(points):  # as the rows of an array turned by ``turn`` lie in the roof's x and y
        return tuple((c * x + s * y, c * y - s * x) for x, y in points)

    plain = Choices((arrangement,), (10.0,), (180.0,), ("landscape",), 15.0)
    there = Choices((arrangement,), (10.0,), ((180.0 + turn) % 360.0,), ("landscape",), 15.0)
    one = largest_layout(flat_site(ELL, [LIGHT]), "r", plain)
    zone = {**LIGHT, "outline_m": turned(LIGHT["outline_m"])}
    other = largest_layout(flat_site(turned(ELL), [zone]), "r", there)
    assert one.count == other.count
    expected = [turned(outline) for outline in one.modules]
    np.testing.assert_allclose(other.modules, expected, atol=1e-3)


@QUICK
@given(roofs(), st.sampled_from([ROWS, PAIRS]))
def test_what_a_layout_changes_puts_exactly_its_modules_on_the_site(drawn, choices):
    site = build(drawn)
    layout = site and largest(site, choices)
    if not layout:
        return
    new = changed(site, layout.as_changes())
    laid = site_blocks(new, new.roof[0])
    outlines = [o for part in layout.parts for o in laid[part.name].module_outlines()]
    assert sum(new.count(array) for array in new.array) == layout.count
    np.testing.assert_allclose(outlines, layout.modules, atol=WRITTEN_M)


def test_asking_for_more_than_fit_says_how_many_do_and_so_many_do():
    site = load_site("bungalow_extension")
    with pytest.raises(InputError) as caught:
        best_layout(site, "top", 99, Choices(("rows", "pairs")))
    (fault,) = caught.value.faults
    most = int(fault.allowed.split(" within")[0].split("1 to ")[1])
    assert "99 modules" in fault.found
    assert best_layout(site, "top", most, yield_of=any_of_them).count == most
    with pytest.raises(InputError):
        best_layout(site, "top", most + 1)
    with pytest.raises(InputError):
        best_layout(site, "top", 0)


def test_a_roof_without_room_or_by_a_wrong_name_is_refused():
    site = flat_site(((0, 0), (2.0, 0), (2.0, 1.9), (0, 1.9)))
    with pytest.raises(InputError, match="no room for a module"):
        largest_layout(site, "r")
    with pytest.raises(InputError, match="name a roof"):
        largest_layout(site, "shed")


def test_rows_are_spaced_for_noon_on_the_shortest_day_or_for_a_chosen_sun():
    site = load_site("bungalow_extension")
    usual = largest_layout(site, "top", Choices(("rows",), azimuths_deg=(200.0,)))
    noon = profile_deg(shortest_day_sun(52.9), 200.0)
    up = usual.parts[0].block.up_m
    assert usual.pitch_m == pytest.approx(row_pitch_m(up, 10.0, noon))
    for chosen in (15.0, 20.0, 25.0):
        layout = largest_layout(
            site, "top", Choices(("rows",), (), (200.0,), ("landscape",), chosen)
        )
        assert layout.pitch_m == pytest.approx(row_pitch_m(1.134, 10.0, chosen))
        assert layout.count >= usual.count


def test_a_slope_is_packed_both_ways_round_a_window():
    site = load_site("south_family_home")
    plain = largest_layout(site, "south slope")
    window = {"name": "w", "roof": "south slope", "kind": "window", "x_m": 3.2, "y_m": 2.0,
              "width_m": 1.6, "depth_m": 1.2}  # fmt: skip
    raw = site.model_dump(exclude_unset=True) | {"keep_clear": [window]}
    raw["array"] = [{**raw["array"][0], "rows": None, "columns": None, "count": 8}]
    holed = largest_layout(build_site(raw), "south slope")
    assert plain.arrangement == holed.arrangement == "slope"
    assert plain.count - 6 <= holed.count < plain.count


def test_pairs_stand_back_to_back_and_face_opposite_ways():
    layout = largest_layout(load_site("bungalow_extension"), "top", PAIRS)
    one, other = layout.parts
    assert abs(one.surface_azimuth - other.surface_azimuth) == 180.0
    assert sum(one.block.rows) == sum(other.block.rows)
    ridge = shapely.union_all([Polygon(o) for o in one.block.module_outlines()]).distance(
        shapely.union_all([Polygon(o) for o in other.block.module_outlines()])
    )
    assert ridge == pytest.approx(0.05, abs=WRITTEN_M)
    assert layout.ground_cover > 0.8


def test_a_second_array_of_pairs_gets_a_name_and_faces_its_way():
    site = load_site("bungalow_extension")
    new = changed(site, largest_layout(site, "top", PAIRS).as_changes())
    assert [array.name for array in new.array] == ["main", "main west"]
    assert [new.azimuth_deg(array) for array in new.array] == [110.0, 290.0]
    # Laid out anew as rows, the pairs make way for one array.
    again = changed(new, largest_layout(new, "top", ROWS).as_changes())
    assert [array.name for array in again.array] == ["main"]


def test_strings_that_no_longer_share_the_modules_evenly_become_fewer():
    site = changed(load_site("bungalow_extension"), {"array.main.strings": 2})
    layout = best_layout(site, "top", 7, yield_of=any_of_them)
    assert layout.as_changes()["array.main.strings"] == 1


def test_another_module_can_be_tried():
    site = load_site("bungalow_extension")
    layout = largest_layout(site, "top", Choices(("rows",), module="full-cell-300"))
    assert changed(site, layout.as_changes()).array[0].module == "full-cell-300"
    assert layout.kwp == pytest.approx(layout.count * 0.3)


@pytest.fixture(scope="module")
def light():
    return LayoutLight.of(load_site("bungalow_extension"))


def test_the_best_layout_gets_at_least_the_light_of_a_plain_block(light):
    site = load_site("bungalow_extension")
    choices = Choices(("rows",), (), (200.0,))
    best = best_layout(site, "top", 6, choices, light.kwh)
    plain = largest_layout(site, "top", choices)
    assert light.kwh(best) / best.count >= light.kwh(plain) / plain.count - 1e-9


def test_the_best_of_few_layouts_is_found_without_looking_at_all_of_them(light):
    site = load_site("bungalow_extension")
    choices = Choices(("rows",), (), (200.0,), ("landscape",))
    assert light.kwh(best_layout(site, "top", 4, choices)) == pytest.approx(
        light.kwh(best_layout(site, "top", 4, choices, light.kwh))
    )


def test_the_best_layout_keeps_away_from_what_shades_it():
    raw = load_site("bungalow_extension").model_dump(exclude_unset=True)
    raw["obstacle"] = [{"name": "wall", "kind": "parapet", "roof": "top", "edge": "front",
                        "height_m": 1.5}]  # fmt: skip
    site = build_site(raw)
    best = best_layout(site, "top", 4, Choices(("rows",), (), (200.0,), ("landscape",)))
    lowest = min(y for outline in best.modules for _, y in outline)
    assert lowest > 5.5 / 2


def test_modules_placed_one_by_one_see_what_the_same_block_of_rows_sees():
    site = load_site("bungalow_extension")
    block = geometry(site, site.array[0]).block
    corners = [list(outline[0]) for outline in block.module_outlines()]
    placed = changed(site, {"array.main.positions_m": corners})
    one, other = (sky_view_table(geometry(s, s.array[0])) for s in (site, placed))
    np.testing.assert_allclose(one.hidden, other.hidden, atol=1e-5)
    np.testing.assert_allclose(one.darkest, other.darkest, atol=1e-5)


def test_a_gap_in_a_row_lets_more_sky_through_to_the_row_behind():
    def row_behind(columns):
        xs = [1.0 + 1.742 * n for n in columns]
        spots = [[x, 1.0] for x in xs] + [[1.0 + 1.742, 2.6]]
        site = flat_site(((0, 0), (9, 0), (9, 6), (0, 6)), count=None, positions_m=spots)
        view = sky_view_table(geometry(site, site.array[0]))
        return view.hidden.sum(axis=(0, 1, 2)).reshape(len(spots), -1)[-1].sum()

    assert row_behind([0, 2]) < 0.9 * row_behind([0, 1, 2])
