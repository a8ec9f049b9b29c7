"""The sky-view table: against plain ray casting, and what more or taller obstacles can do."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvkit.errors import InputError
from pvkit.roof.geometry import Grid, geometry, usual_grid
from pvkit.roof.layout import cell_points
from pvkit.roof.moment import cells_lit
from pvkit.roof.shapes import solids
from pvkit.roof.sky_view import SkyView, scene, sky_view_table
from pvkit.roof.view_kernel import fill, room_to_work
from tests.roof.sites import ALL, CHIMNEY, FLUE, PARAPET, RIDGE, TREE, WALL, site_with

COARSE = Grid(24, 18, 2)
ROUNDING = 2e-6  # shares are kept in single precision
CONTEST = settings(max_examples=40, deadline=None, database=None)


def view(site, grid: Grid = COARSE) -> SkyView:
    return sky_view_table(geometry(site, site.array[0], grid))


def hidden(site, grid: Grid = COARSE) -> tuple[np.ndarray, np.ndarray]:
    """Both tables, of zeros where nothing stands in the light, for both seasons."""
    found = view(site, grid)
    sections = found.modules * found.sections
    shape = (2, grid.bearings, grid.elevations, sections)
    if found.hidden is None:
        return np.zeros(shape), np.zeros(shape)
    return np.broadcast_to(found.hidden, shape), np.broadcast_to(found.darkest, shape)


def ray_hits(start: np.ndarray, way: np.ndarray, found) -> float:
    """Light that gets through along one ray, by plain solid geometry, without any table."""
    through = 1.0
    for face in found.faces:
        normal = np.cross(face[1] - face[0], face[3] - face[0])
        across = normal @ way
        run = normal @ (face[0] - start) / across if across else -1.0
        if run > 0:
            point = start + run * way
            sides = [normal @ np.cross(face[(n + 1) % 4] - face[n], point - face[n])
                     for n in range(4)]  # fmt: skip
            if min(sides) > 0:
                return 0.0
    for (x, y, radius, bottom, top), light in zip(found.rounds, found.round_light, strict=True):
        a, off = way[:2] @ way[:2], start[:2] - [x, y]
        b, c = off @ way[:2], off @ off - radius**2
        if b * b - a * c <= 0:
            continue
        runs = [(-b - np.sqrt(b * b - a * c)) / a, (-b + np.sqrt(b * b - a * c)) / a]
        into, out = max(runs[0], 0.0, (bottom - start[2]) / way[2]), (top - start[2]) / way[2]
        if runs[1] > 0 and into < min(runs[1], out):
            through *= light[-1]
    return through


@pytest.mark.parametrize("kind", ["pitched", "flat"])
def test_every_cell_is_lit_as_plain_ray_casting_says(kind):
    if kind == "flat":
        site = site_with(*ALL, kind=kind, roof={"parapet_m": 0.4}, array={"azimuth_deg": 205.0,
                         "x_m": None, "count": 6, "tilt_deg": 15.0})  # fmt: skip
    else:
        site = site_with(*ALL, kind=kind)
    found = geometry(site, site.array[0])
    points, bodies = cell_points(found), solids(found)
    row = np.repeat(np.arange(len(found.block.rows)), found.block.rows)
    random = np.random.default_rng(7)
    shares = []
    for _ in range(120):
        azimuth, elevation = random.uniform(0, 360), random.uniform(1, 75)
        lit = cells_lit(found, azimuth, elevation)
        a, e = np.radians(azimuth), np.radians(elevation)
        way = np.array([np.sin(a) * np.cos(e), np.cos(a) * np.cos(e), np.sin(e)])
        for _ in range(6):
            at = tuple(random.integers(0, n) for n in points.shape[:3])
            keep = bodies.face_row != row[at[0]]
            seen = type(bodies)(bodies.faces[keep], bodies.face_row[keep], bodies.rounds,
                                bodies.round_light)  # fmt: skip
            assert lit[at] == pytest.approx(ray_hits(points[at], way, seen))
            shares.append(lit[at])
    assert 0.02 < np.mean(shares) < 0.98


HIGH_CANOPY = TREE | {"name": "pine", "bearing_deg": 140.0, "trunk_m": 7.5, "height_m": 9.0}


def test_the_table_is_the_mean_of_what_its_parts_of_the_sky_send():
    site = site_with(*ALL, HIGH_CANOPY)
    rays = 30
    table = view(site, Grid(36, 18, rays))
    found = geometry(site, site.array[0])
    for part in [(14, 0), (14, 1), (16, 1), (17, 3), (21, 2), (22, 4), (9, 1), (13, 0), (30, 2)]:
        azimuths = (part[0] + (np.arange(rays) + 0.5) / rays) * 10
        elevations = (part[1] + (np.arange(rays) + 0.5) / rays) * 5
        lit = np.mean([cells_lit(found, a, e) for a in azimuths for e in elevations], axis=0)
        for which, share in ((table.hidden, lit.mean(axis=-1)), (table.darkest, lit.min(axis=-1))):
            theirs = 1 - which[(-1, *part)].reshape(share.shape)
            np.testing.assert_allclose(theirs, share, atol=0.5 / rays)  # half a step


GROWING = [(CHIMNEY, "height_m"), (CHIMNEY, "width_m"), (CHIMNEY, "depth_m"), (FLUE, "height_m"),
           (FLUE, "diameter_m"), (WALL, "height_m"), (WALL, "width_m"), (TREE, "height_m"),
           (TREE, "width_m"), (PARAPET, "height_m"), (RIDGE, "height_m"),
           (RIDGE, "width_m")]  # fmt: skip


@CONTEST
@given(st.sampled_from(GROWING), st.floats(0.05, 1.0), st.floats(-0.4, 0.4), st.booleans())
def test_a_bigger_obstacle_never_lets_more_light_onto_any_section(growing, more, shift, flat):
    obstacle, key = growing
    moved = dict(obstacle)
    if "y_m" in moved:
        moved["y_m"] += shift
    if "distance_m" in moved:
        moved |= {"distance_m": moved["distance_m"] + shift, "bearing_deg": 160 + 50 * shift}
    kind = "flat" if flat else "pitched"
    try:
        small = site_with(moved, kind=kind)
        large = site_with(moved | {key: moved[key] + more}, kind=kind)
    except InputError:  # grown into the modules
        return
    for less, most in zip(hidden(small), hidden(large), strict=True):
        assert np.all(most >= less - ROUNDING)


@CONTEST
@given(st.lists(st.sampled_from(ALL), unique_by=lambda o: o["name"], min_size=1), st.booleans())
def test_more_obstacles_never_let_more_light_onto_any_section(obstacles, flat):
    kind = "flat" if flat else "pitched"
    fewer, more = site_with(*obstacles[1:], kind=kind), site_with(*obstacles, kind=kind)
    for less, most in zip(hidden(fewer), hidden(more), strict=True):
        assert np.all(most >= less - ROUNDING)


@CONTEST
@given(st.floats(0, 1), st.floats(0, 1))
def test_a_thinner_canopy_never_lets_less_light_through(one, other):
    thick, thin = (
        site_with(TREE | {"light_through_summer": share, "light_through_winter": share})
        for share in sorted((one, other))
    )
    for less, most in zip(hidden(thin), hidden(thick), strict=True):
        assert np.all(most >= less - ROUNDING)


def test_looking_only_where_a_solid_may_be_seen_finds_all_of_it():
    site = site_with(*ALL, HIGH_CANOPY, kind="flat", roof={"parapet_m": 0.4},
                     array={"count": 6, "x_m": None, "tilt_deg": 15})  # fmt: skip
    found = geometry(site, site.array[0], COARSE)
    some, every = scene(found), scene(found)
    every.half[:] = np.pi
    assert some.half.min() < 0.5
    tables = [np.zeros((2, 2, 24, 18, 36), np.float32) for _ in range(2)]
    for made, (mean, worst) in zip((some, every), tables, strict=True):
        fill(made, 0, 24, mean, worst, room_to_work(made, 18, 2, 2))
    np.testing.assert_array_equal(*tables)


def test_a_trees_two_seasons_are_the_two_shares_of_light():
    both = view(site_with(TREE | {"light_through_summer": 0.2, "light_through_winter": 0.6}))
    for season, share in ((0, 0.6), (1, 0.2)):
        alone = view(site_with(TREE | {"light_through_summer": share,
                                       "light_through_winter": share}))  # fmt: skip
        assert alone.seasons == 1
        np.testing.assert_allclose(both.hidden[season], alone.hidden[0], atol=ROUNDING)


@CONTEST
@given(st.floats(-60, 60), st.floats(0.3, 7.5), st.booleans(), st.sampled_from([150.0, 180.0, 210]))
def test_east_and_west_are_mirror_images(turn, x, flat, facing):
    kind = "flat" if flat else "pitched"
    flue = FLUE | {"x_m": x, "y_m": 5.5}
    wall, tree = WALL | {"bearing_deg": 180 + turn}, TREE | {"bearing_deg": (300 + turn) % 360}
    one = site_with(flue, wall, tree, kind=kind, roof={"azimuth_deg": facing}, array={"x_m": None})
    mirrored = [o | {"bearing_deg": (360 - o["bearing_deg"]) % 360} for o in (wall, tree)]
    other = site_with(flue | {"x_m": 9 - x}, *mirrored, kind=kind,
                      roof={"azimuth_deg": 360 - facing}, array={"x_m": None})  # fmt: skip
    block = geometry(one, one.array[0]).block
    for here, there in zip(hidden(one), hidden(other), strict=True):
        swapped = mirror(there, block)
        np.testing.assert_allclose(swapped, here, atol=1e-5)


def mirror(table, block):
    """Turn bearings, the order of a row's modules, and the sections of each, left to right."""
    parts = table.reshape(*table.shape[:3], -1, 3, 2)
    starts = np.cumsum((0, *block.rows[:-1]))
    turned_rows = zip(block.rows, starts, strict=True)
    row = np.concatenate([np.arange(n)[::-1] + start for n, start in turned_rows])
    parts = parts[:, ::-1][:, :, :, row]
    turned = parts[..., ::-1, :] if block.orientation == "portrait" else parts[..., ::-1]
    return turned.reshape(table.shape)


