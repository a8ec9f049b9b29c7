"""Modules and strings under uneven light: against a direct solution, and what must always hold."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pvlib.singlediode import bishop88_i_from_v, bishop88_mpp, bishop88_v_from_i

from pvkit.electrical.cell import cells_at
from pvkit.electrical.mismatch import CellLight, StringLayout, mismatch
from pvkit.electrical.module import curve_at, desoto
from pvkit.electrical.string_curve import string_curve
from pvkit.site.parts import module_sheet
from pvkit.tables import constant, parts
from tests.electrical.direct_solve import (
    cell_of,
    chain_curve,
    highest_power,
    side_by_side,
    third_curve,
)

HALF_CUT, PLAIN = module_sheet("half-cut-430"), module_sheet("full-cell-300")
SHEETS = (HALF_CUT, PLAIN)
ANY_WINDOW = (0.0, 1e6)
DIRECT_SOLVE_SHARE = 0.002
ALIKE_SHARE = 5e-4  # what taking thirds and halves together that are nearly alike may cost
SOLUTION_SHARE = 1e-3  # what the quick solution may be off by in any one pattern


def sections_of(sheet):
    return 6 if sheet.half_cut else 3


def layout(sheet, strings=1, window=ANY_WINDOW):
    return StringLayout(sheet, strings, *window)


def even(sheet, modules, light, half_hours=1):
    full = np.full((half_hours, modules, sections_of(sheet)), float(light))
    return CellLight(full, full, np.zeros(full.shape))


def shade(rng, sheet, half_hours, modules):
    """Random shade: on some sections of some modules, whole cells; sky light by section."""
    shape = (half_hours, modules, sections_of(sheet))
    in_series = sheet.cells_in_series // 3
    direct = rng.uniform(50, 850, (half_hours, 1, 1))
    rest = rng.uniform(30, 300, (half_hours, 1, 1)) * rng.uniform(0.85, 1.0, (1, *shape[1:])) + 5
    hit = (rng.random((half_hours, modules, 1)) < 0.5) & (rng.random(shape) < 0.5)
    number = np.where(hit, rng.integers(1, in_series + 1, shape), 0).astype(float)
    return CellLight(direct + rest, direct * rng.uniform(0.0, 0.9, shape) + rest, number)


def thirds_of(light, h, sheet):
    """The same light as the direct solution takes it: module, third, side, groups of cells."""
    beside, in_series = sections_of(sheet) // 3, sheet.cells_in_series // 3
    return [
        [
            [
                [
                    (light.number[h, m, s], light.shaded[h, m, s]),
                    (in_series - light.number[h, m, s], light.full[h, m, s]),
                ]
                for s in range(third * beside, (third + 1) * beside)
            ]
            for third in range(3)
        ]
        for m in range(light.full.shape[1])
    ]


@pytest.mark.parametrize("part", sorted(parts("modules")))
@pytest.mark.parametrize(("light", "temp_cell"), [(1000.0, 25.0), (350.0, 48.0), (40.0, -5.0)])
def test_identical_cells_give_the_modules_curve_back(part, light, temp_cell):
    sheet = module_sheet(part)
    five = curve_at(desoto(sheet), np.array([light]), np.array([temp_cell]))
    amps, volts, watts = (float(each[0]) for each in bishop88_mpp(*five))
    found = mismatch(even(sheet, 7, light), np.array([temp_cell]), layout(sheet))
    assert found.even_w[0] == pytest.approx(7 * watts, rel=1e-6)
    assert found.module_w[0] == pytest.approx(watts, rel=1e-6)
    assert found.module_a[0] == pytest.approx(amps, rel=1e-3)  # power is flat there
    assert found.string_w[0] == pytest.approx(7 * watts, rel=1e-6)
    assert found.string_v[0] == pytest.approx(7 * volts, rel=1e-3)


@pytest.mark.parametrize("part", sorted(parts("modules")))
def test_identical_cells_give_every_point_of_the_modules_curve_back(part):
    from pvkit.electrical.cell_kernel import even_volts
    from pvkit.electrical.mismatch import compiled_inputs
    from pvkit.electrical.mismatch_kernel import cell_at

    sheet, temperature = module_sheet(part), np.array([40.0])
    cell = cell_at(0, *compiled_inputs(even(sheet, 1, 800.0), cells_at(sheet, temperature)))
    five = curve_at(desoto(sheet), np.array([800.0]), temperature)
    for amps in np.linspace(0.0, float(five[0][0]) * 0.99, 50):
        third_v, _ = even_volts(amps, 800.0, cell)
        volts = float(bishop88_v_from_i(np.array([amps]), *five)[0])
        assert 3 * third_v == pytest.approx(volts, rel=1e-6)


# A dark substring in a long string is bypassed: the module keeps two thirds of its volts less the
# diode's drop, at the current of the rest.
@pytest.mark.parametrize("sheet", SHEETS, ids=["half-cut", "plain"])
def test_a_dark_third_in_a_long_string_leaves_two_thirds_less_the_diodes_drop(sheet):
    modules, beside = 20, sections_of(sheet) // 3
    light = even(sheet, modules, 1000.0)
    shaded = light.full.copy()
    shaded[0, 4, :beside] = 0.0
    number = np.zeros(shaded.shape)
    number[0, 4, :beside] = sheet.cells_in_series / 3
    found = mismatch(CellLight(light.full, shaded, number), np.array([25.0]), layout(sheet))
    clear = mismatch(light, np.array([25.0]), layout(sheet))
    each_w, amps = clear.module_w[0, 0], clear.module_a[0, 0]
    lost_w = clear.string_w[0] - found.string_w[0]
    assert lost_w == pytest.approx(each_w / 3 + constant("bypass.forward_v") * amps, rel=0.005)


@pytest.mark.parametrize("sheet", SHEETS, ids=["half-cut", "plain"])
def test_strings_agree_with_a_direct_solution_by_single_cells(sheet):
    rng = np.random.default_rng(50)
    light, temp_cell = shade(rng, sheet, 25, 4), rng.uniform(-5.0, 65.0, 25)
    found = mismatch(light, temp_cell, layout(sheet))
    cell = replace(cell_of(desoto(sheet), sheet.cells_in_series), fineness=3)
    amps, in_series = np.linspace(0.0, 18.0, 12000), sheet.cells_in_series // 3
    for h in range(25):
        modules = [
            chain_curve(cell, thirds, temp_cell[h], amps, in_series)
            for thirds in thirds_of(light, h, sheet)
        ]
        own = [highest_power(amps, volts) for volts in modules]
        string = highest_power(amps, sum(modules))
        assert found.module_w[h] == pytest.approx(own, rel=DIRECT_SOLVE_SHARE)
        assert found.string_w[h] == pytest.approx(string, rel=DIRECT_SOLVE_SHARE)


def test_parallel_strings_and_the_trackers_window_agree_with_a_direct_solution():
    rng, window = np.random.default_rng(7), (60.0, 80.0)
    light, temp_cell = shade(rng, PLAIN, 12, 6), rng.uniform(0.0, 60.0, 12)
    found = mismatch(light, temp_cell, layout(PLAIN, strings=2, window=window))
    cell = cell_of(desoto(PLAIN), PLAIN.cells_in_series)
    amps, volts = np.linspace(0.0, 14.0, 8000), np.linspace(*window, 4001)
    for h in range(12):
        thirds = thirds_of(light, h, PLAIN)
        strings = [
            sum(third_curve(cell, sides, temp_cell[h], amps, 20) for m in part for sides in m)
            for part in (thirds[:3], thirds[3:])
        ]
        power = float((volts * side_by_side(strings, amps, volts)).max())
        assert found.string_w[h] == pytest.approx(power, rel=DIRECT_SOLVE_SHARE)


def test_the_solution_stays_close_when_cells_are_alike_but_for_little():
    rng = np.random.default_rng(2)
    full = 600.0 * rng.uniform(0.985, 1.015, (20, 8, 6))
    light = CellLight(full, full, np.zeros(full.shape))
    found = mismatch(light, np.full(20, 40.0), layout(HALF_CUT))
    cell = cell_of(desoto(HALF_CUT), 54)
    amps = np.linspace(0.0, 12.0, 8000)
    for h in range(0, 20, 5):
        volts = sum(
            third_curve(cell, sides, 40.0, amps, 18)
            for module in thirds_of(light, h, HALF_CUT)
            for sides in module
        )
        assert found.string_w[h] == pytest.approx(highest_power(amps, volts), rel=3e-4)


# A single hump, two that nearly merge, or a dim module better bypassed: the spread at which one
# turns into the other is where a quick search may go wrong.
@pytest.mark.parametrize("spread", [0.015, 0.04, 0.08, 0.15, 0.25])
@pytest.mark.parametrize("dim_modules", [1, 3])
def test_a_few_dimmer_modules_agree_with_a_direct_solution(spread, dim_modules):
    rng = np.random.default_rng(2)
    full = 600.0 * (1 + spread * rng.uniform(-0.1, 0.1, (3, 8, 6)))
    full[:, :dim_modules] *= 1 - spread
    light = CellLight(full, full, np.zeros(full.shape))
    found = mismatch(light, np.full(3, 40.0), layout(HALF_CUT))
    cell = cell_of(desoto(HALF_CUT), 54)
    amps = np.linspace(0.0, 12.0, 8000)
    for h in range(3):
        modules = [
            chain_curve(cell, thirds, 40.0, amps, 18) for thirds in thirds_of(light, h, HALF_CUT)
        ]
        string = highest_power(amps, sum(modules))
        own = [highest_power(amps, volts) for volts in modules]
        assert found.string_w[h] == pytest.approx(string, rel=ALIKE_SHARE)
        assert found.module_w[h] == pytest.approx(own, rel=ALIKE_SHARE)


LAYOUTS = st.tuples(st.sampled_from(SHEETS), st.sampled_from([(1, 1), (1, 5), (2, 4), (3, 3)]))


@settings(deadline=None, max_examples=60)
@given(st.integers(0, 2**32 - 1), LAYOUTS)
def test_the_order_of_the_wirings_holds_in_every_half_hour(seed, wiring):
    sheet, (strings, in_series) = wiring
    rng = np.random.default_rng(seed)
    light = shade(rng, sheet, 20, strings * in_series)
    found = mismatch(light, rng.uniform(-10, 70, 20), layout(sheet, strings))
    own = found.module_w.sum(axis=1)
    assert (own <= found.even_w * (1 + SOLUTION_SHARE)).all()
    assert (found.string_w <= own * (1 + 1e-12)).all()
    assert (found.local_w <= found.string_w).all()
    assert (found.local_w >= 0).all()


# At the same temperature every cell's current rises with its light at any voltage, so the whole
# curve does, and with it the highest power inside any window. (A climbing tracker has no such
# luck: its hump may be the better for a little more shade.)
@settings(deadline=None, max_examples=60)
@given(st.integers(0, 2**32 - 1), LAYOUTS, st.sampled_from(["darker", "more cells", "less sky"]))
def test_more_shade_never_gives_more_power(seed, wiring, how):
    sheet, (strings, in_series) = wiring
    rng = np.random.default_rng(seed)
    light = shade(rng, sheet, 10, strings * in_series)
    part = rng.random(light.full.shape) < 0.5
    less = rng.uniform(0.3, 1.0, light.full.shape)
    if how == "darker":
        more = replace(light, shaded=np.where(part, light.shaded * less, light.shaded))
    elif how == "more cells":
        room = sheet.cells_in_series / 3 - light.number
        more = replace(light, number=np.where(part, light.number + room * less, light.number))
    else:
        dim = np.where(part, less, 1.0)
        more = CellLight(light.full * dim, light.shaded * dim, light.number)
    temp_cell, made = rng.uniform(-10, 70, 10), layout(sheet, strings)
    before, after = (mismatch(each, temp_cell, made) for each in (light, more))
    assert (after.string_w <= before.string_w * (1 + SOLUTION_SHARE)).all()
    assert (after.module_w <= before.module_w * (1 + SOLUTION_SHARE)).all()


def test_two_like_strings_give_twice_the_power_of_one():
    rng = np.random.default_rng(11)
    one, temp_cell = shade(rng, HALF_CUT, 30, 5), rng.uniform(0, 60, 30)
    two = CellLight(*(np.tile(each, (1, 2, 1)) for each in (one.full, one.shaded, one.number)))
    single = mismatch(one, temp_cell, layout(HALF_CUT))
    double = mismatch(two, temp_cell, layout(HALF_CUT, strings=2))
    assert double.string_w == pytest.approx(2 * single.string_w, rel=SOLUTION_SHARE)
    assert double.string_v == pytest.approx(single.string_v, rel=0.02)


def test_strings_in_parallel_never_beat_a_tracker_for_each():
    rng = np.random.default_rng(12)
    light, temp_cell = shade(rng, HALF_CUT, 40, 8), rng.uniform(0, 60, 40)
    joined = mismatch(light, temp_cell, layout(HALF_CUT, strings=2))
    apart = sum(
        mismatch(
            CellLight(light.full[:, part], light.shaded[:, part], light.number[:, part]),
            temp_cell,
            layout(HALF_CUT),
        ).string_w
        for part in (slice(0, 4), slice(4, 8))
    )
    assert (joined.string_w <= apart * (1 + SOLUTION_SHARE)).all()
    assert joined.string_w.sum() < apart.sum()


def test_one_module_as_a_string_gives_its_own_maximum():
    rng = np.random.default_rng(13)
    light, temp_cell = shade(rng, HALF_CUT, 50, 1), rng.uniform(0, 60, 50)
    found = mismatch(light, temp_cell, layout(HALF_CUT))
    assert found.string_w == pytest.approx(found.module_w[:, 0], rel=SOLUTION_SHARE)


def test_dark_half_hours_give_nothing():
    dark = even(HALF_CUT, 6, 0.0, half_hours=3)
    found = mismatch(dark, np.full(3, 5.0), layout(HALF_CUT))
    assert found.even_w.max() == found.module_w.max() == found.string_w.max() == 0.0


def test_wholly_dark_modules_among_lit_ones_give_nothing_and_cost_their_diodes():
    light = even(HALF_CUT, 10, 900.0)
    light.full[0, 7:] = light.shaded[0, 7:] = 0.0
    found = mismatch(light, np.array([30.0]), layout(HALF_CUT))
    lit = mismatch(even(HALF_CUT, 7, 900.0), np.array([30.0]), layout(HALF_CUT))
    drop_w = 3 * 3 * constant("bypass.forward_v") * lit.module_a[0, 0]
    assert found.module_w[0, 7:].max() < 1.0
    assert found.string_w[0] == pytest.approx(lit.string_w[0] - drop_w, rel=0.002)


# Evenly lit, the string works best at 126.5 V; at the edges pvlib's bishop88 gives the current.
@pytest.mark.parametrize(("window", "edge_v"), [((0.0, 100.0), 100.0), ((140.0, 1e6), 140.0)])
def test_outside_its_window_a_tracker_gives_what_the_edge_gives(window, edge_v):
    light = even(HALF_CUT, 4, 800.0)
    found = mismatch(light, np.array([30.0]), layout(HALF_CUT, window=window))
    five = curve_at(desoto(HALF_CUT), np.array([800.0]), np.array([30.0]))
    amps = float(bishop88_i_from_v(np.array([edge_v / 4]), *five)[0])
    assert found.string_w[0] == pytest.approx(edge_v * amps, rel=1e-6)
    assert found.string_v[0] == pytest.approx(edge_v, rel=1e-6)


def test_inside_its_window_a_tracker_stands_where_it_would_without():
    light = even(HALF_CUT, 4, 800.0)
    free, held = (
        mismatch(light, np.array([30.0]), layout(HALF_CUT, window=window))
        for window in (ANY_WINDOW, (120.0, 130.0))
    )
    assert held.string_w[0] == pytest.approx(free.string_w[0], rel=1e-6)


def test_strings_that_do_not_reach_the_window_give_nothing():
    light = even(HALF_CUT, 4, 800.0)
    found = mismatch(light, np.array([30.0]), layout(HALF_CUT, window=(200.0, 500.0)))
    assert found.string_w[0] == found.local_w[0] == 0.0
    assert found.module_w[0].min() > 300.0


def test_a_climbing_tracker_may_be_caught_on_a_low_hump():
    light = even(PLAIN, 12, 900.0)
    shaded, number = light.full.copy(), np.zeros(light.full.shape)
    shaded[0, :4], number[0, :4] = 150.0, 20.0
    found = mismatch(CellLight(light.full, shaded, number), np.array([40.0]), layout(PLAIN))
    assert found.local_w[0] < 0.5 * found.string_w[0]
    assert found.local_v[0] > found.string_v[0]


def test_the_curve_passes_through_the_points_where_trackers_stand():
    rng = np.random.default_rng(21)
    for strings in (1, 2):
        light = shade(rng, HALF_CUT, 1, 6)
        curve = string_curve(light, 45.0, layout(HALF_CUT, strings), points=3000)
        for volts, watts in (
            (curve.highest_v, curve.highest_w),
            (curve.local_v, curve.local_w),
        ):
            assert np.interp(-volts, -curve.volts, curve.watts) == pytest.approx(watts, rel=0.003)
        assert curve.highest_w == pytest.approx(curve.watts.max(), rel=0.002)
        assert curve.module_w.sum() >= curve.highest_w
        assert (np.diff(curve.volts) < 0).all()
        assert (np.diff(curve.amps) >= -1e-9).all()
