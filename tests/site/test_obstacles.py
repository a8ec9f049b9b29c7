"""Obstacles and layout as a surveyor writes them: what loads, what it means, what is refused."""

import tomllib
from collections.abc import Callable
from typing import Any

import pytest

from pvkit.errors import InputError
from pvkit.site.kit import Roof
from pvkit.site.obstacles import Box, Tree, Wall
from pvkit.site.placing import blocks, reach_m
from pvkit.site.polygons import circle_overlap_m, overlap_m, reach_outside_m
from pvkit.site.reader import build_site, given
from pvkit.tables import default

# The example of the documented file format, kept word for word.
DOCUMENTED = """
[[obstacle]]
name = "chimney"
kind = "box"                  # box, cylinder, wall, tree, parapet, ridge
roof = "top"                  # on a roof: x_m, y_m, width_m, depth_m or diameter_m, height_m
x_m = 1.0
y_m = 4.0
width_m = 0.6
depth_m = 0.6
height_m = 1.2

[[obstacle]]
name = "neighbour"
kind = "wall"                 # in the garden: bearing_deg, distance_m, width_m, height_m above ground
bearing_deg = 160
distance_m = 12
width_m = 8
height_m = 10

[[obstacle]]
name = "birch"
kind = "tree"
bearing_deg = 220
distance_m = 9
width_m = 5                   # canopy
height_m = 11
trunk_m = 2.5
light_through_summer = 0.2
light_through_winter = 0.6
"""  # noqa: E501  # its longest line is the format's own


def site_of(*obstacles: dict[str, Any], **array: Any) -> dict[str, Any]:
    return {
        "site": {"name": "a", "latitude": 51.0, "longitude": -1.0},
        "roof": [{"name": "top", "kind": "flat", "azimuth_deg": 180, "width_m": 9, "depth_m": 6}],
        "array": [{"name": "m", "roof": "top", "module": "half-cut-430", "count": 6, **array}],
        "inverter": {"part": "single-phase-2500"},
        "obstacle": list(obstacles),
    }


def test_the_documented_obstacles_are_accepted_word_for_word(
    listed: Callable[[Any], Any],
) -> None:
    written = tomllib.loads(DOCUMENTED)["obstacle"]
    site = build_site(site_of(*written))
    assert [type(obstacle) for obstacle in site.obstacle] == [Box, Wall, Tree]
    assert listed(given(site))["obstacle"] == written
    assert build_site(given(site)) == site
    assert hash(build_site(given(site))) == hash(site)


def test_a_tree_left_open_takes_its_trunk_and_its_light_from_the_tables() -> None:
    birch = {"name": "birch", "kind": "tree", "bearing_deg": 220, "distance_m": 9, "width_m": 5,
             "height_m": 11}  # fmt: skip
    (tree,) = build_site(site_of(birch)).obstacle
    assert isinstance(tree, Tree)
    assert tree.trunk_m == default("obstacle.trunk_m")
    assert tree.light_through_summer < tree.light_through_winter
    assert tree.light_through_summer == default("obstacle.light_through_summer")


def test_a_site_without_obstacles_has_none() -> None:
    raw = site_of()
    del raw["obstacle"]
    assert build_site(raw).obstacle == ()
    assert build_site(raw) == build_site(site_of())


def refused(raw: dict[str, Any]) -> InputError:
    with pytest.raises(InputError) as caught:
        build_site(raw)
    return caught.value


def test_a_table_for_a_list_of_obstacles_is_told_so() -> None:
    raw = site_of()
    raw["obstacle"] = tomllib.loads(DOCUMENTED)["obstacle"][0]
    (fault,) = refused(raw).faults
    assert fault.where == "site, obstacle"
    assert "two brackets" in fault.fix


@pytest.mark.parametrize("entry", [3, "box", [], None])
def test_what_is_no_table_among_the_obstacles_is_told_so(entry: Any) -> None:
    raw = site_of()
    raw["obstacle"] = [entry]
    (fault,) = refused(raw).faults
    assert fault.where == "site, obstacle.1"
    assert fault.allowed == "a table"


def test_a_key_of_an_obstacle_written_elsewhere_is_sent_to_it() -> None:
    raw = site_of(trunk_m=2.0)
    (fault,) = refused(raw).faults
    assert fault.fix == "move it under [[obstacle]]"


def test_all_faults_of_obstacles_come_at_once() -> None:
    written = tomllib.loads(DOCUMENTED)["obstacle"]
    written[0] |= {"roof": "tpo", "height_m": -1}
    written[1] |= {"distance_m": 2.0}
    written[2] |= {"kind": "shrub"}
    wheres = {fault.where.removeprefix("site, ") for fault in refused(site_of(*written)).faults}
    assert wheres == {
        "obstacle.chimney.roof", "obstacle.chimney.height_m", "obstacle.neighbour.distance_m",
        "obstacle.birch.kind",
    }  # fmt: skip


@pytest.mark.parametrize("bearing", [0, 45, 90, 135, 180, 225, 270, 315])
def test_a_wall_outside_the_house_is_accepted_and_one_inside_refused(bearing: float) -> None:
    wall = {"name": "w", "kind": "wall", "bearing_deg": bearing, "width_m": 0.5, "height_m": 9}
    assert build_site(site_of(wall | {"distance_m": 5.7})).obstacle
    (fault,) = refused(site_of(wall | {"distance_m": 2.5})).faults
    assert fault.where == "site, obstacle.w.distance_m"


def test_a_long_wall_may_not_cut_a_corner_of_the_house() -> None:
    wall = {"name": "w", "kind": "wall", "bearing_deg": 135, "distance_m": 4.5, "height_m": 9}
    assert build_site(site_of(wall | {"width_m": 0.5}))
    assert "inside the house" in refused(site_of(wall | {"width_m": 6.0})).faults[0].found


