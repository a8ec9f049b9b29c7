"""Volts with everything exporting, and the way to the network operator."""

import pytest

from pvkit.electrical.network import declared_w, network_route, network_rows
from pvkit.electrical.supply_checks import supply_rise_v, supply_rows
from pvkit.site.kit import Cables
from pvkit.site.parts import inverter_sheet
from pvkit.site.supply import Supply

CABLES = {"ac_mm2": 2.5, "ac_length_m": 10.0}


def inverter(**changes):
    return inverter_sheet("single-phase-3680").model_copy(update=changes)


def volts_row(where, sheet=None, **supply):
    rows = supply_rows(sheet or inverter(), Cables(**CABLES), Supply(**supply))
    (found,) = [r for r in rows if f"at the {where}, all exporting" in r.what]
    return found


def route_row(sheet=None, modules_w=4000.0, **supply):
    rows = network_rows(sheet or inverter(), modules_w, Supply(**supply))
    (found,) = [r for r in rows if r.what == "Network route"]
    return found


def test_volts_are_those_worked_by_hand():
    """3,680 W at 230 V is 16 A. Loop of 0.25 ohm: 16 x 0.25 = 4.00 V up to the meter.

    10 m of 2.5 mm2 twin and earth, BS EN 60228 class 1 and 2: 7.41 ohm/km at 20 degC, at 70 degC
    x (1 + 0.00393 x 50) = 1.1965, so 8.866 ohm/km; out and back 0.020 km x 8.866 = 0.1773 ohm;
    16 x 0.1773 = 2.84 V. From 245.0 V: 249.0 V at the meter, 251.8 V at the inverter.
    """
    supply = {"measured_v": 245.0, "loop_ohm": 0.25}
    assert volts_row("meter", **supply).value.startswith("249.0 V: 245 + 4.0 V")
    assert volts_row("inverter", **supply).value.startswith("251.8 V: 245 + 6.8 V")


# 253.0 V is the law's most at the meter (Electricity Safety, Quality and Continuity Regulations);
# the rise is 4.0 V to the meter and 6.84 V to the inverter, which trips at 262.2 V.
@pytest.mark.parametrize(
    ("where", "measured_v", "verdict"),
    [
        ("meter", 248.9, "pass"),
        ("meter", 249.1, "fail"),
        ("inverter", 255.3, "pass"),
        ("inverter", 255.4, "fail"),
    ],
)
def test_volts_are_held_against_the_law_and_the_trip(where, measured_v, verdict):
    assert volts_row(where, measured_v=measured_v, loop_ohm=0.25).verdict == verdict


# Trade notes, from memory: 16 A over 0.25 to 0.35 ohm lifts the volts by 4 to 6 V, and a supply
# at 253 to 255 V can then reach the 262.2 V trip.
def test_a_supply_at_255_volts_reaches_the_trip_at_noon():
    assert supply_rise_v(inverter(), Supply(loop_ohm=0.25)) == pytest.approx(4.0)
    assert supply_rise_v(inverter(), Supply(loop_ohm=0.35)) == pytest.approx(5.6)
    assert volts_row("inverter", measured_v=255.0, loop_ohm=0.35).verdict == "fail"
    assert volts_row("inverter", measured_v=245.0, loop_ohm=0.35).verdict == "pass"


def test_a_supply_that_nobody_read_is_asked_about_with_the_volts_it_may_have():
    found = volts_row("meter", loop_ohm=0.25)
    assert found.verdict == "ask"
    assert found.value.endswith("holds while the supply reads up to 249.0 V")
    assert "not measured" not in found.value
    assert "not measured" in volts_row("meter").value


def test_a_loop_too_long_even_for_230_volts_fails_unread():
    assert volts_row("meter", loop_ohm=1.5).verdict == "fail"


@pytest.mark.parametrize(
    ("volts", "verdict"),
    [(None, "ask"), (216.1, "fail"), (216.2, "pass"), (253.0, "pass"), (253.1, "fail")],
)
def test_the_supply_itself_lies_in_the_legal_band(volts, verdict):
    first = next(iter(supply_rows(inverter(), Cables(), Supply(measured_v=volts))))
    assert first.verdict == verdict


def test_other_generation_and_storage_lift_the_volts_and_a_limit_holds_them_down():
    alone = supply_rise_v(inverter(), Supply(loop_ohm=0.25))
    more = Supply(loop_ohm=0.25, other_generation_w=2300.0, battery_inverter_w=1380.0)
    assert supply_rise_v(inverter(), more) == pytest.approx(2 * alone)
    held = more.model_copy(update={"export_limit_kw": 3.68})
    assert supply_rise_v(inverter(), held) == pytest.approx(alone)


# EREC G98: up to 16 A a phase, 3.68 kW on one phase and 11.04 kW on three, all inverters together.
@pytest.mark.parametrize(
    ("ac_w", "phases", "verdict"),
    [(3680.0, 1, "pass"), (3681.0, 1, "ask"), (11040.0, 3, "pass"), (11041.0, 3, "ask")],
)
def test_up_to_sixteen_amps_a_phase_are_notified_and_more_is_asked_for(ac_w, phases, verdict):
    sheet = inverter(ac_w=ac_w, phases=phases)
    found = route_row(sheet, modules_w=20000.0, phases=phases)
    assert found.verdict == verdict
    ask = "ask the network operator's consent before installing"
    notify = "notify the network operator within 28 days"
    assert (notify if verdict == "pass" else ask) in found.value


@pytest.mark.parametrize("other", ["other_generation_w", "battery_inverter_w"])
def test_other_inverters_and_storage_are_counted(other):
    sheet = inverter(ac_w=2500.0)
    assert route_row(sheet, **{other: 1180.0}).verdict == "pass"
    found = route_row(sheet, **{other: 1181.0})
    assert found.verdict == "ask"
    assert "1.181 kW" in found.value


# A network operator's written reply (secondary copy): 7 x 235 W = 1,645 W, x 0.92 = 1,513 W, and
# an inverter of 1,200 W: declare 1,200 W.
def test_the_rating_to_declare_is_the_smaller_one():
    sheet = inverter(ac_w=1200.0, efficiency_100=0.92)
    assert declared_w(sheet, 7 * 235.0) == 1200.0
    assert declared_w(inverter(ac_w=2000.0, efficiency_100=0.92), 7 * 235.0) == pytest.approx(
        1513.4
    )


def test_a_large_inverter_on_few_modules_still_asks_and_says_what_could_be_declared():
    sheet = inverter(ac_w=5000.0)
    route = network_route(sheet, 3000.0, Supply())
    assert route.ask_first
    assert route.declared_a < 16
    assert "unless it takes the rating to declare (12.6 A)" in route_row(sheet, 3000.0).value


def test_an_export_limit_is_a_row_to_ask_about_and_no_way_round_consent():
    supply = Supply(battery_inverter_w=3680.0, export_limit_kw=3.68)
    rows = {row.what: row for row in network_rows(inverter(), 4000.0, supply)}
    assert rows["Export limit"].verdict == "ask"
    assert rows["Network route"].verdict == "ask"
    assert "shorter way" in rows["Network route"].value