def test_nothing_in_the_light_gives_a_table_without_arrays():
    assert view(site_with()).hidden is None
    assert view(site_with(WALL | {"height_m": 4.9})).hidden is None
    assert view(site_with(kind="flat", array={"count": 3, "x_m": None})).hidden is None


def test_a_low_upstand_below_the_modules_hides_nothing():
    def upstand(height):
        return view(site_with(kind="flat", roof={"parapet_m": height},
                              array={"count": 3, "x_m": None, "tilt_deg": 10}))  # fmt: skip

    assert upstand(0.05).hidden is None
    assert upstand(0.3).hidden.max() > 0.5


def test_an_upstand_all_round_is_four_parapets():
    edges = [{"name": edge, "kind": "parapet", "roof": "r", "edge": edge, "height_m": 0.5}
             for edge in ("front", "back", "left", "right")]  # fmt: skip
    array = {"x_m": None, "tilt_deg": 10}
    for one, other in zip(
        hidden(site_with(*edges, kind="flat", array=array)),
        hidden(site_with(kind="flat", roof={"parapet_m": 0.5}, array=array)),
        strict=True,
    ):
        np.testing.assert_array_equal(one, other)


def test_the_row_in_front_hides_the_low_sun_from_the_lowest_cells_only():
    site = site_with(kind="flat", array={"count": 6, "x_m": None, "tilt_deg": 20})
    found = geometry(site, site.array[0])
    lit = cells_lit(found, 180.0, 9.0)
    front, back = lit[:3], lit[3:]
    assert front.all()
    heights = cell_points(found)[3:][..., 2]
    assert not back.all()
    assert back[heights > np.quantile(heights, 0.9)].all()
    assert cells_lit(found, 180.0, 16.0).all()


