"""Whether an inverter suits its arrays: amps at each input, trackers, and its size."""

from collections.abc import Iterator

from pvkit.electrical.finding import DATA_SHEET, Finding, judged, where_from
from pvkit.electrical.string_volts import Strings
from pvkit.errors import Fault
from pvkit.site.kit import InverterSheet
from pvkit.tables import constant
from pvkit.verdict import CheckRow


def input_findings(array: Strings, inverter: InverterSheet) -> Iterator[Finding]:
    """Look at one array's amps against one input of the inverter.

    Parameters
    ----------
    array : its strings
    inverter : data sheet
    """
    yield _short_circuit(array, inverter)
    yield _operating_current(array, inverter)


def _short_circuit(array: Strings, inverter: InverterSheet) -> Finding:
    amps, factor = array.strings * array.module.isc_a, constant("design.isc_factor")
    fault = Fault(
        f"array.{array.name}.strings",
        f"found {array.strings} in parallel, {amps:.1f} A short-circuit",
        f"up to {inverter.input_isc_max_a:g} A, the inverter's input_isc_max_a",
        "use fewer strings in parallel, or an inverter for more amps",
    )
    row = CheckRow(
        f"Short-circuit current × {factor:g} at the input",
        f"{amps * factor:.1f} A ({array.strings} × {array.module.isc_a:g} A × {factor:g})",
        f"up to {inverter.input_isc_max_a:g} A, the inverter's most",
        judged(amps * factor <= inverter.input_isc_max_a),
        f"limit: {DATA_SHEET}; {where_from('design.isc_factor')}",
    )
    return Finding(row, fault if amps > inverter.input_isc_max_a else None)


def _operating_current(array: Strings, inverter: InverterSheet) -> Finding:
    """Ask where amps are held back, which is allowed if the short-circuit limit is kept."""
    amps = array.strings * array.module.imp_a
    fits = amps <= inverter.input_max_a
    held = "" if fits else "; above it the inverter holds back power: ask its maker whether it may"
    row = CheckRow(
        "Operating current at the input",
        f"{amps:.1f} A",
        f"up to {inverter.input_max_a:g} A{held}",
        judged(fits, "ask"),
        f"limit: {DATA_SHEET}; holding back is allowed where the short-circuit limit is kept "
        "(from memory)",
    )
    return Finding(row)


def ratio_row(kwp: float, inverter: InverterSheet) -> CheckRow:
    """Set the inverter's rating beside that of the modules.

    Parameters
    ----------
    kwp : of all modules
    inverter : data sheet
    """
    low, high = constant("inverter.ratio_low"), constant("inverter.ratio_high")
    ratio = inverter.ac_w / 1000.0 / kwp
    usual = low <= ratio <= high
    doubt = "" if usual else "; outside it ask the inverter's maker for its d.c. limit"
    return CheckRow(
        "Inverter's rating over the modules' rating",
        f"{ratio:.2f} ({inverter.ac_w / 1000.0:g} kW over {kwp:.2f} kWp)",
        f"{low:g} to {high:g} is usual{doubt}",
        judged(usual, "ask"),
        where_from("inverter.ratio_low"),
    )


def trackers_finding(arrays: int, inverter: InverterSheet) -> Finding:
    """Count arrays against the inverter's trackers."""
    fits = arrays <= inverter.trackers
    fault = Fault(
        "inverter",
        f"found {arrays} arrays on {inverter.trackers} tracker(s)",
        "one tracker for each array",
        "choose an inverter with more trackers, or join arrays that face the same way",
    )
    row = CheckRow(
        "A tracker for each array",
        f"{_counted(arrays, 'array')} on {_counted(inverter.trackers, 'tracker')}",
        "one tracker for each array",
        judged(fits),
        f"limit: {DATA_SHEET}",
    )
    return Finding(row, None if fits else fault)


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
