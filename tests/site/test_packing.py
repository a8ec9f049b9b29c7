"""Rectangles in rows: never over one another, never outside, as many as a plain grid holds."""

from itertools import pairwise
from math import cos, pi, radians, sin

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import rotate
from shapely.geometry import Polygon, box

from pvkit.site.packing import Row, Tile, count_of, packed
from pvkit.site.plan import Block, with_places
from pvkit.site.thinning import some_of

TILE = Tile(1.722, 1.117, 0.02, 1.85)
# A tile may reach a millionth of a metre out of the area.
ROUNDING_M2 = 1e-5
QUICK = settings(max_examples=60, deadline=None, database=None, derandomize=True)

angles = st.floats(-180.0, 180.0)
tiles = st.builds(
    Tile,
    along_m=st.floats(0.6, 2.2),
    deep_m=st.floats(0.5, 3.6),
    gap_m=st.floats(0.0, 0.1),
    pitch_m=st.floats(0.0, 1.0),
).map(lambda t: Tile(t.along_m, t.deep_m, t.gap_m, t.deep_m + t.pitch_m))


@st.composite
def areas(draw):
    """A star-shaped area of up to nine corners, with up to three rectangles cut out of it."""
    spokes = draw(st.lists(st.floats(2.0, 9.0), min_size=3, max_size=9))
    turns = [2 * pi * n / len(spokes) for n in range(len(spokes))]
    area = Polygon([(r * cos(t), r * sin(t)) for r, t in zip(spokes, turns, strict=True)])
    for _ in range(draw(st.integers(0, 3))):
        x, y = draw(st.floats(-6.0, 6.0)), draw(st.floats(-6.0, 6.0))
        wide, deep = draw(st.floats(0.1, 3.0)), draw(st.floats(0.1, 3.0))
        area = area.difference(box(x, y, x + wide, y + deep))
    return area


def shapes(rows, tile, turn=0.0):
    flat = [box(u, r.v_m, u + tile.along_m, r.v_m + tile.deep_m) for r in rows for u in r.us_m]
    return [rotate(shape, -turn, origin=(0, 0)) for shape in flat]


@QUICK
@given(areas(), tiles, angles)
def test_tiles_never_overlap_and_never_leave_the_area(area, tile, turn):
    found = shapes(packed(area, tile, turn), tile, turn)
    pairs = zip(*shapely.STRtree(found).query(found), strict=True) if found else ()
    assert all(found[a].intersection(found[b]).area < ROUNDING_M2 for a, b in pairs if a != b)
    assert all(tile.difference(area).area < ROUNDING_M2 for tile in found)


@QUICK
@given(areas(), tiles)
def test_rows_are_a_pitch_apart_or_more_and_tiles_a_gap(area, tile):
    rows = packed(area, tile)
    assert all(b.v_m - a.v_m >= tile.pitch_m - 1e-5 for a, b in pairwise(rows))
    for row in rows:
        assert np.all(np.diff(row.us_m) >= tile.step_m - 1e-6)


@QUICK
@given(areas(), tiles, angles)
def test_turning_the_area_and_the_rows_together_changes_nothing(area, tile, turn):
    there = rotate(area, -turn, origin=(0, 0))
    assert count_of(packed(there, tile, turn)) == count_of(packed(area, tile))


@settings(max_examples=25, deadline=None, database=None, derandomize=True)
@given(areas(), tiles)
def test_no_plain_grid_of_rows_and_columns_holds_more(area, tile):
    left, low, right, high = area.bounds
    best = 0
    for dv in np.linspace(0.0, tile.pitch_m, 12, endpoint=False):
        for du in np.linspace(0.0, tile.step_m, 12, endpoint=False):
            u, v = np.meshgrid(np.arange(left + du, right, tile.step_m),
                               np.arange(low + dv, high, tile.pitch_m))  # fmt: skip
            grid = shapely.box(u, v, u + tile.along_m, v + tile.deep_m)
            best = max(best, int(shapely.covers(area, grid).sum()))
    # Heights for slanted edges are tried at a finite spacing, so a lucky grid may find one more.
    assert count_of(packed(area, tile)) >= best - 1


@pytest.mark.parametrize(
    ("wide", "deep", "rows", "columns"),
    [(8.0, 4.5, 2, 4), (8.69 - 1.722, 4.5, 2, 4), (6.9, 4.5, 2, 3), (8.0, 4.82, 3, 4)],
)
def test_a_rectangle_holds_as_many_as_its_sides_say(wide, deep, rows, columns):
    found = packed(box(0, 0, wide, deep), TILE)
    assert [len(row.us_m) for row in found] == [columns] * rows
    # What is left over is shared: as much on the left as on the right, below as above.
    assert found[0].us_m[0] == pytest.approx(wide - found[0].us_m[-1] - TILE.along_m, abs=1e-4)
    assert found[0].v_m == pytest.approx(deep - found[-1].v_m - TILE.deep_m, abs=1e-4)


def test_rows_step_past_a_hole():
    whole, hole = box(0, 0, 8, 6), box(0, 2.0, 8, 2.4)
    tile = Tile(1.0, 1.0, 0.0, 1.0)
    assert count_of(packed(whole, tile)) == 48
    assert count_of(packed(whole.difference(hole), tile)) == 8 * (2 + 3)
    window = box(3.5, 2.5, 4.5, 3.5)
    # Two rows meet the window and hold three tiles on either side of it instead of eight.
    assert count_of(packed(whole.difference(window), tile)) == 4 * 8 + 2 * 6


def test_an_area_too_small_or_empty_holds_nothing():
    assert packed(box(0, 0, 1.7, 5), TILE) == ()
    assert packed(box(0, 0, 5, 1.1), TILE) == ()
    assert packed(Polygon(), TILE) == ()


@QUICK
@given(areas(), tiles, st.data())
def test_some_tiles_of_a_packing_are_so_many_of_its_own(area, tile, data):
    rows = packed(area, tile)
    if not rows:
        return
    count = data.draw(st.integers(1, count_of(rows)))
    some = some_of(rows, count, tile)
    own = {(row.v_m, u) for row in rows for u in row.us_m}
    assert count_of(some) == count
    assert {(row.v_m, u) for row in some for u in row.us_m} <= own


def test_some_tiles_of_a_rectangle_lie_together_in_the_middle():
    rows = packed(box(0, 0, 5, 5), Tile(1.0, 1.0, 0.0, 1.0))
    some = some_of(rows, 6, Tile(1.0, 1.0, 0.0, 1.0))
    assert [len(row.us_m) for row in some] == [3, 3]
    assert all(row.us_m[0] == pytest.approx(1.0) for row in some)


def test_modules_placed_one_by_one_know_their_rows_and_pitch():
    one = Block(0.0, 0.0, 30.0, 10.0, "landscape", (1,), 1.722, 1.134, 0.02, 1.85)
    rows = (Row(0.0, (0.0, 1.742, 6.0)), Row(2.5, (0.0, 1.742)))
    block = with_places(one, [(u, row.v_m) for row in rows for u in row.us_m])
    assert block.rows == (2, 1, 2)
    assert block.lines == (0, 0, 1)
    assert block.pitch_m == pytest.approx(2.5)
    assert block.width_m == pytest.approx(7.722)
    turn = radians(30.0)
    corner = block.module_outlines()[2][0]
    assert corner == pytest.approx((6.0 * cos(turn), -6.0 * sin(turn)))
