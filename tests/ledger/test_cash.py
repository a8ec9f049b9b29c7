from dataclasses import fields, is_dataclass

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvkit.home.calendar import local_calendar
from pvkit.home.demand import demand_year
from pvkit.home.flows import life_flows, year_flows
from pvkit.home.household import Household
from pvkit.home.water import water_year
from pvkit.ledger.cash import ageing, cash_flow
from pvkit.ledger.deal import Deal
from pvkit.ledger.outlay import outlay, running_costs
from pvkit.site.household import Home, HotWater
from pvkit.site.money import CostItem, Costs, Finance, Replacement
from pvkit.site.tariff import Band, Tariff
from pvkit.tables import default

CALENDAR = local_calendar()
WATER = water_year(HotWater(diverter=True), occupants=2.4)
NIGHT = Band(name="night", start="23:30", end="05:30", gbp_per_kwh=0.08)
PEAK = Band(name="peak", start="16:00", end="19:00", gbp_per_kwh=0.41)
NOTHING = (CostItem(name="nothing", gbp=0.0),)
QUOTE = Costs(items=(CostItem(name="all", gbp=4500.0),), visit_gbp_per_year=60.0, replacements=())


def solar_of(kwp):
    step, day = np.arange(17520) % 48, np.arange(17520) // 48
    bell = np.clip(np.sin((step - 13) / 22 * np.pi), 0, None) * ((step > 13) & (step < 35))
    return 0.25 * kwp * bell * (0.75 - 0.5 * np.cos(2 * np.pi * day / 365))


def home_cash(tariff=None, costs=QUOTE, finance=None, water=WATER, kwp=2.6):
    tariff, finance = tariff or Tariff(), finance or Finance()
    years = life_flows(solar_of(kwp), Household(demand_year(Home()), water), ageing(finance))
    return years, cash_flow(years, Deal(tariff, costs, finance, kwp))


def assert_finite(table):
    for field in fields(table):
        value = getattr(table, field.name)
        if is_dataclass(value):
            assert_finite(value)
        elif field.name != "price_lines":
            assert value is None or np.all(np.isfinite(value)), field.name


def tariffs():
    change = st.floats(-0.1, 0.1)
    return st.builds(
        Tariff,
        import_gbp_per_kwh=st.floats(0, 1),
        import_bands=st.sampled_from([(), (NIGHT,), (NIGHT, PEAK)]),
        export_gbp_per_kwh=st.floats(0, 0.5),
        gas_gbp_per_kwh=st.floats(0, 0.5),
        import_change_per_year=change,
        export_change_per_year=change,
        gas_change_per_year=change,
    )


@settings(max_examples=100, deadline=None)
@given(tariffs(), st.floats(0.0, 8.0), st.integers(1, 40))
def test_the_saving_is_import_avoided_plus_export_income_plus_gas_saved(tariff, kwp, span):
    years, cash = home_cash(tariff=tariff, kwp=kwp, finance=Finance(years=span))
    year = np.arange(span)
    avoided = years.demand_kwh - years.import_half_hourly_kwh
    clock = np.full(48, tariff.import_gbp_per_kwh)
    for band in tariff.import_bands:
        for half_hour in range(48):
            text = f"{half_hour // 2:02d}:{'30' if half_hour % 2 else '00'}"
            inside = band.start <= text < band.end
            if band.start > band.end:
                inside = text >= band.start or text < band.end
            if inside:
                clock[half_hour] = band.gbp_per_kwh
    expected = (
        (avoided * clock[CALENDAR.half_hour]).sum(axis=1)
        * (1 + tariff.import_change_per_year) ** year
        + years.export_kwh * tariff.export_gbp_per_kwh * (1 + tariff.export_change_per_year) ** year
        + years.gas_saved_kwh * tariff.gas_gbp_per_kwh * (1 + tariff.gas_change_per_year) ** year
    )
    np.testing.assert_allclose(cash.saving_gbp[1:], expected, rtol=1e-9, atol=1e-7)
    np.testing.assert_allclose(cash.bill_without_gbp - cash.bill_with_gbp, cash.saving_gbp)


