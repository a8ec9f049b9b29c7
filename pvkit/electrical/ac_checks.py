"""The inverter's own circuit: volts between inverter and meter, amps, breaker, phases."""

from collections.abc import Iterator

from pvkit.electrical.cables import ac_design_ohm, cable_kind
from pvkit.electrical.finding import COPPER, DATA_SHEET, judged, line_source, where_from
from pvkit.site.kit import Cables, InverterSheet
from pvkit.site.supply import Supply
from pvkit.tables import constant, numbers, rows, source_of
from pvkit.verdict import CheckRow

AMPS_TABLE = "bs7671_clipped_amps.csv"
KINDS_SOURCE = "how warm the cable may be: BS 7671 Appendix 4 (from memory)"


def ac_rows(inverter: InverterSheet, cables: Cables, supply: Supply) -> Iterator[CheckRow]:
    """Look at the a.c. circuit from the inverter to the meter.

    Parameters
    ----------
    inverter : its rating and phases
    cables : the a.c. run
    supply : its phases
    """
    yield _phases(inverter, supply)
    yield _volts(inverter, cables)
    yield _breaker(inverter, cables)
    yield _amps(inverter, cables)


def ac_amps(inverter: InverterSheet) -> float:
    """Give the inverter's rated current on each of its phases [A].

    Examples
    --------
    >>> from pvkit.site.parts import inverter_sheet
    >>> ac_amps(inverter_sheet("single-phase-3680"))
    16.0
    """
    return inverter.ac_w / (constant("grid.nominal_v") * inverter.phases)


def ac_rise_v(inverter: InverterSheet, cables: Cables) -> float:
    """Give how far the inverter's volts stand above the meter's at its rating [V].

    Source
    ------
    Ohm's law with the resistances of BS EN 60228 at the cable's highest working temperature.
    """
    return ac_amps(inverter) * ac_design_ohm(cables, inverter.phases)


def breaker_a(inverter: InverterSheet, cables: Cables) -> float | None:
    """Give the circuit's breaker [A]: the site's own, else the smallest usual one; None if none."""
    if cables.ac_breaker_a is not None:
        return cables.ac_breaker_a
    usual = numbers("limits.toml")["breaker.sizes_a"].value
    return next((float(size) for size in usual if size >= ac_amps(inverter)), None)


def clipped_a(cables: Cables) -> float | None:
    """Give what the a.c. cable carries clipped direct [A]; None where no table is at hand."""
    key = (cables.ac_cable, cables.ac_mm2)
    known = {(row["cable"], float(row["mm2"])): float(row["amps"]) for row in rows(AMPS_TABLE)}
    return known.get(key)


def _phases(inverter: InverterSheet, supply: Supply) -> CheckRow:
    rule = next(row for row in rows("network_rules.csv") if row["id"] == "phases")
    return CheckRow(
        "Phases of the inverter",
        f"{inverter.phases}",
        f"up to {supply.phases}, the supply's",
        judged(inverter.phases <= supply.phases),
        line_source(rule),
    )


def _volts(inverter: InverterSheet, cables: Cables) -> CheckRow:
    rise_v, limit = ac_rise_v(inverter, cables), constant("ac.rise_limit_fraction")
    share, nominal_v = rise_v / constant("grid.nominal_v"), constant("grid.nominal_v")
    return CheckRow(
        "Volts between inverter and meter",
        f"{rise_v:.2f} V, {100 * share:.2f} % ({cables.ac_length_m:g} m of {cables.ac_mm2:g} mm² "
        f"at {ac_amps(inverter):.1f} A)",
        f"up to {100 * limit:g} % ({limit * nominal_v:.1f} V)"
        f"{'' if share <= limit else ': use thicker cable or a shorter run'}",
        judged(share <= limit),
        f"{where_from('ac.rise_limit_fraction')}; {COPPER}; {KINDS_SOURCE}",
    )


def _breaker(inverter: InverterSheet, cables: Cables) -> CheckRow:
    amps, breaker = ac_amps(inverter), breaker_a(inverter, cables)
    given = cables.ac_breaker_a is not None
    size = (
        "no usual size"
        if breaker is None
        else f"{breaker:g} A{'' if given else ', the smallest that fits'}"
    )
    return CheckRow(
        "Breaker of the inverter's circuit",
        size,
        f"{amps:.1f} A or more, the inverter's rated current",
        judged(breaker is not None and breaker >= amps),
        f"limit: {DATA_SHEET}; {where_from('breaker.sizes_a')}",
    )


def _amps(inverter: InverterSheet, cables: Cables) -> CheckRow:
    """Hold the breaker against the cable: as laid it may carry less than when clipped."""
    breaker, carries = breaker_a(inverter, cables), clipped_a(cables)
    needed_a = ac_amps(inverter) if breaker is None else max(breaker, ac_amps(inverter))
    about = f"{cables.ac_mm2:g} mm² {cable_kind(cables)['about']}, clipped direct"
    limit = (
        f"no rating at hand for {about}" if carries is None else f"up to {carries:g} A ({about})"
    )
    return CheckRow(
        "Amps in the a.c. cable, by its breaker",
        f"{needed_a:g} A",
        limit,
        "ask" if carries is None else judged(needed_a <= carries),
        source_of(AMPS_TABLE),
    )
