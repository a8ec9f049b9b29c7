"""Strings inside and outside an inverter's window."""

from dataclasses import replace

import pytest

from pvkit.electrical.inputs import optimiser_sheet
from pvkit.electrical.string_volts import cold_voc_v, hot_vmp_v
from pvkit.electrical.system import system_output
from pvkit.electrical.window import design_faults
from pvkit.site.parts import inverter_sheet, module_sheet
from pvkit.tables import parts


def inverter(**changes):
    return inverter_sheet("single-phase-3000").model_copy(update=changes)


def faults(arrays, inverter_part):
    return design_faults(arrays, inverter_part, optimiser_sheet())


def wheres(arrays, inverter_part):
    return [fault.where for fault in faults(arrays, inverter_part)]


# Trade rule of thumb for the longest string, from memory: open-circuit volts x 1.09 to 1.12 on a
# cold lowland morning makes 12, 14 and 24 modules of 37.2 V, -0.26 %/K, at 500, 600 and 1000 V.
@pytest.mark.parametrize(("dc_max_v", "longest"), [(500.0, 12), (600.0, 14), (1000.0, 24)])
def test_longest_string_is_the_trades(plain, dc_max_v, longest):
    sheet = module_sheet("half-cut-415").model_copy(update={"voc_v": 37.2})
    limit = inverter(dc_max_v=dc_max_v, mppt_max_v=dc_max_v)
    fits, too_long = (plain.array(module=sheet, count=n) for n in (longest, longest + 1))
    assert wheres((fits,), limit) == []
    assert wheres((too_long,), limit) == ["array.main.count"]


# The same notes: at 70 degC the working volts are about 0.85 of the rating's; 31.2 V gives 26.4 V.
@pytest.mark.parametrize("part", sorted(parts("modules")))
def test_hot_volts_are_about_five_sixths_of_the_rating(part):
    sheet = module_sheet(part)
    assert 0.80 < hot_vmp_v(sheet) / sheet.vmp_v < 0.88


@pytest.mark.parametrize("part", sorted(parts("modules")))
def test_cold_volts_stay_below_the_flat_rule_of_fifteen_percent(part):
    sheet = module_sheet(part)
    assert 1.09 < cold_voc_v(sheet) / sheet.voc_v < 1.15


def test_a_string_too_short_to_work_on_a_hot_day_says_how_many_are_needed(plain):
    (fault,) = faults((plain.array(count=2),), inverter(mppt_min_v=80.0))
    assert fault.where == "array.main.count"
    assert fault.found == "found 2 modules in a string, only 54 V at work at 75 degC"
    assert fault.fix.startswith("put at least 3 in a string")


def test_a_string_whose_least_working_volts_lie_above_the_window_is_refused(plain):
    (fault,) = faults((plain.array(count=10),), inverter(mppt_max_v=250.0))
    assert fault.where == "array.main.count"
    assert fault.found == "found 10 modules in a string, 271 V at work even at 75 degC"
    assert fault.fix.startswith("put at most 9 in a string")
    assert wheres((plain.array(count=9),), inverter(mppt_max_v=250.0)) == []


def test_a_string_with_more_optimisers_than_their_maker_allows_is_refused(plain):
    limit = inverter(dc_max_v=1500.0, mppt_max_v=1500.0)
    (fault,) = faults((plain.array(count=26, optimisers=True),), limit)
    assert fault.allowed == "up to 25, the optimiser's most_in_string"
    assert wheres((plain.array(count=25, optimisers=True),), limit) == []


def test_the_optimiser_of_the_wiring_is_the_one_that_is_judged(plain):
    weak = replace(optimiser_sheet(), input_isc_max_a=14.0)
    array = (plain.array(optimisers=True),)
    (fault,) = design_faults(array, inverter(), weak)
    assert fault.allowed == "up to 14 A, the optimiser's input_isc_max_a"
    assert design_faults(array, inverter(), optimiser_sheet()) == ()


def test_the_inverters_least_volts_are_left_to_optimisers(plain):
    assert wheres((plain.array(count=4),), inverter(mppt_min_v=150.0)) == ["array.main.count"]
    assert wheres((plain.array(count=4, optimisers=True),), inverter(mppt_min_v=150.0)) == []


def test_a_string_with_too_few_optimisers_to_start_is_refused(plain):
    (fault,) = faults((plain.array(count=3, optimisers=True),), inverter())
    assert fault.where == "array.main.count"
    assert fault.allowed == "4 or more, the optimiser's least_in_string"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (
            {"voc_v": 56.0, "vmp_v": 47.2, "pmax_w": 632.5, "cells_in_series": 80},
            "61.6 V open-circuit",
        ),
        ({"isc_a": 15.5, "imp_a": 14.6, "pmax_w": 468.7}, "15.5 A short-circuit"),
    ],
)
def test_a_module_beyond_the_optimisers_input_is_refused(plain, change, words):
    sheet = module_sheet("half-cut-430").model_copy(update=change)
    array = plain.array(module=sheet, optimisers=True)
    (fault,) = faults((array,), inverter(dc_max_v=1000.0))
    assert fault.where == "array.main.optimisers"
    assert words in fault.found
    assert faults((plain.array(optimisers=True),), inverter()) == ()


def test_a_string_that_could_break_the_inverter_is_refused_with_optimisers_too(plain):
    array = plain.array(count=15, optimisers=True)
    (fault,) = faults((array,), inverter(dc_max_v=600.0))
    assert fault.found == "found 15 modules in a string, 629 V open-circuit at -15 degC"
    assert fault.allowed == "up to 600 V, the inverter's dc_max_v: 14 such modules"


def test_strings_in_parallel_are_counted_by_their_own_length(plain):
    limit = inverter(dc_max_v=600.0, input_isc_max_a=40.0)
    assert wheres((plain.array(count=20),), limit) == ["array.main.count"]
    assert wheres((plain.array(count=20, strings=2),), limit) == []


def test_strings_of_unequal_length_are_refused(plain):
    limit = inverter(input_isc_max_a=40.0)
    assert wheres((plain.array(count=9, strings=2),), limit) == ["array.main.strings"]


def test_more_short_circuit_current_than_the_input_takes_is_refused(plain):
    (fault,) = faults((plain.array(count=8, strings=2),), inverter(input_isc_max_a=20.0))
    assert fault.where == "array.main.strings"
    assert "28.5 A short-circuit" in fault.found


def test_a_bad_data_sheet_is_among_the_faults_and_names_its_array(plain):
    sheet = module_sheet("half-cut-430").model_copy(update={"pmax_w": 500.0})
    faulty = plain.array(name="shed", module=sheet)
    arrays = (faulty, plain.array(name="house", count=30))
    assert wheres(arrays, inverter()) == ["array.shed.datasheet.pmax_w", "array.house.count"]


def test_more_arrays_than_trackers_are_refused(plain):
    arrays = tuple(plain.array(name=name, count=6) for name in ("east", "south", "west"))
    (fault,) = faults(arrays, inverter(trackers=2))
    assert fault.where == "inverter"
    assert fault.found == "found 3 arrays on 2 tracker(s)"


@pytest.mark.parametrize("part", sorted(parts("modules")))
def test_eight_of_every_part_fit_every_inverter_with_nothing_to_note_about_amps(plain, part):
    array = plain.array(module=module_sheet(part), count=8)
    for name in parts("inverters"):
        assert faults((array,), inverter_sheet(name)) == ()
        notes = system_output(plain.air, (array,), plain.wiring(name)).notes
        assert not any("full sun" in note or "short-circuit" in note for note in notes)
