"""D.c. cables and fuses: volts lost on the way, amps they can carry, whether strings need fuses."""

import math
from collections.abc import Iterator

from pvkit.electrical.cables import dc_design_ohm
from pvkit.electrical.finding import COPPER, DATA_SHEET, judged, where_from
from pvkit.electrical.string_volts import Strings, shortest
from pvkit.site.kit import Cables, ModuleSheet
from pvkit.tables import constant, numbers, rows, source_of
from pvkit.verdict import CheckRow

AMPS_TABLE = "en50618_pv_cable_amps.csv"


def dc_cable_rows(array: Strings, cables: Cables) -> Iterator[CheckRow]:
    """Look at the cable and fuses of each of an array's strings.

    Parameters
    ----------
    array : its strings
    cables : the d.c. run is that of each string
    """
    yield _volt_drop(array, cables)
    yield _amps(array, cables)
    yield _fuse_need(array, cables)
    if cables.string_fuse_a is not None:
        yield _fuse_size(array.module, cables.string_fuse_a)


def dc_drop_fraction(array: Strings, cables: Cables) -> float:
    """Give the share of a string's rated volts lost in its cable, copper hot.

    Source
    ------
    Ohm's law with the resistances of BS EN 60228, class 5 tinned, at ``cables.dc_design_degc``.
    """
    string_v = shortest(array) * array.module.vmp_v
    return array.module.imp_a * dc_design_ohm(cables) / string_v if string_v > 0 else math.inf


def back_feed_a(array: Strings) -> float:
    """Give the current that the other strings can push into a faulty one [A]."""
    return (array.strings - 1) * array.module.isc_a * constant("design.isc_factor")


def needs_fuses(array: Strings) -> bool:
    """Whether the other strings can push more into a faulty one than its modules stand."""
    return back_feed_a(array) > series_fuse_a(array.module)


def series_fuse_a(module: ModuleSheet) -> float:
    """Give a module's largest series fuse [A], the usual one where its data sheet has none."""
    return module.series_fuse_a or constant("module.series_fuse_a")


def fuse_sizes_a(module: ModuleSheet) -> tuple[float, ...]:
    """Give the usual fuse ratings that suit strings of a module [A].

    Examples
    --------
    >>> from pvkit.site.parts import module_sheet
    >>> fuse_sizes_a(module_sheet("half-cut-430"))
    (25.0,)
    """
    usual = numbers("limits.toml")["fuse.sizes_a"].value
    return tuple(size for size in usual if _suits(size, module))


def pv_cable_a(mm2: float) -> float:
    """Give what a PV cable carries on a hot roof [A]; 0 for a size that is not made."""
    amps = {float(row["mm2"]): float(row["amps"]) for row in rows(AMPS_TABLE)}
    return amps.get(mm2, 0.0) * constant("cables.roof_factor")


def _volt_drop(array: Strings, cables: Cables) -> CheckRow:
    share = dc_drop_fraction(array, cables)
    limit, aim = constant("dc.drop_limit_fraction"), constant("dc.drop_aim_fraction")
    over = ", above the aim" if aim < share <= limit else ""
    return CheckRow(
        "Volts lost in the d.c. cable",
        f"{100 * share:.2f} % ({cables.dc_length_m:g} m of {cables.dc_mm2:g} mm²){over}",
        f"up to {100 * limit:g} %; aim for {100 * aim:g} %",
        judged(share <= limit),
        f"{where_from('dc.drop_limit_fraction', 'dc.drop_aim_fraction')}; {COPPER}; "
        f"{where_from('cables.dc_design_degc')}",
    )


def _amps(array: Strings, cables: Cables) -> CheckRow:
    """Without fuses a faulty string's cable may carry what all the others push into it."""
    own_a = array.module.isc_a * constant("design.isc_factor")
    needed_a = cables.string_fuse_a or max(own_a, back_feed_a(array))
    carries_a = pv_cable_a(cables.dc_mm2)
    return CheckRow(
        "Amps in the d.c. cable",
        f"{needed_a:.1f} A",
        f"up to {carries_a:.1f} A ({cables.dc_mm2:g} mm² on a hot roof, not grouped)",
        judged(needed_a <= carries_a),
        f"{source_of(AMPS_TABLE)}; {where_from('cables.roof_factor', 'design.isc_factor')}",
    )


def _fuse_need(array: Strings, cables: Cables) -> CheckRow:
    feed_a, most_a, needed = back_feed_a(array), series_fuse_a(array.module), needs_fuses(array)
    fitted = cables.string_fuse_a is not None
    sizes = " or ".join(f"{size:g}" for size in fuse_sizes_a(array.module)) or "no usual size fits"
    need = f"fuses needed in both poles of each string: {sizes} A" if needed else "no fuses needed"
    beside = f"{array.strings} in parallel" if array.strings > 1 else "one string alone"
    return CheckRow(
        "Current the other strings can push back into one",
        f"{feed_a:.1f} A with {beside}: {need}"
        f"{f'; {cables.string_fuse_a:g} A fitted' if fitted else ''}",
        f"up to {most_a:g} A without fuses, the module's largest series fuse",
        judged(not needed or fitted),
        f"(N - 1) × 1.25 Isc (from memory); limit: {DATA_SHEET}",
    )


def _fuse_size(module: ModuleSheet, fuse_a: float) -> CheckRow:
    low, high = (constant(f"fuse.{end}_factor") * module.isc_a for end in ("low", "high"))
    most = min(high, series_fuse_a(module))
    return CheckRow(
        "Rating of the string fuses",
        f"{fuse_a:g} A",
        f"above {low:.1f} A, up to {most:.1f} A, gPV, for the string's whole volts",
        judged(_suits(fuse_a, module)),
        where_from("fuse.low_factor"),
    )


def _suits(fuse_a: float, module: ModuleSheet) -> bool:
    low, high = (constant(f"fuse.{end}_factor") * module.isc_a for end in ("low", "high"))
    return low < fuse_a <= min(high, series_fuse_a(module))