def test_a_wall_measured_from_one_roof_need_not_clear_another() -> None:
    raw = site_of({"name": "w", "kind": "wall", "bearing_deg": 90, "distance_m": 3.0, "width_m": 4,
                   "height_m": 9, "roof": "shed"})  # fmt: skip
    raw["roof"].append(raw["roof"][0] | {"name": "shed", "width_m": 4})
    assert build_site(raw)
    del raw["obstacle"][0]["roof"]
    (fault,) = refused(raw).faults
    assert "the roof 'top'" in fault.found
    assert "name under roof" in fault.fix


def test_nothing_stands_plumb_on_a_wall() -> None:
    raw = site_of(tomllib.loads(DOCUMENTED)["obstacle"][0], count=2)
    raw["roof"][0] |= {"kind": "pitched", "tilt_deg": 90}
    (fault,) = refused(raw).faults
    assert fault.where == "site, obstacle.chimney.roof"


def test_a_chimney_astride_the_roofs_edge_is_accepted() -> None:
    chimney = tomllib.loads(DOCUMENTED)["obstacle"][0] | {"x_m": -0.3}
    assert build_site(site_of(chimney))


# Layout: five lying modules fit across the roof, five rows up it; seven standing ones, three up.
MOST = 25


def test_every_count_that_is_accepted_lies_wholly_on_its_roof() -> None:
    for count in range(1, MOST + 1):
        site = build_site(site_of(count=count))
        (block,) = blocks(site.roof[0], site.array)
        assert sum(block.rows) == count
        assert reach_m(block, site.roof[0]) <= 0.01


def test_a_count_that_fits_no_way_is_refused_once() -> None:
    for count in range(MOST + 1, MOST + 8):
        assert len(refused(site_of(count=count)).faults) == 1


def test_a_turned_array_is_kept_on_its_roof_or_refused() -> None:
    for azimuth in range(0, 360, 15):
        site = build_site(site_of(count=6, azimuth_deg=azimuth))
        (block,) = blocks(site.roof[0], site.array)
        assert reach_m(block, site.roof[0]) <= 0.01


def test_two_arrays_that_do_not_fit_side_by_side_are_told_to_be_placed() -> None:
    raw = site_of(count=10)
    raw["array"].append(raw["array"][0] | {"name": "n"})
    raw["roof"][0] |= {"depth_m": 4.9, "width_m": 9.0}
    raw["array"][0]["rows"], raw["array"][0]["columns"] = 2, 5
    raw["array"][1]["rows"], raw["array"][1]["columns"] = 2, 5
    (fault,) = refused(raw).faults
    assert fault.where == "site, array.n"
    assert "over those of 'm'" in fault.found


def test_rows_of_two_arrays_may_lie_between_one_another() -> None:
    raw = site_of(rows=2, columns=3, count=None, x_m=1.0, y_m=0.2, row_pitch_m=2.6, tilt_deg=10)
    raw["array"].append(raw["array"][0] | {"name": "n", "y_m": 1.5})
    assert build_site(raw)
    raw["array"][1]["y_m"] = 0.9
    assert refused(raw).faults[0].where == "site, array.n"


def test_an_outline_with_a_notch_keeps_modules_out_of_it() -> None:
    notched = [[0, 0], [9, 0], [9, 6], [6, 6], [6, 1], [3, 1], [3, 6], [0, 6]]
    raw = site_of(rows=1, columns=3, count=None, x_m=1.0, y_m=1.5)
    raw["roof"][0] = {"name": "top", "kind": "flat", "azimuth_deg": 180, "outline_m": notched}
    (fault,) = refused(raw).faults
    assert "off the roof" in fault.found
    raw["array"][0] |= {"columns": 1, "x_m": 0.5}
    assert build_site(raw)


SQUARE = ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0))


@pytest.mark.parametrize(
    ("x", "deep"), [(4.5, 0.0), (4.0, 0.0), (3.5, 0.5), (-0.25, 0.75), (-1.0, 0.0), (-1.5, 0.0)]
)
def test_shapes_overlap_as_deep_as_the_least_shift_that_parts_them(x: float, deep: float) -> None:
    other = ((x, 1.0), (x + 1, 1.0), (x + 1, 2.0), (x, 2.0))
    assert overlap_m(SQUARE, other) == pytest.approx(deep)
    assert overlap_m(other[::-1], SQUARE[::-1]) == pytest.approx(deep)


def test_a_circle_overlaps_a_shape_from_within_and_without() -> None:
    assert circle_overlap_m(SQUARE, (5.0, 2.0), 0.5) == 0
    assert circle_overlap_m(SQUARE, (4.25, 2.0), 0.5) == pytest.approx(0.25)
    assert circle_overlap_m(SQUARE, (3.0, 2.0), 0.5) == pytest.approx(1.5)


def test_a_shape_inside_an_outline_does_not_reach_out_of_it() -> None:
    inner = ((1.0, 1.0), (2.0, 1.0), (2.0, 2.0), (1.0, 2.0))
    assert reach_outside_m(inner, SQUARE) == 0
    assert reach_outside_m(SQUARE, inner) == pytest.approx(2**0.5 * 2)


def test_a_flat_roof_is_laid_out_however_its_outline_starts() -> None:
    moved = Roof(name="r", kind="flat", azimuth_deg=180,
                 outline_m=((-4.0, -3.0), (5.0, -3.0), (5.0, 3.0), (-4.0, 3.0)))  # fmt: skip
    (array,) = build_site(site_of()).array
    (block,) = blocks(moved, (array,))
    assert block.at(block.width_m / 2, block.depth_m / 2) == pytest.approx((0.5, 0.0))
