"""Volts at the meter and at the inverter with everything exporting, against law and trip."""

from collections.abc import Iterator

from pvkit.electrical.ac_checks import ac_amps, ac_rise_v
from pvkit.electrical.cables import return_share
from pvkit.electrical.finding import COPPER, judged, where_from
from pvkit.electrical.protection import PROTECTION, over_voltage_v
from pvkit.site.kit import Cables, InverterSheet
from pvkit.site.supply import Supply
from pvkit.tables import constant, source_of
from pvkit.verdict import CheckRow, Verdict


def supply_rows(inverter: InverterSheet, cables: Cables, supply: Supply) -> Iterator[CheckRow]:
    """Look at the volts when the system, and all else on the supply, exports in full.

    Parameters
    ----------
    inverter, cables : the inverter's circuit
    supply : loop impedance, volts read at the meter, other inverters, export limit
    """
    yield _measured(supply)
    at_meter_v = supply_rise_v(inverter, supply)
    highest_v, trip_v = constant("supply.highest_v"), over_voltage_v()
    yield CheckRow(
        "Volts at the meter, all exporting",
        _lifted(supply, at_meter_v, highest_v),
        f"up to {highest_v:.1f} V, the law's most; beyond it ask the network operator",
        _lifted_verdict(supply, at_meter_v, highest_v),
        where_from("supply.highest_v", "supply.loop_ohm"),
    )
    at_inverter_v = at_meter_v + ac_rise_v(inverter, cables)
    yield CheckRow(
        "Volts at the inverter, all exporting",
        _lifted(supply, at_inverter_v, trip_v),
        f"up to {trip_v:.1f} V, where it trips",
        _lifted_verdict(supply, at_inverter_v, trip_v),
        f"{source_of(PROTECTION)}; {COPPER}",
    )


def supply_rise_v(inverter: InverterSheet, supply: Supply) -> float:
    """Give how far full export lifts the volts at the meter [V].

    Other generation and a battery's inverter are taken on the same phase, the house as using
    nothing: the worst case. An export limit holds the whole down.

    Source
    ------
    Ohm's law over the supply's loop; on three equal phases the neutral carries nothing.
    """
    nominal_v = constant("grid.nominal_v")
    others_w = supply.other_generation_w + supply.battery_inverter_w
    rise_v = supply.loop_ohm * (
        ac_amps(inverter) * return_share(inverter.phases) + others_w / nominal_v
    )
    total_w = inverter.ac_w + others_w
    if supply.export_limit_kw is None or supply.export_limit_kw * 1000.0 >= total_w:
        return rise_v
    return rise_v * supply.export_limit_kw * 1000.0 / total_w


def _lifted(supply: Supply, rise_v: float, limit_v: float) -> str:
    """Say what the volts come to, or how high the supply may read where nobody has read it."""
    known = "loop_ohm" in supply.model_fields_set
    loop = f"loop {supply.loop_ohm:g} ohm{'' if known else ', not measured'}"
    if supply.measured_v is None:
        highest_v = limit_v - rise_v
        return f"+{rise_v:.1f} V ({loop}): holds while the supply reads up to {highest_v:.1f} V"
    return f"{supply.measured_v + rise_v:.1f} V: {supply.measured_v:g} + {rise_v:.1f} V ({loop})"


def _lifted_verdict(supply: Supply, rise_v: float, limit_v: float) -> Verdict:
    """Judge by the volts read; without them only what fails from 230 V up is sure."""
    if supply.measured_v is None:
        return "fail" if constant("grid.nominal_v") + rise_v > limit_v else "ask"
    return judged(supply.measured_v + rise_v <= limit_v)


def _measured(supply: Supply) -> CheckRow:
    low, high = constant("supply.lowest_v"), constant("supply.highest_v")
    volts = supply.measured_v
    return CheckRow(
        "Volts of the supply as read at the meter",
        "not read" if volts is None else f"{volts:.1f} V",
        f"{low:.1f} to {high:.1f} V; outside it tell the network operator; read it at noon",
        "ask" if volts is None else judged(low <= volts <= high),
        where_from("supply.highest_v", "supply.lowest_v"),
    )
