"""Arrays that go round what is kept clear of, and what is refused with how many do fit."""

import re
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from pvkit.errors import InputError
from pvkit.site.placing import blocks, site_blocks
from pvkit.site.reader import build_site
from pvkit.site.survey import Site
from pvkit.site.usable import edge_margin_m, kept_clear, usable_area

CHIMNEY = {"name": "chimney", "kind": "box", "roof": "r", "x_m": 4.2, "y_m": 2.4,
           "width_m": 0.7, "depth_m": 0.7, "height_m": 1.2}  # fmt: skip
WINDOW = {"name": "window", "kind": "window", "roof": "r", "x_m": 4.0, "y_m": 2.0,
          "width_m": 0.8, "depth_m": 1.2}  # fmt: skip
QUICK = settings(max_examples=30, deadline=None, database=None, derandomize=True)


def site_of(array: dict[str, Any], kind: str = "pitched", **tables: Any) -> Site:
    slope = {"tilt_deg": 35} if kind == "pitched" else {}
    roof = {"name": "r", "kind": kind, "azimuth_deg": 180, "width_m": 9, "depth_m": 5.6, **slope}
    return build_site({
        "site": {"name": "a", "latitude": 52.0, "longitude": -1.0},
        "roof": [roof | tables.pop("roof", {})],
        "array": [{"name": "m", "roof": "r", "module": "half-cut-430", **array}],
        "inverter": {"part": "single-phase-4000"},
        **tables,
    })  # fmt: skip


def refused(*args: Any, **tables: Any) -> str:
    with pytest.raises(InputError) as caught:
        site_of(*args, **tables)
    return str(caught.value)


def gaps(site: Site) -> list[float]:
    """Give the distance from each thing kept clear to the nearest module."""
    roof = site.roof[0]
    modules = [Polygon(o) for b in site_blocks(site, roof).values() for o in b.module_outlines()]
    return [min(m.distance(Polygon(k.outline)) for m in modules) for k in kept_clear(site, roof)]


@pytest.mark.parametrize("tables", [{"obstacle": [CHIMNEY]}, {"keep_clear": [WINDOW]}])
@pytest.mark.parametrize("count", [4, 8, 10])
def test_a_count_alone_goes_round_what_is_in_its_way_and_keeps_its_margin(
    tables: dict[str, Any], count: int
) -> None:
    site = site_of({"count": count}, **tables)
    (block,) = site_blocks(site, site.roof[0]).values()
    assert sum(block.rows) == count
    assert min(gaps(site)) >= 0.3 - 1e-3


def test_a_grid_that_the_surveyor_laid_out_is_refused_where_something_is_in_its_way() -> None:
    grid = {"rows": 2, "columns": 5}
    assert "inside the box 'chimney'" in refused(grid, obstacle=[CHIMNEY])
    assert "over the window 'window'" in refused(grid, keep_clear=[WINDOW])
    assert site_of(grid | {"x_m": 0.0, "columns": 3}, keep_clear=[WINDOW])


def test_nothing_moves_where_nothing_is_in_the_way() -> None:
    aside = WINDOW | {"x_m": 0.1, "y_m": 0.1}
    plain, beside = site_of({"count": 6}), site_of({"count": 6}, keep_clear=[aside])
    assert site_blocks(plain, plain.roof[0]) == site_blocks(beside, beside.roof[0])


def test_margins_are_given_up_before_an_array_is_refused() -> None:
    for count in range(10, 30):
        try:
            site = site_of({"count": count}, keep_clear=[WINDOW])
        except InputError:
            break
        assert min(gaps(site)) >= -1e-6
    assert min(gaps(site)) < 0.3


