"""Whether modules suit their optimisers, and how many of those make a string."""

from collections.abc import Iterator

from pvkit.electrical.finding import Finding, judged, where_from
from pvkit.electrical.inputs import OptimiserSheet
from pvkit.electrical.string_volts import Strings, cold_voc_v, longest, shortest
from pvkit.errors import Fault
from pvkit.tables import constant
from pvkit.verdict import CheckRow

SHEET = "the optimiser's data sheet in the parts list (assumption)"


def optimiser_findings(array: Strings, optimiser: OptimiserSheet) -> Iterator[Finding]:
    """Look at one array's modules against the inputs of the optimisers on them.

    Parameters
    ----------
    array : an array with optimisers
    optimiser : data sheet of the one on each module
    """
    yield _volts(array, optimiser)
    yield _amps(array, optimiser)
    yield Finding(_watts(array, optimiser))
    yield _in_string(array, optimiser)


def _volts(array: Strings, optimiser: OptimiserSheet) -> Finding:
    cold_v, cold = cold_voc_v(array.module), f"{constant('design.cold_cell_degc'):g}"
    fits = cold_v <= optimiser.input_max_v
    fault = Fault(
        f"array.{array.name}.optimisers",
        f"found modules of {cold_v:.1f} V open-circuit at {cold} degC",
        f"up to {optimiser.input_max_v:g} V, the optimiser's input_max_v",
        "use plain strings, or modules of fewer volts",
    )
    row = CheckRow(
        "Module's open-circuit volts at its optimiser",
        f"{cold_v:.1f} V at {cold} °C",
        f"up to {optimiser.input_max_v:g} V, the optimiser's most",
        judged(fits),
        f"limit: {SHEET}; {where_from('design.cold_cell_degc')}",
    )
    return Finding(row, None if fits else fault)


def _amps(array: Strings, optimiser: OptimiserSheet) -> Finding:
    amps = array.module.isc_a
    fits = amps <= optimiser.input_isc_max_a
    fault = Fault(
        f"array.{array.name}.optimisers",
        f"found modules of {amps:g} A short-circuit",
        f"up to {optimiser.input_isc_max_a:g} A, the optimiser's input_isc_max_a",
        "use plain strings, or modules of fewer amps",
    )
    row = CheckRow(
        "Module's short-circuit current at its optimiser",
        f"{amps:g} A as rated",
        f"up to {optimiser.input_isc_max_a:g} A of rated short-circuit current",
        judged(fits),
        f"limit: {SHEET}",
    )
    return Finding(row, None if fits else fault)


def _watts(array: Strings, optimiser: OptimiserSheet) -> CheckRow:
    fits = array.module.pmax_w <= optimiser.max_w
    cut = "" if fits else "; it cuts off what is beyond: ask its maker whether it may"
    return CheckRow(
        "Module's watts at its optimiser",
        f"{array.module.pmax_w:g} W as rated",
        f"up to {optimiser.max_w:g} W{cut}",
        judged(fits, "ask"),
        f"limit: {SHEET}",
    )


def _in_string(array: Strings, optimiser: OptimiserSheet) -> Finding:
    least, most = optimiser.least_in_string, optimiser.most_in_string
    few, many = shortest(array), longest(array)
    where = f"array.{array.name}.count"
    too_few = Fault(
        where,
        f"found {few} modules with optimisers in a string",
        f"{least} or more, the optimiser's least_in_string",
        "put more in a string, or leave the optimisers out",
    )
    too_many = Fault(
        where,
        f"found {many} modules with optimisers in a string",
        f"up to {most}, the optimiser's most_in_string",
        "make more strings, or leave the optimisers out",
    )
    fault = too_few if few < least else too_many if many > most else None
    row = CheckRow(
        "Optimisers in a string",
        f"{few}" if few == many else f"{few} to {many}",
        f"{least} to {most}{f': {fault.fix}' if fault else ''}",
        judged(fault is None),
        f"limits: {SHEET}",
    )
    return Finding(row, fault)