def test_light_passes_below_the_side_of_a_leaning_row():
    site = site_with(kind="flat", roof={"width_m": 20.0}, array={"count": 1, "x_m": 1.0, "y_m": 1.0,
                     "tilt_deg": 40})  # fmt: skip
    other = site.array[0].model_copy(update={"name": "n", "x_m": 6.0, "y_m": 1.6})
    both = site.model_copy(update={"array": (site.array[0], other)})
    found = geometry(both, site.array[0])
    corner = {elevation: cells_lit(found, 80.0, elevation)[0, 0] for elevation in (0.5, 3.0, 6.0)}
    assert corner[0.5].all()
    assert not corner[3.0].any()
    assert corner[6.0].all()


def test_another_roofs_chimney_and_a_wall_measured_from_it_are_not_seen():
    site = site_with(CHIMNEY, WALL)
    shed = site.roof[0].model_copy(update={"name": "shed"})
    site = site.model_copy(
        update={"roof": (*site.roof, shed),
                "obstacle": tuple(o.model_copy(update={"roof": "shed"}) for o in site.obstacle)}
    )  # fmt: skip
    assert view(site).hidden is None


def test_equal_surveys_give_equal_geometries_to_remember_by():
    one, other = site_with(*ALL), site_with(*ALL)
    a, b = geometry(one, one.array[0]), geometry(other, other.array[0])
    assert a == b
    assert hash(a) == hash(b)
    assert a.grid == usual_grid()
    taller = site_with(CHIMNEY | {"height_m": 1.3}, *ALL[1:])
    assert geometry(taller, taller.array[0]) != a


def test_the_worst_cell_gets_no_more_than_the_mean():
    mean, worst = hidden(site_with(*ALL))
    assert np.all(worst >= mean - ROUNDING)
    assert mean.min() >= 0
    assert worst.max() <= 1
