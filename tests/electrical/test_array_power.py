"""An array's year with light by section: what stays as it was, and what shade does to it."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvkit.electrical.array_power import array_power
from pvkit.electrical.system import system_output
from pvkit.electrical.uneven import Passing, cell_light, mean_light, uneven_half_hours
from pvkit.electrical.wiring_comparison import wiring_comparison
from pvkit.roof.section_light import SectionLight
from pvkit.site.parts import module_sheet
from pvkit.tables import constant

MODULES, SECTIONS = 8, 6
SOLUTION_SHARE = 1e-3
ROUNDING_W = 1e-6


def sections_of(light, direct_share, worst_share, sky_share, season=None):
    """Sections under a light whose means are made to fit them."""
    season = np.zeros(light.daylight.size, dtype=np.int64) if season is None else season
    seen = sky_share.mean(axis=(1, 2))[season]
    fitting = replace(
        light,
        direct=light.direct_open * direct_share.mean(axis=(1, 2)),
        sky=light.sky_open * seen,
    )
    return SectionLight(
        fitting, *direct_share.shape[1:], season, direct_share, worst_share, sky_share
    )


def open_sections(light, modules=MODULES, sections=SECTIONS):
    shares = np.broadcast_to(np.float64(1.0), (light.daylight.size, modules, sections))
    return sections_of(light, shares, shares, shares[:1])


def shaded_sections(light, seed, modules=MODULES, sections=SECTIONS):
    """Shade on some sections of some modules in half of the half-hours, and a hidden sky."""
    rng = np.random.default_rng(seed)
    shape = (light.daylight.size, modules, sections)
    hit = (rng.random((shape[0], 1, 1)) < 0.5) & (rng.random(shape) < 0.25)
    worst = np.where(hit, rng.uniform(0.0, 0.9, shape), 1.0)
    mean = worst + (1 - worst) * rng.uniform(0.0, 0.95, shape)
    sky = rng.uniform(0.85, 1.0, (2, modules, sections))
    return sections_of(light, mean, worst, sky, rng.integers(0, 2, shape[0]))


def shaded(made, seed=3, **changes):
    sections = shaded_sections(made.light, seed)
    return made.array(light=sections.light, sections=sections, count=MODULES, **changes)


def test_open_sections_give_what_an_array_without_sections_gives(plain):
    for fitted in (False, True):
        sections = open_sections(plain.light)
        light = sections.light
        bare = plain.array(light=light, optimisers=fitted)
        seen = plain.array(light=light, optimisers=fitted, sections=sections)
        without, with_them = (
            system_output(plain.air, (each,), plain.wiring()) for each in (bare, seen)
        )
        assert with_them.powers[0].uneven.size == 0
        assert with_them.ac_kwh.sum() == pytest.approx(without.ac_kwh.sum(), rel=1e-3)
        if not fitted:
            assert (with_them.ac_kwh == without.ac_kwh).all()


def test_optimisers_use_as_much_as_they_draw_when_there_is_little_light(plain):
    sections = open_sections(plain.light)
    array = plain.array(light=sections.light, sections=sections, optimisers=True)
    steps = {s.id: s for s in system_output(plain.air, (array,), plain.wiring()).stack}
    assert -1.3 < steps["optimisers"].percent_of_previous < -1.2


@settings(deadline=None, max_examples=15)
@given(st.integers(0, 2**32 - 1))
def test_the_order_of_the_wirings_holds_in_every_half_hour(make_bench, seed):
    made = make_bench(seed=seed % 50)
    power = array_power(made.air, shaded(made, seed), made.wiring())
    even, own, string, local = (
        feed.watts for feed in (power.even, power.own, power.string, power.local)
    )
    assert power.uneven.size > 50
    assert (own <= even * (1 + SOLUTION_SHARE)).all()
    assert (string <= own + ROUNDING_W).all()
    assert (local <= string + ROUNDING_W).all()


def test_modules_own_maxima_add_up_to_the_arrays(plain):
    power = array_power(plain.air, shaded(plain), plain.wiring())
    assert power.module_kwh.shape == (MODULES,)
    assert power.module_kwh.sum() == pytest.approx(power.own.watts.sum() * 0.5 / 1000, rel=1e-9)


def test_a_module_in_shade_makes_less_than_its_neighbours(plain):
    shares = np.ones((plain.light.daylight.size, MODULES, SECTIONS))
    shares[:, 5] = 0.3
    sections = sections_of(plain.light, shares, shares, np.ones((1, MODULES, SECTIONS)))
    array = plain.array(light=sections.light, sections=sections)
    power = array_power(plain.air, array, plain.wiring())
    direct, rest = power.light.passing.direct.sum(), power.light.passing.sky.sum()
    rest += power.light.passing.ground.sum()
    others = np.delete(power.module_kwh, 5)
    lit_share = (0.3 * direct + rest) / (direct + rest)
    assert power.module_kwh[5] / others.min() == pytest.approx(lit_share, rel=0.03)
    assert others.max() == pytest.approx(others.min(), rel=1e-6)


def test_mismatch_goes_to_the_uneven_light_step_and_the_stack_closes(plain):
    for fitted in (False, True):
        array = shaded(plain, optimisers=fitted)
        output = system_output(plain.air, (array,), plain.wiring())
        changes = sum(step.kwh for step in output.stack[:-1])
        assert changes == pytest.approx(output.stack[-1].kwh, abs=1e-9)
        steps = {step.id: step for step in output.stack}
        off = system_output(plain.air, (array,), plain.wiring(off=("uneven_light",)))
        assert steps["uneven_light"].kwh < 0
        assert off.ac_kwh.sum() > output.ac_kwh.sum()
        assert {s.id: s.kwh for s in off.stack}["uneven_light"] == 0.0


def test_with_optimisers_less_is_lost_to_uneven_light(plain):
    lost = [
        {s.id: s.kwh for s in system_output(plain.air, (array,), plain.wiring()).stack}
        for array in (shaded(plain, optimisers=fitted) for fitted in (False, True))
    ]
    assert lost[0]["uneven_light"] < 2 * lost[1]["uneven_light"] < 0
    assert lost[0]["hidden_beam"] == lost[1]["hidden_beam"] < 0


def test_shade_switched_off_leaves_an_evenly_lit_array(plain):
    wiring = plain.wiring(off=("hidden_beam", "hidden_sky"))
    array = shaded(plain)
    power = array_power(plain.air, array, wiring)
    assert power.uneven.size == 0
    clear = replace(array.light, direct=array.light.direct_open, sky=array.light.sky_open)
    bare = array_power(plain.air, plain.array(light=clear), wiring)
    assert (power.string.watts == bare.string.watts).all()


def test_a_module_beyond_the_optimisers_rating_is_cut_off(plain):
    wiring = plain.wiring()
    small = replace(wiring, optimiser=replace(wiring.optimiser, max_w=200.0))
    sections = open_sections(plain.light)
    for seen in (None, sections):
        array = plain.array(light=sections.light, sections=seen, optimisers=True)
        output = system_output(plain.air, (array,), small)
        most_kwh = 0.5 / 1000 * array.count * 200.0
        assert output.ac_kwh.max() < most_kwh
        assert output.ac_kwh.sum() < system_output(plain.air, (array,), wiring).ac_kwh.sum()


def test_strings_in_parallel_and_plain_modules_run_through_the_whole_year(plain):
    sections = shaded_sections(plain.light, 9, sections=3)
    array = plain.array(
        light=sections.light,
        sections=sections,
        strings=2,
        module=module_sheet("full-cell-300"),
    )
    power = array_power(plain.air, array, plain.wiring())
    assert 0 < power.string.watts.sum() < power.own.watts.sum() < power.even.watts.sum()


def test_half_hours_outside_the_trackers_window_are_solved_in_full(plain):
    sections = open_sections(plain.light, modules=2)
    array = plain.array(light=sections.light, sections=sections, count=2)
    wiring = plain.wiring()
    narrow = replace(
        wiring, inverter=wiring.inverter.model_copy(update={"mppt_min_v": 62.0, "mppt_max_v": 300})
    )
    power = array_power(plain.air, array, narrow)
    assert power.uneven.size > 0
    assert (power.string.volts[power.string.watts > 0] >= 62.0 - 1e-6).all()
    assert power.string.watts.sum() < power.own.watts.sum()


# Cells of a section: so many get its worst share, the others all, that its mean comes out.
def test_light_on_cells_keeps_each_sections_mean(plain):
    sections = shaded_sections(plain.light, 4)
    passing = Passing(plain.light.direct_open, plain.light.sky_open, plain.light.ground)
    at = uneven_half_hours(passing, sections)
    cells = cell_light(passing, sections, at, 18.0)
    mean = (
        passing.direct[at, None] * sections.direct_share[at].mean(axis=2)
        + passing.sky[at, None] * sections.sky_share[sections.season[at]].mean(axis=2)
        + passing.ground[at, None]
    )
    wide = (18.0 * (1 - sections.direct_share[at]) >= 1 - sections.worst_share[at]).all(axis=2)
    assert wide.sum() > 100
    assert mean_light(cells, 18.0)[wide] == pytest.approx(mean[wide], rel=1e-12)
    assert (mean_light(cells, 18.0) <= mean * (1 + 1e-12)).all()
    assert ((cells.number == 0) | ((cells.number >= 1) & (cells.number <= 18))).all()


def test_a_half_hour_counts_as_uneven_by_the_spread_of_its_cells_light(plain):
    shares = np.ones((plain.light.daylight.size, MODULES, SECTIONS))
    passing = Passing(
        np.full(shares.shape[0], 500.0), np.full(shares.shape[0], 100.0), np.zeros(shares.shape[0])
    )
    spread = constant("uneven.spread_fraction")
    shares[0, 2, 3] = 1 - 0.9 * spread * 600 / 500
    shares[1, 2, 3] = 1 - 1.2 * spread * 600 / 500
    sections = sections_of(plain.light, shares, shares, np.ones((1, MODULES, SECTIONS)))
    assert uneven_half_hours(passing, sections).tolist() == [1]


def test_a_year_of_both_wirings_keeps_their_order(plain):
    array = shaded(plain)
    found = wiring_comparison(plain.air, (array,), plain.wiring())
    before_own_loss = found.optimiser_kwh + found.optimiser_own_loss_kwh
    assert found.unshaded_kwh > before_own_loss > found.string_kwh
    assert found.string_kwh > found.string_local_maximum_kwh > 0
    assert 0.01 < found.optimiser_own_loss_kwh / before_own_loss < 0.02


def test_the_comparison_is_that_of_two_whole_systems(plain):
    array = shaded(plain)
    found = wiring_comparison(plain.air, (array,), plain.wiring())
    for fitted, kwh in ((False, found.string_kwh), (True, found.optimiser_kwh)):
        output = system_output(plain.air, (replace(array, optimisers=fitted),), plain.wiring())
        assert output.ac_kwh.sum() == pytest.approx(kwh, rel=1e-12)
        again = wiring_comparison(plain.air, (array,), plain.wiring(), output.powers)
        assert again == found


# Deline et al. 2012 and MacAlpine & Brandemuehl: under 1 % gain on a roof without shade; the net
# of an optimiser's own loss is nil or below.
def test_optimisers_gain_nothing_where_nothing_is_shaded(plain):
    sections = open_sections(plain.light)
    array = plain.array(light=sections.light, sections=sections)
    found = wiring_comparison(plain.air, (array,), plain.wiring())
    assert -0.01 < found.optimiser_kwh / found.string_kwh - 1 <= 0.0
    assert found.string_local_maximum_kwh == found.string_kwh <= found.unshaded_kwh
