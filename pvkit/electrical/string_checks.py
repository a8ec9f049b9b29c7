"""Whether strings suit an inverter's window: equal lengths, volts on a cold and on a hot day."""

import math
from collections.abc import Iterator

from pvkit.electrical.datasheet import named_faults
from pvkit.electrical.finding import DATA_SHEET, Finding, judged, where_from
from pvkit.electrical.string_volts import (
    Strings,
    cold_vmp_v,
    cold_voc_v,
    flat_rule_voc_v,
    hot_vmp_v,
    longest,
    shortest,
)
from pvkit.errors import Fault, InputError
from pvkit.site.kit import InverterSheet
from pvkit.tables import constant
from pvkit.verdict import CheckRow


def string_findings(array: Strings, inverter: InverterSheet) -> Iterator[Finding]:
    """Look at the lengths and volts of one array's strings.

    Parameters
    ----------
    array : its strings; with optimisers the cold check holds as well, because unless its maker
        says otherwise an optimiser may pass on its module's whole open-circuit voltage
    inverter : data sheet

    Yields
    ------
    a row for each rule, with a fault where the strings cannot be used at all; for a data sheet
    that contradicts itself one row for each contradiction

    Source
    ------
    Voltage by temperature coefficient as in BS EN 62548; each limit's own source stands in its row.
    """
    yield _equal_strings(array)
    yield _cold_volts(array, inverter)
    yield _flat_rule(array, inverter)
    yield _building(array)
    try:
        hot_v, cold_v = hot_vmp_v(array.module), cold_vmp_v(array.module)
    except InputError as error:
        yield from _contradictions(array, error)
    else:
        yield _hot_volts(array, inverter, hot_v)
        yield _cold_working_volts(array, inverter, cold_v)


def _equal_strings(array: Strings) -> Finding:
    uneven = array.count % array.strings != 0
    fault = Fault(
        f"array.{array.name}.strings",
        f"found {array.strings} strings for {array.count} modules",
        "strings of equal length",
        f"choose a number of strings that divides {array.count}, or change the count",
    )
    plural = "s" if array.strings > 1 else ""
    row = CheckRow(
        "Strings of equal length",
        f"{array.count} modules in {array.strings} string{plural}",
        "the same number of modules in each",
        judged(not uneven),
        "strings on one input hold each other to one voltage (common practice, no source)",
    )
    return Finding(row, fault if uneven else None)


def _cold_volts(array: Strings, inverter: InverterSheet) -> Finding:
    each_v, modules = cold_voc_v(array.module), longest(array)
    string_v, most = modules * each_v, math.floor(inverter.dc_max_v / each_v)
    cold = f"{constant('design.cold_cell_degc'):g}"
    fits = string_v <= inverter.dc_max_v
    fault = Fault(
        f"array.{array.name}.count",
        f"found {modules} modules in a string, {string_v:.0f} V open-circuit at {cold} degC",
        f"up to {inverter.dc_max_v:g} V, the inverter's dc_max_v: {most} such modules",
        f"put at most {most} in a string, or choose an inverter for more volts",
    )
    row = CheckRow(
        "String's open-circuit volts, coldest morning",
        f"{string_v:.1f} V at {cold} °C ({modules} × {each_v:.1f} V)",
        f"up to {inverter.dc_max_v:g} V, the inverter's most{'' if fits else ': ' + fault.fix}",
        judged(fits),
        f"limit: {DATA_SHEET}; {where_from('design.cold_cell_degc')}",
    )
    return Finding(row, None if fits else fault)


def _flat_rule(array: Strings, inverter: InverterSheet) -> Finding:
    """Judge by the flat factor; where only it is broken, the sum by temperature may stand."""
    string_v, factor = longest(array) * flat_rule_voc_v(array.module), constant("design.voc_factor")
    by_temperature = longest(array) * cold_voc_v(array.module) <= inverter.dc_max_v
    verdict = judged(string_v <= inverter.dc_max_v, "ask" if by_temperature else "fail")
    doubt = "; the sum by temperature keeps it: the designer decides" if verdict == "ask" else ""
    return Finding(
        CheckRow(
            f"String's open-circuit volts, as rated × {factor:g}",
            f"{string_v:.1f} V",
            f"up to {inverter.dc_max_v:g} V, the inverter's most{doubt}",
            verdict,
            f"limit: {DATA_SHEET}; {where_from('design.voc_factor')}",
        )
    )


