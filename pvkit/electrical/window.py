"""What keeps an estimate from being made: strings that the inverter cannot take or cannot use."""

from collections.abc import Iterator, Sequence

from pvkit.electrical.finding import Finding
from pvkit.electrical.input_checks import input_findings, trackers_finding
from pvkit.electrical.inputs import OptimiserSheet
from pvkit.electrical.optimiser_checks import optimiser_findings
from pvkit.electrical.string_checks import string_findings
from pvkit.electrical.string_volts import Strings
from pvkit.errors import Fault
from pvkit.site.kit import InverterSheet


def design_faults(
    arrays: Sequence[Strings], inverter: InverterSheet, optimiser: OptimiserSheet
) -> tuple[Fault, ...]:
    """Find what about the strings the inverter cannot take or cannot use.

    A module's contradictory data sheet is among the faults, so that all are shown at once.

    Parameters
    ----------
    arrays : each on an input of its own; their light is not read
    inverter : data sheet
    optimiser : data sheet of the optimisers, for arrays that have them

    Returns
    -------
    every fault, ``where`` as in ``array.south.count``; empty if the design fits
    """
    found = [f for array in arrays for f in array_findings(array, inverter, optimiser)]
    found.append(trackers_finding(len(arrays), inverter))
    return tuple(finding.fault for finding in found if finding.fault is not None)


def array_findings(
    array: Strings, inverter: InverterSheet, optimiser: OptimiserSheet
) -> Iterator[Finding]:
    """Look at one array's strings, amps and optimisers: rows for the sheet, faults to stop at."""
    yield from string_findings(array, inverter)
    yield from input_findings(array, inverter)
    if array.optimisers:
        yield from optimiser_findings(array, optimiser)
