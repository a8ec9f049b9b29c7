"""The sketch and the sun's eye: where things are drawn, and in what order."""

import numpy as np
import pytest

from pvkit.roof.geometry import geometry
from pvkit.roof.moment import cells_lit
from pvkit.roof.sketch import roof_sketch
from pvkit.roof.sun_eye import sun_eye
from tests.roof.sites import ALL, CHIMNEY, TREE, WALL, site_with

TWO_ROWS = {"count": None, "rows": 2, "columns": 2}


def drawn(shapes, name):
    return [np.array(shape.outline) for shape in shapes if shape.name == name]


@pytest.mark.parametrize(("azimuth", "north"), [(180, 0), (200, -20), (90, 90), (270, -90)])
def test_the_north_arrow_turns_with_the_roof(azimuth, north):
    site = site_with(WALL | {"bearing_deg": 0.0}, roof={"azimuth_deg": azimuth})
    sketch = roof_sketch(site, "r")
    assert sketch.north_deg == pytest.approx(north)
    (wall,) = drawn(sketch.plan, "neighbour")
    (roof,) = drawn(sketch.plan, "r")
    across, up = wall.mean(axis=0) - roof.mean(axis=0)
    assert np.degrees(np.arctan2(across, up)) == pytest.approx(north)
    assert np.hypot(across, up) == pytest.approx(12.0)


def test_the_plan_shows_everything_once_by_its_name():
    sketch = roof_sketch(site_with(*ALL), "r")
    names = [shape.name for shape in sketch.plan]
    assert names[0] == "r"
    assert [shape.number for shape in sketch.plan if shape.role == "module"] == [1, 2, 3, 4]
    for obstacle in ALL:
        assert names.count(obstacle["name"]) == 1
    assert {shape.name for shape in sketch.side} == set(names)


def test_a_chimney_stands_where_it_was_measured():
    sketch = roof_sketch(site_with(CHIMNEY), "r")
    slope = np.cos(np.radians(35))
    (plan,), (side,) = drawn(sketch.plan, "chimney"), drawn(sketch.side, "chimney")
    np.testing.assert_allclose(plan.min(axis=0), [0.2, 4.0 * slope])
    np.testing.assert_allclose(plan.max(axis=0), [0.8, 4.6 * slope])
    roof_height = 5.0 + 4.3 * np.sin(np.radians(35))
    assert side[:, 1].max() == pytest.approx(roof_height + 1.2)
    assert side[0, 1] == pytest.approx(5.0 + 4.0 * np.sin(np.radians(35)))


def test_ground_things_stand_on_the_ground():
    sketch = roof_sketch(site_with(WALL, TREE), "r")
    (wall,), (canopy, trunk) = drawn(sketch.side, "neighbour"), drawn(sketch.side, "birch")
    assert (wall[:, 1].min(), wall[:, 1].max()) == (0.0, 10.0)
    assert (canopy[:, 1].min(), canopy[:, 1].max()) == pytest.approx((2.5, 11.0))
    assert (trunk[:, 1].min(), trunk[:, 1].max()) == pytest.approx((0.0, 2.5))


def test_an_upstand_shows_on_the_side_view():
    sketch = roof_sketch(site_with(kind="flat", roof={"parapet_m": 0.4}), "r")
    house, upstand = drawn(sketch.side, "r")
    assert house[:, 1].max() == 5.0
    assert upstand[:, 1].max() == pytest.approx(5.4)


def test_the_sun_sees_each_section_with_the_light_it_gets():
    site = site_with(*ALL, array=TWO_ROWS)
    lit = cells_lit(geometry(site, site.array[0]), 162.0, 13.0).mean(axis=-1)
    patches = [patch for patch in sun_eye(site, "r", 162.0, 13.0) if patch.role == "module"]
    assert [patch.lit for patch in patches] == pytest.approx(lit.ravel().tolist())
    assert [patch.number for patch in patches] == sorted([1, 2, 3, 4] * 6)
    assert lit.min() < 0.5 < lit.max() == 1


def test_what_stands_between_the_sun_and_the_roof_is_drawn_over_it():
    names = [patch.name for patch in sun_eye(site_with(WALL, CHIMNEY), "r", 160.0, 20.0)]
    assert names.index("neighbour") > names.index("r")
    behind = sun_eye(site_with(WALL | {"bearing_deg": 340.0}), "r", 160.0, 20.0)
    names = [patch.name for patch in behind]
    assert names.index("neighbour") < names.index("r")


def _covers(outline, point):
    sides = [
        (b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0])
        for a, b in zip(outline, outline[1:] + outline[:1], strict=True)
    ]
    return min(sides) > 0 or max(sides) < 0


def test_a_section_in_the_walls_shade_lies_behind_the_wall_as_the_sun_sees_it():
    patches = sun_eye(site_with(WALL, array=TWO_ROWS), "r", 165.0, 13.0)
    (wall,) = [patch.outline for patch in patches if patch.name == "neighbour"]
    shades = set()
    for patch in patches:
        if patch.role == "module" and patch.lit in (0.0, 1.0):
            middle = np.mean(patch.outline, axis=0)
            assert _covers(wall, middle) == (patch.lit == 0.0)
            shades.add(patch.lit)
    assert shades == {0.0, 1.0}


def test_a_sun_behind_the_roof_sees_nothing():
    assert sun_eye(site_with(), "r", 0.0, 10.0) == ()