def bill_without_import(flows, tariff):
    """The first year's bill with the system, but for the electricity bought [GBP]."""
    return (
        365 * tariff.standing_gbp_per_day
        + flows.gas_with_kwh.sum() * tariff.gas_gbp_per_kwh
        - flows.export_kwh.sum() * tariff.export_gbp_per_kwh
    )


def test_the_first_bill_is_the_sum_of_its_half_hours_not_an_average_price():
    tariff = Tariff(import_gbp_per_kwh=0.28, import_bands=(NIGHT, PEAK))
    finance = Finance(degradation_first_year=0.0)
    _, cash = home_cash(tariff=tariff, finance=finance)
    flows = year_flows(solar_of(2.6), Household(demand_year(Home()), WATER))
    hour = CALENDAR.half_hour / 2
    bill = 365 * tariff.standing_gbp_per_day
    for i in range(17520):
        price = 0.28
        if hour[i] >= 23.5 or hour[i] < 5.5:
            price = 0.08
        if 16 <= hour[i] < 19:
            price = 0.41
        bill += flows.import_kwh[i] * price - flows.export_kwh[i] * tariff.export_gbp_per_kwh
        bill += flows.gas_with_kwh[i] * tariff.gas_gbp_per_kwh
    assert cash.bill_with_gbp[1] == pytest.approx(bill, rel=1e-10)
    average = np.mean([0.08] * 12 + [0.41] * 6 + [0.28] * 30)
    half_hourly = cash.bill_with_gbp[1] - bill_without_import(flows, tariff)
    assert abs(half_hourly - flows.import_kwh.sum() * average) > 5.0


def test_prices_move_by_whole_years_from_today():
    tariff = Tariff(import_change_per_year=0.03, standing_gbp_per_day=0.0)
    _, cash = home_cash(tariff=tariff, water=None)
    growth = cash.bill_without_gbp[2:] / cash.bill_without_gbp[1:-1]
    np.testing.assert_allclose(growth, 1.03)
    assert cash.bill_without_gbp[1] == pytest.approx(2500.0 * tariff.import_gbp_per_kwh)


def test_the_standing_charge_cancels():
    _, plain = home_cash(tariff=Tariff(standing_gbp_per_day=0.0))
    _, dear = home_cash(tariff=Tariff(standing_gbp_per_day=2.0))
    np.testing.assert_allclose(plain.saving_gbp, dear.saving_gbp)
    assert dear.bill_with_gbp[1] - plain.bill_with_gbp[1] == pytest.approx(730.0)


def test_columns_start_with_the_outlay_and_add_up():
    _, cash = home_cash()
    assert cash.years.tolist() == list(range(26))
    assert cash.net_gbp[0] == -4500.0
    assert cash.saving_gbp[0] == cash.yield_kwh[0] == cash.bill_with_gbp[0] == 0.0
    np.testing.assert_allclose(cash.net_gbp[1:], (cash.saving_gbp - cash.costs_gbp)[1:])
    np.testing.assert_allclose(cash.cumulative_gbp, np.cumsum(cash.net_gbp))
    assert cash.discounted_gbp[-1] == pytest.approx(cash.npv_gbp)
    assert cash.first_year_saving_gbp == cash.saving_gbp[1]


def test_discounting_only_ever_delays_payback():
    _, cash = home_cash()
    assert cash.discounted_payback_years > cash.simple_payback_years
    _, plain = home_cash(finance=Finance(discount_rate=0.0))
    assert plain.discounted_payback_years == pytest.approx(plain.simple_payback_years)


