"""What prices decide: who is given surplus first, and what is bought at cheap hours."""

from dataclasses import replace

import numpy as np
import pytest

from pvkit.home.battery import battery_year
from pvkit.home.calendar import between, local_calendar
from pvkit.home.car import car_year
from pvkit.home.cheap_charge import LEVELS, monthly_costs, steer
from pvkit.home.cheap_hours import cheap_marks, cheapest_at_night, nights
from pvkit.home.demand import demand_year
from pvkit.home.flows import year_flows
from pvkit.home.household import Household
from pvkit.home.prices import Prices
from pvkit.home.solar import Solar
from pvkit.home.steering import steering
from pvkit.home.water import water_year
from pvkit.site.car import Car
from pvkit.site.household import Home, HotWater
from pvkit.site.parts import inverter_sheet
from pvkit.site.storage import Battery
from tests.home.homes import summer_days

YEAR = 17520
SUN = Solar.even(summer_days(3.0))
PACK = battery_year(Battery(capacity_kwh=5.0, standby_w=0.0), inverter_sheet("single-phase-3680"))
CAR = car_year(Car())
WATER = water_year(HotWater(diverter=True), occupants=2.4)
DEMAND = demand_year(Home(yearly_kwh=3500.0))
NIGHT = between(0.5, 5.5)


def prices(day=0.28, night=None, export=0.12, gas=0.07):
    bought = np.where(NIGHT, day if night is None else night, day)
    return Prices(bought, np.full(YEAR, export), gas)


def bill(flows, at):
    gas = flows.gas_with_kwh.sum() * at.gas_gbp
    return flows.import_kwh @ at.import_gbp - flows.export_kwh @ at.export_gbp + gas


def test_a_flat_tariff_leaves_the_battery_to_the_sun():
    plan = steer(SUN, Household(DEMAND, battery=PACK), prices())
    assert not plan.mark.any()
    assert np.all(plan.level < 0.0)


def test_hours_are_cheap_only_if_the_way_through_the_battery_pays():
    way = PACK.from_grid * PACK.out
    for night, pays in ((0.28 * way * 0.98, True), (0.28 * way * 1.02, False)):
        marks = cheap_marks(prices(night=night).import_gbp, DEMAND.kwh, PACK)
        assert marks.any() == pays
        assert not marks[~NIGHT].any()


def test_charging_at_cheap_hours_lowers_the_bill_and_stays_in_them():
    at = prices(night=0.08)
    for household in (Household(DEMAND, battery=PACK), Household(DEMAND, WATER, PACK, CAR)):
        plan = steer(SUN, household, at)
        charged, plain = year_flows(SUN, household, plan), year_flows(SUN, household)
        cheap_car = replace(plan, level=np.full(12, -1.0))
        assert bill(charged, at) < bill(year_flows(SUN, household, cheap_car), at) - 20.0
        assert bill(charged, at) < bill(plain, at)
        assert charged.battery_grid_kwh.sum() > 300.0
        assert not charged.battery_grid_kwh[~NIGHT].any()
        assert not charged.battery_out_kwh[NIGHT].any()


def test_no_other_level_is_cheaper_in_any_month():
    household, at = Household(DEMAND, battery=PACK), prices(night=0.08, export=0.05)
    plan = steer(SUN, household, at)
    costs = monthly_costs(SUN, household, at, plan)
    chosen = costs[np.searchsorted(LEVELS, plan.level), np.arange(12)]
    np.testing.assert_array_equal(chosen, costs.min(axis=0))
    # each level's months are those of a year run at it throughout
    for k, level in enumerate(LEVELS):
        flows = year_flows(SUN, household, replace(plan, level=np.full(12, level)))
        assert costs[k].sum() == pytest.approx(bill(flows, at), abs=1e-6)


def test_with_poor_export_summer_nights_leave_room_for_the_sun():
    plan = steer(SUN, Household(DEMAND, battery=PACK), prices(night=0.12, export=0.03))
    assert plan.level[[0, 11]].min() > plan.level[[5, 6]].max()


def test_by_value_the_dearest_comes_first_and_what_export_beats_comes_after_it():
    household = Household(DEMAND, WATER, PACK, CAR, order=("value",))
    (low,) = steering(household, prices(export=0.04)).orders
    (high,) = steering(household, prices(export=0.15)).orders
    assert low == ("car", "battery", "cylinder", "export")
    assert high == ("car", "battery", "export", "cylinder")
    (cheap_nights,) = steering(household, prices(night=0.07, export=0.15)).orders
    assert cheap_nights == ("battery", "export", "cylinder", "car")


def test_by_value_never_costs_more_than_the_sites_order_where_nothing_holds_over():
    for export in (0.03, 0.2):
        at = prices(export=export)
        for order in (("cylinder", "export"), ("export", "cylinder")):
            fixed = Household(DEMAND, WATER, order=order)
            by_value = replace(fixed, order=("value",))
            best = bill(year_flows(SUN, by_value, steering(by_value, at)), at)
            assert best <= bill(year_flows(SUN, fixed, steering(fixed, at)), at) + 1e-6


def test_an_order_that_follows_the_hours_prices_changes_with_them():
    at = prices()
    export = np.where(between(16.0, 19.0), 0.25, 0.02)
    household = Household(DEMAND, WATER, order=("value",))
    plan = steering(household, replace(at, export_gbp=export))
    evening = between(16.0, 19.0)
    first = np.array([order.index("export") < order.index("cylinder") for order in plan.orders])
    np.testing.assert_array_equal(first[plan.order], evening)


def test_a_small_price_change_that_changes_no_choice_is_the_same_steering():
    household = Household(DEMAND, WATER, order=("value",))
    keys = [steering(household, prices(day=day)).key for day in (0.28, 0.29)]
    assert keys[0] == keys[1]
    assert steering(household, prices(export=0.01)).key != keys[0]


def test_an_order_by_value_needs_prices():
    with pytest.raises(ValueError, match="needs prices"):
        steering(Household(DEMAND, order=("value",)), None)


def test_the_car_charges_by_its_clock_on_a_flat_tariff_and_in_cheap_hours_otherwise():
    household = Household(DEMAND, car=CAR)
    flat, cheap = (steering(household, at).window for at in (prices(), prices(night=0.07)))
    clock = local_calendar().half_hour
    assert set(clock[flat]) == set(range(1, 16))
    assert not cheap[~NIGHT].any()
    per_night = np.bincount(nights(), weights=cheap)
    assert per_night.min() * CAR.most_kwh >= 2 * CAR.driven_kwh.max()


def test_clock_change_nights_have_their_cheap_hours_too():
    at = prices(night=0.07)
    window = cheapest_at_night(at.import_gbp, CAR)
    for day in (88, 298):  # 30 March and 26 October
        assert window[local_calendar().day == day].any()
