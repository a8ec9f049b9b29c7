"""A whole system: which way each choice moves the yield."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvkit.electrical.system import system_output
from pvkit.errors import InputError
from pvkit.site.parts import module_sheet

ROUNDING_KWH = 1e-12


def half_hours(made, wiring=None, **changes):
    output = system_output(made.air, (made.array(**changes),), wiring or made.wiring())
    return output.ac_kwh


@settings(deadline=None, max_examples=30)
@given(st.floats(0.0, 0.4), st.floats(0.0, 0.4), st.integers(0, 20))
def test_more_dirt_never_gives_more(make_bench, less, more, seed):
    less, more = sorted((less, more))
    made = make_bench(seed=seed)
    clean = half_hours(made, made.wiring(soiling_fraction=less))
    dirty = half_hours(made, made.wiring(soiling_fraction=more))
    assert (dirty <= clean + ROUNDING_KWH).all()


@settings(deadline=None, max_examples=30)
@given(st.floats(0.0, 100.0), st.floats(0.0, 100.0), st.sampled_from(["dc", "ac"]))
def test_a_longer_cable_never_gives_more(make_bench, short_m, long_m, side):
    short_m, long_m = sorted((short_m, long_m))
    made = make_bench()
    near, far = (
        half_hours(made, made.wiring(cables={f"{side}_length_m": length}))
        for length in (short_m, long_m)
    )
    assert (far <= near + ROUNDING_KWH).all()


def test_thicker_copper_gives_more(plain):
    thin, thick = (
        half_hours(plain, plain.wiring(cables={"dc_mm2": mm2})).sum() for mm2 in (4.0, 6.0)
    )
    assert thick > thin


@settings(deadline=None, max_examples=20)
@given(st.integers(0, 100))
def test_a_hotter_mounting_never_gives_more(make_bench, seed):
    made = make_bench(seed=seed, temp_air=(12.0, 30.0))
    open_rack, close, built_in = (
        half_hours(made, mounting=mounting) for mounting in ("ballasted", "on-roof", "in-roof")
    )
    assert (close <= open_rack + ROUNDING_KWH).all()
    assert (built_in <= close + ROUNDING_KWH).all()


@settings(deadline=None, max_examples=30)
@given(st.integers(4, 40), st.sampled_from(["single-phase-1500", "single-phase-3680"]))
def test_output_never_passes_the_inverters_limit(make_bench, count, inverter):
    made = make_bench()
    wiring = made.wiring(inverter)
    assert half_hours(made, wiring, count=count).max() <= wiring.inverter.ac_w * 0.5 / 1000


def test_limit_costs_energy_only_when_the_inverter_is_small(plain):
    def limit(count):
        output = system_output(plain.air, (plain.array(count=count),), plain.wiring())
        return {step.id: step.kwh for step in output.stack}["inverter_limit"]

    assert limit(6) == 0.0
    assert limit(12) < 0.0


def test_dark_half_hours_give_nothing_and_light_ones_something(plain):
    made = half_hours(plain)
    dark = np.setdiff1d(np.arange(made.size), plain.light.daylight)
    assert (made[dark] == 0.0).all()
    assert (made[plain.light.daylight] >= 0.0).all()
    assert (made[plain.light.daylight] > 0.0).mean() > 0.95


def test_two_halves_of_an_array_give_what_the_whole_gives(plain):
    wiring = plain.wiring(off=("dc_cables",))  # two shorter strings have two cables
    whole = half_hours(plain, wiring, count=8)
    halves = (plain.array(name="left", count=4), plain.array(name="right", count=4))
    assert system_output(plain.air, halves, wiring).ac_kwh == pytest.approx(whole, abs=1e-12)


def test_two_strings_in_parallel_lose_in_the_cable_what_two_arrays_of_one_string_lose(plain):
    both = half_hours(plain, count=8, strings=2)
    apart = (plain.array(name="left", count=4), plain.array(name="right", count=4))
    assert system_output(plain.air, apart, plain.wiring()).ac_kwh == pytest.approx(both, abs=1e-12)


# Deline et al. 2012 and MacAlpine & Brandemuehl: module electronics gain under 1 % on a roof
# without shade, and pay their own conversion loss; the net is nil or below.
def test_optimisers_gain_nothing_on_a_roof_without_shade(plain):
    string, each = (half_hours(plain, optimisers=fitted).sum() for fitted in (False, True))
    assert -0.01 < each / string - 1 <= 0.0


def test_optimisers_take_their_share_and_uneven_light_is_left_out(plain):
    output = system_output(plain.air, (plain.array(optimisers=True),), plain.wiring())
    steps = {step.id: step for step in output.stack}
    assert steps["uneven_light"].kwh == 0.0
    assert steps["optimisers"].percent_of_previous == pytest.approx(-1.2, abs=1e-9)


def test_time_out_of_service_is_an_even_share(plain):
    running = half_hours(plain, plain.wiring(out_of_service_fraction=0.0))
    stopped = half_hours(plain, plain.wiring(out_of_service_fraction=0.1))
    assert stopped == pytest.approx(0.9 * running)


def test_flat_modules_are_dirtier_than_steep_ones(plain):
    def dirt(tilt):
        output = system_output(plain.air, (plain.array(surface_tilt=tilt),), plain.wiring())
        return {step.id: step.percent_of_previous for step in output.stack}["dirt"]

    assert dirt(10.0) == pytest.approx(-3.0)
    assert dirt(35.0) == pytest.approx(-1.5)


def test_a_bad_data_sheet_names_its_array(plain):
    sheet = module_sheet("half-cut-430").model_copy(update={"pmax_w": 500.0})
    with pytest.raises(InputError) as error:
        system_output(plain.air, (plain.array(name="shed", module=sheet),), plain.wiring())
    assert error.value.faults[0].where == "array.shed.datasheet.pmax_w"


def test_a_usual_system_needs_no_note(plain):
    assert system_output(plain.air, (plain.array(),), plain.wiring()).notes == ()


@pytest.mark.parametrize(
    ("count", "words"),
    [(12, "is small against 5.16 kWp of modules: its limit cuts off"), (4, "is large against")],
)
def test_an_unusual_inverter_size_is_noted(plain, count, words):
    (note,) = system_output(plain.air, (plain.array(count=count),), plain.wiring()).notes
    assert words in note


def test_a_power_coefficient_the_curve_does_not_have_is_noted(plain):
    sheet = module_sheet("half-cut-430").model_copy(update={"gamma_pmax_per_k": -0.0038})
    (note,) = system_output(plain.air, (plain.array(module=sheet),), plain.wiring()).notes
    assert note == (
        "Array main: the data sheet says -0.38% of power per kelvin, its other numbers make it "
        "-0.30%; the estimate uses the latter."
    )


def test_a_sheet_off_every_curve_is_noted(plain):
    sheet = module_sheet("half-cut-430").model_copy(
        update={
            "pmax_w": 250.0, "vmp_v": 30.3, "imp_a": 8.27, "voc_v": 37.8, "isc_a": 8.70,
            "alpha_isc_per_k": 0.0006, "beta_voc_per_k": -0.0033, "gamma_pmax_per_k": -0.0043,
            "cells_in_series": 60,
        }
    )  # fmt: skip
    (note,) = system_output(plain.air, (plain.array(module=sheet, count=12),), plain.wiring()).notes
    assert note == (
        "Array main: the data sheet's volts and amps lie 0.2% off any one module's curve; the "
        "estimate uses the nearest."
    )


def test_a_strong_module_on_a_weak_optimiser_is_noted(plain):
    sheet = module_sheet("half-cut-430").model_copy(
        update={"pmax_w": 516.0, "imp_a": 13.4 * 1.2, "isc_a": 14.25 * 1.2}
    )
    array = plain.array(module=sheet, count=6, optimisers=True)
    notes = system_output(plain.air, (array,), plain.wiring()).notes
    assert any("above the 500 W of the optimisers" in note for note in notes)
    assert any("16.1 A in full sun, the inverter's input takes 16 A" in note for note in notes)
    assert any("short-circuit current is 21.4 A" in note for note in notes)


def test_light_on_the_plane_is_told_as_it_is_before_anything_hides_it(plain):
    light = plain.light
    by_hand = (light.direct_open + light.sky_open + light.ground).sum() * 0.5 / 1000
    output = system_output(plain.air, (plain.array(),), plain.wiring())
    assert output.poa_kwh_per_m2 == pytest.approx(by_hand, rel=1e-12)
    assert output.stack[2].remaining_kwh < output.stack[1].remaining_kwh
