"""Whether each array fits the inverter's input: volts on a cold and a hot day, amps, trackers."""

import math
from collections.abc import Iterator

import numpy as np

from pvkit.electrical.datasheet import named_faults
from pvkit.electrical.inputs import ArrayInputs, OptimiserSheet, optimiser_sheet
from pvkit.electrical.power_table import maximum_power, power_table
from pvkit.errors import Fault, InputError
from pvkit.site.kit import InverterSheet, ModuleSheet
from pvkit.tables import constant


def design_faults(
    arrays: tuple[ArrayInputs, ...],
    inverter: InverterSheet,
    optimiser: OptimiserSheet | None = None,
) -> tuple[Fault, ...]:
    """Find what about the strings the inverter cannot take or cannot use.

    A module's contradictory data sheet is among the faults, so that all are shown at once.

    The cold check holds for optimisers as well: unless its maker says otherwise, an optimiser may
    pass on its module's whole open-circuit voltage. The hot check is for plain strings.

    Parameters
    ----------
    arrays : each on an input of its own
    inverter : data sheet
    optimiser : data sheet of the optimisers, where an array has them; None for the usual part

    Returns
    -------
    every fault, ``where`` as in ``array.south.count``; empty if the design fits

    Source
    ------
    Voltage by temperature coefficient as in BS EN 62548; the cold and the hot cell temperature
    stand in the constants table. The arrays' light is not read.
    """
    found = [fault for inputs in arrays for fault in _array_faults(inputs, inverter)]
    part = optimiser or optimiser_sheet()
    fitted = (inputs for inputs in arrays if inputs.optimisers)
    found += [fault for inputs in fitted for fault in _optimiser_faults(inputs, part)]
    return (*found, *_tracker_fault(arrays, inverter))


def cold_voc_v(module: ModuleSheet) -> float:
    """Give a module's open-circuit voltage at the cold design temperature [V]."""
    cold_k = constant("design.cold_cell_degc") - constant("stc.temp_cell_degc")
    return module.voc_v * (1 + module.beta_voc_per_k * cold_k)


def hot_vmp_v(module: ModuleSheet) -> float:
    """Give a module's voltage at maximum power in full sun at the hot design temperature [V]."""
    sun = np.array([constant("stc.irradiance_w_per_m2")])
    hot = np.array([constant("design.hot_cell_degc")])
    return float(maximum_power(power_table(module), sun, hot)[1][0])


def _array_faults(inputs: ArrayInputs, inverter: InverterSheet) -> Iterator[Fault]:
    if inputs.count % inputs.strings:
        yield Fault(
            f"array.{inputs.name}.strings",
            f"found {inputs.strings} strings for {inputs.count} modules",
            "strings of equal length",
            f"choose a number of strings that divides {inputs.count}, or change the count",
        )
    yield from _too_many_volts(inputs, inverter)
    yield from _too_many_amps(inputs, inverter)
    try:
        hot_v = hot_vmp_v(inputs.module)
    except InputError as error:
        yield from named_faults(inputs.name, error)
        return
    if not inputs.optimisers:
        yield from _too_few_volts(inputs, inverter, hot_v)


def _too_many_volts(inputs: ArrayInputs, inverter: InverterSheet) -> Iterator[Fault]:
    each_v, longest = cold_voc_v(inputs.module), math.ceil(inputs.in_series)
    if longest * each_v > inverter.dc_max_v:
        most = math.floor(inverter.dc_max_v / each_v)
        yield Fault(
            f"array.{inputs.name}.count",
            f"found {longest} modules in a string, {longest * each_v:.0f} V open-circuit at "
            f"{constant('design.cold_cell_degc'):g} degC",
            f"up to {inverter.dc_max_v:g} V, the inverter's dc_max_v: {most} such modules",
            f"put at most {most} in a string, or choose an inverter for more volts",
        )


def _too_few_volts(inputs: ArrayInputs, inverter: InverterSheet, each_v: float) -> Iterator[Fault]:
    shortest = math.floor(inputs.in_series)
    if shortest * each_v < inverter.mppt_min_v:
        least = math.ceil(inverter.mppt_min_v / each_v)
        yield Fault(
            f"array.{inputs.name}.count",
            f"found {shortest} modules in a string, only {shortest * each_v:.0f} V at work at "
            f"{constant('design.hot_cell_degc'):g} degC",
            f"{inverter.mppt_min_v:g} V or more, the inverter's mppt_min_v: {least} such modules",
            f"put at least {least} in a string, or choose an inverter that works at fewer volts",
        )


def _too_many_amps(inputs: ArrayInputs, inverter: InverterSheet) -> Iterator[Fault]:
    amps = inputs.strings * inputs.module.isc_a
    if amps > inverter.input_isc_max_a:
        yield Fault(
            f"array.{inputs.name}.strings",
            f"found {inputs.strings} in parallel, {amps:.1f} A short-circuit",
            f"up to {inverter.input_isc_max_a:g} A, the inverter's input_isc_max_a",
            "use fewer strings in parallel, or an inverter for more amps",
        )


def _optimiser_faults(inputs: ArrayInputs, optimiser: OptimiserSheet) -> Iterator[Fault]:
    where, module = f"array.{inputs.name}.optimisers", inputs.module
    cold_v, shortest = cold_voc_v(module), math.floor(inputs.in_series)
    if cold_v > optimiser.input_max_v:
        yield Fault(
            where,
            f"found modules of {cold_v:.1f} V open-circuit at "
            f"{constant('design.cold_cell_degc'):g} degC",
            f"up to {optimiser.input_max_v:g} V, the optimiser's input_max_v",
            "use plain strings, or modules of fewer volts",
        )
    if module.isc_a > optimiser.input_isc_max_a:
        yield Fault(
            where,
            f"found modules of {module.isc_a:g} A short-circuit",
            f"up to {optimiser.input_isc_max_a:g} A, the optimiser's input_isc_max_a",
            "use plain strings, or modules of fewer amps",
        )
    if shortest < optimiser.least_in_string:
        yield Fault(
            f"array.{inputs.name}.count",
            f"found {shortest} modules with optimisers in a string",
            f"{optimiser.least_in_string} or more, the optimiser's least_in_string",
            "put more in a string, or leave the optimisers out",
        )


def _tracker_fault(arrays: tuple[ArrayInputs, ...], inverter: InverterSheet) -> Iterator[Fault]:
    if len(arrays) > inverter.trackers:
        yield Fault(
            "inverter",
            f"found {len(arrays)} arrays on {inverter.trackers} tracker(s)",
            "one tracker for each array",
            "choose an inverter with more trackers, or join arrays that face the same way",
        )