def test_a_list_of_replacements_is_used_as_it_is():
    listed = Costs(
        visit_gbp_per_year=50.0,
        replacements=(
            Replacement(name="inverter", year=2, gbp=600.0),
            Replacement(name="pump", year=2, gbp=100.0),
            Replacement(name="too late", year=9, gbp=999.0),
        ),
    )
    assert running_costs(listed, Finance(years=3)).total_gbp.tolist() == [50.0, 750.0, 50.0]
    none = Costs(visit_gbp_per_year=50.0, replacements=())
    assert running_costs(none, Finance(years=25)).total_gbp.tolist() == [50.0] * 25


def test_without_a_list_one_inverter_is_replaced_if_its_year_is_reached():
    costs, year = Costs(visit_gbp_per_year=0.0), default("costs.inverter_replacement_year")
    running = running_costs(costs, Finance(years=25)).total_gbp
    assert np.flatnonzero(running).tolist() == [year - 1]
    assert running.sum() == default("costs.inverter_replacement_gbp")
    assert running_costs(costs, Finance(years=year)).total_gbp[-1] > 0.0
    assert not running_costs(costs, Finance(years=year - 1)).total_gbp.any()


def test_without_a_quotation_the_typical_price_for_the_size_stands_in():
    assert outlay(Costs(), 2.5) == pytest.approx(2.5 * default("costs.typical_gbp_per_kw"))
    assert outlay(Costs(items=NOTHING), 2.5) == 0.0
    discount = (CostItem(name="work", gbp=900.0), CostItem(name="discount", gbp=-100.0))
    assert outlay(Costs(items=discount), 2.5) == 800.0


@pytest.mark.parametrize(
    ("tariff", "costs", "finance", "water", "kwp"),
    [
        (Tariff(export_gbp_per_kwh=0.0), QUOTE, Finance(), WATER, 2.6),
        (
            Tariff(import_gbp_per_kwh=0, export_gbp_per_kwh=0, gas_gbp_per_kwh=0),
            QUOTE, Finance(), WATER, 2.6,
        ),
        (Tariff(), QUOTE, Finance(), None, 2.6),
        (Tariff(), QUOTE, Finance(years=1), WATER, 2.6),
        (Tariff(), QUOTE, Finance(years=40), WATER, 2.6),
        (Tariff(), QUOTE, Finance(degradation_first_year=0, degradation_per_year=0), WATER, 2.6),
        (Tariff(), QUOTE.model_copy(update={"items": NOTHING}), Finance(), WATER, 2.6),
        (Tariff(), QUOTE, Finance(discount_rate=0.0), WATER, 2.6),
        (Tariff(), QUOTE, Finance(), WATER, 0.0),
    ],
)  # fmt: skip
def test_odd_homes_give_numbers_or_none_and_never_nan(tariff, costs, finance, water, kwp):
    _, cash = home_cash(tariff, costs, finance, water, kwp)
    assert_finite(cash)


def test_a_system_that_earns_nothing_has_no_payback_and_no_rate():
    free = Tariff(import_gbp_per_kwh=0, export_gbp_per_kwh=0, gas_gbp_per_kwh=0)
    _, cash = home_cash(tariff=free)
    assert cash.npv_gbp < -4500.0
    assert cash.irr is None
    assert cash.simple_payback_years is None
    assert cash.discounted_payback_years is None


def test_a_gift_is_paid_back_at_once_and_has_no_rate():
    _, cash = home_cash(costs=QUOTE.model_copy(update={"items": NOTHING}))
    assert cash.capital_gbp == 0.0
    assert cash.simple_payback_years == 0.0
    assert cash.irr is None


def test_without_energy_there_is_no_cost_per_kwh():
    assert home_cash(kwp=0.0)[1].lcoe_gbp_per_kwh is None


def test_a_span_that_differs_from_the_energys_is_refused():
    years, _ = home_cash(finance=Finance(years=5))
    with pytest.raises(ValueError, match="the energy spans 5 years, the finance 25"):
        cash_flow(years, Deal(Tariff(), QUOTE, Finance(), 2.6))
