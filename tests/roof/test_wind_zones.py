"""Which modules lie in a corner, at an edge or inside."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvkit.roof.wind_zones import module_zones, open_edges, roof_strips
from pvkit.site.kit import Roof
from pvkit.site.plan import Block

# Worked by hand (BS EN 1991-1-4 7.2.3): strips 1.2 m along the long sides with corners 3.0 m long,
# 0.8 m along the short sides with corners 2.0 m long.
TOP = {"name": "t", "kind": "flat", "azimuth_deg": 180, "width_m": 12.0, "depth_m": 8.0,
       "height_m": 6.0}  # fmt: skip
ONE = Block(0.0, 0.0, 0.0, 0.0, "portrait", (1,), 1.0, 1.0, 0.0, 1.0)


def zone_at(x_m, y_m, roof=None, block=ONE):
    return module_zones(roof or Roof(**TOP), replace(block, x_m=x_m, y_m=y_m))[0]


@pytest.mark.parametrize(
    ("x_m", "y_m", "zone"),
    [
        (5.5, 3.5, "inner"),
        (0.8, 1.2, "inner"),  # touching both strips is not reaching into them
        (10.2, 5.8, "inner"),
        (5.5, 1.19, "edge"),
        (0.79, 3.5, "edge"),
        (3.0, 0.0, "edge"),
        (2.99, 0.0, "corner"),
        (0.0, 1.99, "corner"),
        (0.0, 2.0, "edge"),
        (9.01, 7.0, "corner"),
        (11.0, 6.9, "corner"),
        (11.0, 4.9, "edge"),
    ],
)
def test_a_module_is_in_the_worst_zone_that_any_part_of_it_reaches(x_m, y_m, zone):
    assert zone_at(x_m, y_m) == zone


@given(st.floats(0.0, 11.0), st.floats(0.0, 7.0))
def test_the_four_ends_of_a_roof_are_alike(x_m, y_m):
    here = zone_at(x_m, y_m)
    assert zone_at(11.0 - x_m, y_m) == here
    assert zone_at(x_m, 7.0 - y_m) == here


@given(st.floats(0.0, 11.0), st.floats(0.0, 7.0), st.floats(0.5, 40.0), st.floats(0.0, 5.0))
def test_a_higher_roof_never_has_narrower_strips(x_m, y_m, height_m, more):
    rank = ["inner", "edge", "corner"].index
    low = Roof(**(TOP | {"height_m": height_m}))
    high = Roof(**(TOP | {"height_m": height_m + more}))
    assert rank(zone_at(x_m, y_m, high)) >= rank(zone_at(x_m, y_m, low))


@given(st.floats(0.0, 11.0), st.floats(0.0, 7.0))
def test_an_outline_of_the_same_shape_has_the_same_zones_whichever_way_it_runs(x_m, y_m):
    corners = [[0, 0], [12, 0], [12, 8], [0, 8]]
    shape = {name: value for name, value in TOP.items() if name not in ("width_m", "depth_m")}
    for outline in (corners, corners[::-1], corners[2:] + corners[:2]):
        roof = Roof.model_validate(shape | {"outline_m": outline})
        assert zone_at(x_m, y_m, roof) == zone_at(x_m, y_m)


def test_a_notch_has_edges_but_no_corner_of_its_own():
    shape = {name: value for name, value in TOP.items() if name not in ("width_m", "depth_m")}
    outline = [[0, 0], [12, 0], [12, 4], [6, 4], [6, 8], [0, 8]]
    roof = Roof.model_validate(shape | {"outline_m": outline})
    assert sum(len(strip.corners()) for strip in roof_strips(roof)) == 10  # two at each of five
    assert zone_at(5.9 - 1.0, 4.0, roof) == "edge"
    assert zone_at(6.0, 4.0 - 1.1, roof) == "edge"
    assert zone_at(4.0, 3.0, roof) == "inner"


def test_a_slope_is_measured_in_plan():
    flat = Roof(**TOP)
    slope = {**TOP, "kind": "pitched", "tilt_deg": 60.0, "depth_m": 16.0, "building_height_m": 6.0}
    assert [s.depth_m for s in roof_strips(Roof(**slope))] == pytest.approx(
        [s.depth_m for s in roof_strips(flat)]
    )


def test_the_last_module_of_a_short_row_leaves_its_neighbours_open():
    assert open_edges(rows_of(1)) == (True,)
    assert open_edges(rows_of(4, 4, 4)) == (*[True] * 4, True, False, False, True, *[True] * 4)
    assert open_edges(rows_of(4, 4, 2))[4:8] == (True, False, True, True)


def test_a_walkway_between_rows_leaves_both_sides_open():
    close = rows_of(3, 3, 3)
    apart = replace(close, starts=((0.0, 0.0), (0.0, 1.5), (0.0, 4.0)))
    assert not open_edges(close)[4]
    assert open_edges(apart)[4]


def test_a_gap_within_a_row_leaves_its_neighbours_open():
    whole = rows_of(4, 4, 4)
    parted = replace(
        whole, rows=(4, 2, 1, 4), starts=((0.0, 0.0), (0.0, 1.5), (3.06, 1.5), (0.0, 3.0))
    )
    assert open_edges(whole)[5:7] == (False, False)
    assert open_edges(parted)[4:7] == (True, True, True)


def rows_of(*rows):
    return Block(0.0, 0.0, 0.0, 10.0, "landscape", rows, 1.0, 1.0, 0.02, 1.5)