def _building(array: Strings) -> Finding:
    string_v, most_v = longest(array) * flat_rule_voc_v(array.module), constant("dc.building_max_v")
    row = CheckRow(
        "D.c. volts on a building",
        f"{string_v:.1f} V",
        f"up to {most_v:g} V",
        judged(string_v <= most_v),
        where_from("dc.building_max_v"),
    )
    return Finding(row)


def _contradictions(array: Strings, error: InputError) -> Iterator[Finding]:
    for fault in named_faults(array.name, error):
        row = CheckRow("Module's data sheet", fault.found, fault.allowed, "fail", DATA_SHEET)
        yield Finding(row, fault)


def _hot_volts(array: Strings, inverter: InverterSheet, each_v: float) -> Finding:
    """Keep the least working volts inside the window; optimisers may hold volts of their own."""
    low, high = shortest(array) * each_v, longest(array) * each_v
    inside = inverter.mppt_min_v <= low and high <= inverter.mppt_max_v
    too_many = high > inverter.mppt_max_v
    held = "; optimisers may hold other volts: ask their maker" if array.optimisers else ""
    modules, string_v = (longest(array), high) if too_many else (shortest(array), low)
    fault = (_too_many if too_many else _too_few)(array, inverter, each_v)
    row = CheckRow(
        "String's working volts, hottest day in full sun",
        f"{string_v:.1f} V at {constant('design.hot_cell_degc'):g} °C ({modules} × {each_v:.1f} V)",
        f"{inverter.mppt_min_v:g} to {inverter.mppt_max_v:g} V, where the inverter tracks"
        f"{'' if inside else ': ' + fault.fix}{held}",
        judged(inside, "ask" if array.optimisers else "fail"),
        f"limit: {DATA_SHEET}; {where_from('design.hot_cell_degc')}",
    )
    told = too_many and longest(array) * cold_voc_v(array.module) > inverter.dc_max_v
    return Finding(row, None if inside or array.optimisers or told else fault)


def _too_few(array: Strings, inverter: InverterSheet, each_v: float) -> Fault:
    modules, least = shortest(array), math.ceil(inverter.mppt_min_v / each_v)
    return Fault(
        f"array.{array.name}.count",
        f"found {modules} modules in a string, only {modules * each_v:.0f} V at work at "
        f"{constant('design.hot_cell_degc'):g} degC",
        f"{inverter.mppt_min_v:g} V or more, the inverter's mppt_min_v: {least} such modules",
        f"put at least {least} in a string, or choose an inverter that works at fewer volts",
    )


def _too_many(array: Strings, inverter: InverterSheet, each_v: float) -> Fault:
    modules, most = longest(array), math.floor(inverter.mppt_max_v / each_v)
    return Fault(
        f"array.{array.name}.count",
        f"found {modules} modules in a string, {modules * each_v:.0f} V at work even at "
        f"{constant('design.hot_cell_degc'):g} degC",
        f"up to {inverter.mppt_max_v:g} V, the inverter's mppt_max_v: {most} such modules",
        f"put at most {most} in a string, or choose an inverter that works at more volts",
    )


def _cold_working_volts(array: Strings, inverter: InverterSheet, each_v: float) -> Finding:
    """Above the window on a cold bright day power is cut off, but nothing breaks."""
    string_v = longest(array) * each_v
    fits = string_v <= inverter.mppt_max_v
    cut = "" if fits else "; above it power is cut off: ask its maker how much"
    row = CheckRow(
        "String's working volts, cold bright day",
        f"{string_v:.1f} V at {constant('design.cold_cell_degc'):g} °C",
        f"up to {inverter.mppt_max_v:g} V, the most the inverter tracks at{cut}",
        judged(fits, "ask"),
        f"limit: {DATA_SHEET}; {where_from('design.cold_cell_degc')}",
    )
    return Finding(row)