@QUICK
@given(st.floats(0.5, 7.5), st.floats(0.3, 4.0), st.sampled_from(["pitched", "flat"]))
def test_as_many_as_the_refusal_says_do_fit_and_one_more_does_not(
    x: float, y: float, kind: str
) -> None:
    window = WINDOW | {"x_m": x, "y_m": y}
    message = refused({"count": 24}, kind, keep_clear=[window])
    most = int(re.findall(r"at most (\d+) of th", message)[0])
    assert sum(blocks_of(site_of({"count": most}, kind, keep_clear=[window]))) == most
    assert refused({"count": most + 1}, kind, keep_clear=[window])


def blocks_of(site: Site) -> list[int]:
    return [n for block in site_blocks(site, site.roof[0]).values() for n in block.rows]


def test_too_many_by_area_alone_are_told_how_many_fit() -> None:
    message = refused({"count": 40})
    assert "at most 21 of the modules of 'm' (" in message


def test_an_outline_without_a_rectangle_wide_enough_takes_modules_in_its_arms() -> None:
    ell = [[0, 0], [9, 0], [9, 2.2], [2.4, 2.2], [2.4, 9], [0, 9]]
    roof = {"outline_m": ell, "width_m": None, "depth_m": None}
    site = site_of({"count": 11}, roof=roof)
    shape = Polygon(ell).buffer(1e-5)
    (block,) = site_blocks(site, site.roof[0]).values()
    assert sum(block.rows) == 11
    assert all(shape.covers(Polygon(outline)) for outline in block.module_outlines())


def test_margins_are_the_tables_until_the_site_file_gives_its_own() -> None:
    site = site_of({"count": 4}, roof={"margin_m": 0.6, "eaves_margin_m": 1.0})
    roof = site.roof[0]
    assert edge_margin_m(roof, "eaves") == (1.0, True)
    assert edge_margin_m(roof, "ridge") == (0.6, True)
    assert usable_area(roof).area == pytest.approx((9 - 1.2) * (5.6 - 1.6))
    assert edge_margin_m(site_of({"count": 4}).roof[0], "verge") == (0.3, False)
    assert edge_margin_m(site_of({"count": 4}, "flat").roof[0], "verge") == (0.5, False)


def test_a_walkway_needs_no_more_room_round_it() -> None:
    way = WINDOW | {"kind": "walkway"}
    site = site_of({"count": 4}, keep_clear=[way, WINDOW | {"name": "w", "margin_m": 0.1}])
    assert [k.margin_m for k in kept_clear(site, site.roof[0])] == [0.0, 0.1]


def test_a_large_flat_roof_is_parted_by_walkways() -> None:
    site = site_of({"count": 4}, "flat", roof={"width_m": 27.2, "depth_m": 9.0})
    roof = site.roof[0]
    area = usable_area(roof)
    # 26.2 m inside the margins: three blocks of 8.33 m and two ways of 0.6 m.
    assert [round(part.bounds[2] - part.bounds[0], 2) for part in area.geoms] == [8.33, 8.33, 8.33]
    assert area.area == pytest.approx((26.2 - 2 * 0.6) * 8.0)


@QUICK
@given(st.lists(st.tuples(st.floats(-5, 5), st.floats(-5, 5)), min_size=3, max_size=8))
def test_an_outline_that_crosses_itself_still_has_a_usable_part_or_none(
    corners: list[tuple[float, float]],
) -> None:
    site = site_of({"count": 1})
    roof = site.roof[0].model_copy(update={"outline_m": tuple(corners), "width_m": None})
    area = usable_area(roof, kept_clear(site, roof))
    assert area.area <= usable_area(roof, margins=False).area + 1e-9


def test_modules_placed_one_by_one_are_counted_and_numbered_in_their_order() -> None:
    spots = [[5.0, 0.5], [1.0, 0.5], [2.154, 0.5], [1.0, 2.3]]
    site = site_of({"positions_m": spots})
    (block,) = blocks(site.roof[0], site.array)
    assert site.count(site.array[0]) == 4
    assert [list(outline[0]) for outline in block.module_outlines()] == pytest.approx(
        [pytest.approx(spot) for spot in spots]
    )
    assert site.kwp() == pytest.approx(4 * 0.43)
