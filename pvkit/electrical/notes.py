"""Sentences for the user about a system that works but deserves a second look."""

from collections.abc import Iterator, Sequence

from pvkit.electrical.inputs import ArrayInputs, Wiring
from pvkit.electrical.module import desoto, power_coefficient
from pvkit.electrical.stack import Step
from pvkit.site.kit import InverterSheet
from pvkit.tables import constant


def system_notes(
    arrays: Sequence[ArrayInputs], wiring: Wiring, stack: Sequence[Step]
) -> tuple[str, ...]:
    """Say what about modules, optimisers and inverter is unusual.

    Parameters
    ----------
    arrays, wiring : the system
    stack : its loss stack, for what the inverter's limit costs
    """
    each = (note for inputs in arrays for note in _array_notes(inputs, wiring))
    return (*each, *_inverter_notes(arrays, wiring, stack))


def _array_notes(inputs: ArrayInputs, wiring: Wiring) -> Iterator[str]:
    module = desoto(inputs.module)
    if module.residual > constant("module.misfit_note_fraction"):
        yield (
            f"Array {inputs.name}: the data sheet's volts and amps lie {module.residual:.1%} off "
            "any one module's curve; the estimate uses the nearest."
        )
    given, fitted = inputs.module.gamma_pmax_per_k, power_coefficient(module)
    if abs(given - fitted) > constant("module.gamma_note_per_k"):
        yield (
            f"Array {inputs.name}: the data sheet says {given:.2%} of power per kelvin, its other "
            f"numbers make it {fitted:.2%}; the estimate uses the latter."
        )
    if inputs.optimisers and inputs.module.pmax_w > wiring.optimiser.max_w:
        yield (
            f"Array {inputs.name}: its {inputs.module.pmax_w:g} W modules are above the "
            f"{wiring.optimiser.max_w:g} W of the optimisers, which cut off what is beyond."
        )
    yield from _current_notes(inputs, wiring.inverter)


def _current_notes(inputs: ArrayInputs, inverter: InverterSheet) -> Iterator[str]:
    amps = inputs.module.imp_a * inputs.strings
    if amps > inverter.input_max_a:
        yield (
            f"Array {inputs.name}: its strings give {amps:.1f} A in full sun, the inverter's input "
            f"takes {inverter.input_max_a:g} A; what it cuts off is not counted."
        )
    rated_a = inputs.module.isc_a * inputs.strings * constant("design.isc_factor")
    if rated_a > inverter.input_isc_max_a:
        yield (
            f"Array {inputs.name}: with the usual margin its short-circuit current is "
            f"{rated_a:.1f} A, the inverter's input is made for {inverter.input_isc_max_a:g} A; "
            "ask the inverter's maker."
        )


def _inverter_notes(
    arrays: Sequence[ArrayInputs], wiring: Wiring, stack: Sequence[Step]
) -> Iterator[str]:
    kwp = sum(inputs.kwp for inputs in arrays)
    rated_kw = wiring.inverter.ac_w / 1000.0
    low, high = constant("inverter.ratio_low"), constant("inverter.ratio_high")
    sizes = f"The inverter ({rated_kw:g} kW) is {{}} against {kwp:.2f} kWp of modules"
    if rated_kw < low * kwp:
        limit = next(step for step in stack if step.id == "inverter_limit")
        cut = abs(limit.percent_of_previous)
        share = f"{cut:.1f} %" if cut >= 0.05 else "next to nothing"
        yield f"{sizes.format('small')}: its limit cuts off {share} of the year's energy."
    elif rated_kw > high * kwp:
        yield f"{sizes.format('large')}: it works at low load, where it converts less well."
