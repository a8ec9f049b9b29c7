from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvkit.home import house_kernel as row
from pvkit.home.battery import BatteryYear
from pvkit.home.demand import Demand, demand_year
from pvkit.home.flows import Flows, life_flows, year_flows
from pvkit.home.household import Household
from pvkit.home.lanes import Lanes, run_lanes
from pvkit.home.solar import Solar
from pvkit.home.water import water_year
from pvkit.site.household import Home, HotWater
from tests.home.homes import YEAR, batteries, cylinders, homes, steered, summer_days

RESIDUAL_KWH = 1e-9
MANY = settings(max_examples=300, deadline=None)
EASY = settings(max_examples=60, deadline=None)
WATER = water_year(HotWater(diverter=True), occupants=2.4)
ORDER = ("cylinder", "export")


def kept(home, sun=1.0):
    """What the lane itself went through, which the flows do not tell."""
    solar, household = home
    plan = steered(household)
    run = run_lanes(solar, household, plan, Lanes.of([sun], [sun], plan), keep=1)
    return run.start[0], run.kept[0]


@MANY
@given(homes())
def test_every_half_hour_closes(home):
    flows = year_flows(*home)
    solar = (
        flows.direct_kwh + flows.battery_in_kwh + flows.car_kwh + flows.cylinder_kwh
        + flows.export_kwh + flows.spilled_kwh
    )  # fmt: skip
    made = flows.solar_kwh + flows.rescued_kwh
    np.testing.assert_allclose(solar, made, rtol=0, atol=RESIDUAL_KWH)
    others = flows.battery_grid_kwh + flows.car_grid_kwh + flows.cylinder_grid_kwh
    use = flows.direct_kwh + flows.battery_out_kwh + flows.import_kwh - others
    need = flows.demand_kwh + flows.standby_kwh
    np.testing.assert_allclose(use, need, rtol=0, atol=RESIDUAL_KWH)
    for field in fields(Flows):
        assert getattr(flows, field.name).min() >= -RESIDUAL_KWH, field.name


@EASY
@given(homes())
def test_what_goes_into_the_stores_comes_out_or_stays(home):
    _, household = home
    start, flow = kept(home)
    battery, water, car = household.battery, household.water, household.car
    if battery is not None:
        into = flow[row.BATTERY_IN] * battery.into + flow[row.BATTERY_GRID] * battery.from_grid
        held = np.diff(flow[row.HELD], prepend=start[0])
        out = flow[row.BATTERY_OUT] / battery.out
        np.testing.assert_allclose(held, into - out, rtol=0, atol=RESIDUAL_KWH)
    if car is not None:
        lack = np.diff(flow[row.LACK], prepend=start[4])
        charged = flow[row.CAR_IN] + flow[row.CAR_GRID] + flow[row.CAR_AWAY]
        np.testing.assert_allclose(lack, car.driven_kwh - charged, rtol=0, atol=RESIDUAL_KWH)
    if water is not None:
        top, bottom = (
            np.concatenate(([first], flow[at]))
            for first, at in zip(start[1:3], (row.TOP, row.BOTTOM), strict=True)
        )
        heat = water.top_kwh_per_k * top + water.bottom_kwh_per_k * bottom
        warm = heat - (water.top_kwh_per_k + water.bottom_kwh_per_k) * water.ambient_degc
        by_sun = (flow[row.UPPER_IN] + flow[row.LOWER_IN]) * water.diverter_efficiency
        given_heat = flow[row.BOILER] + flow[row.CYLINDER_GRID] + by_sun
        lost = water.draw_kwh + water.loss_fraction * warm[:-1]
        np.testing.assert_allclose(np.diff(heat), given_heat - lost, rtol=0, atol=1e-8)


@EASY
@given(homes())
def test_the_stores_stay_inside_their_bounds(home):
    _, household = home
    start, flow = kept(home)
    battery, water, car = household.battery, household.water, household.car
    if battery is not None:
        held = np.append(flow[row.HELD], start[0])
        assert held.min() >= battery.reserve_fraction * battery.capacity_kwh - RESIDUAL_KWH
        assert held.max() <= battery.capacity_kwh + RESIDUAL_KWH
        for at in (row.BATTERY_IN, row.BATTERY_OUT):
            assert flow[at].max() <= battery.power_kwh + RESIDUAL_KWH
    if car is not None:
        assert flow[row.LACK].min() >= -RESIDUAL_KWH
        assert flow[row.LACK].max() <= car.battery_kwh + RESIDUAL_KWH
        taken = flow[row.CAR_IN] + flow[row.CAR_GRID]
        assert taken.max() <= car.most_kwh + RESIDUAL_KWH
        assert not flow[row.CAR_IN][~car.here].any()
    if water is not None:
        full = max(water.element_set_degc, water.boiler_set_degc, water.weekly_degc)
        assert flow[row.TOP].min() >= water.floor_degc - 1e-9
        assert flow[row.TOP].max() <= full + 1e-9
        assert flow[row.BOTTOM].min() >= water.cold_degc.min() - 1e-9
        assert np.all(flow[row.BOTTOM] <= flow[row.TOP] + 1e-9)


@EASY
@given(homes())
def test_export_never_passes_the_networks_limit_and_curtailment_is_counted(home):
    solar, household = home
    flows = year_flows(solar, household)
    if household.export_limit_kwh is None:
        assert not flows.spilled_kwh.any()
        return
    assert flows.export_kwh.max() <= household.export_limit_kwh + RESIDUAL_KWH
    free = year_flows(solar, replace(household, export_limit_kwh=None))
    sold_or_spilled = flows.export_kwh.sum() + flows.spilled_kwh.sum()
    if household.order[-1] == "export":
        assert sold_or_spilled == pytest.approx(free.export_kwh.sum(), abs=1e-6)


@EASY
@given(homes(), st.integers(0, 2**32 - 1))
def test_the_yearly_bill_is_the_sum_of_its_half_hours(home, seed):
    solar, household = home
    prices = np.random.default_rng(seed).uniform(0.05, 0.5, len(solar.kwh))
    flows, ageing = year_flows(solar, household), np.array([1.0, 0.9])
    years = life_flows(solar, household, ageing)
    # bought with the system, every half-hour at its own price, path by path
    paths = flows.demand_kwh + flows.standby_kwh - flows.direct_kwh - flows.battery_out_kwh
    paths = paths + flows.battery_grid_kwh + flows.car_grid_kwh + flows.cylinder_grid_kwh
    bill = sum(kwh * price for kwh, price in zip(paths, prices, strict=True))
    assert years.import_half_hourly_kwh[0] @ prices == pytest.approx(bill, rel=1e-9, abs=1e-9)
    without = year_flows(Solar.even(np.zeros(len(solar.kwh))), replace(household, battery=None))
    np.testing.assert_allclose(years.demand_kwh, without.import_kwh, rtol=0, atol=RESIDUAL_KWH)


@EASY
@given(homes(), st.floats(1.0, 3.0))
def test_more_sun_never_means_more_bought_for_the_house(home, more):
    solar, household = home
    plain = replace(household, battery=None, car=None, export_limit_kwh=None)
    less = year_flows(solar, plain)
    more_sun = year_flows(replace(solar, kwh=solar.kwh * more), plain)
    house, sunnier = (flows.import_kwh - flows.cylinder_grid_kwh for flows in (less, more_sun))
    assert np.all(sunnier <= house + RESIDUAL_KWH)


@EASY
@given(homes(), batteries())
def test_a_battery_of_nothing_is_no_battery(home, battery):
    solar, household = home
    nothing = replace(household, battery=replace(battery, capacity_kwh=0.0))
    none = replace(household, battery=None)
    one, other = year_flows(solar, nothing), year_flows(solar, none)
    for field in fields(Flows):
        np.testing.assert_array_equal(getattr(one, field.name), getattr(other, field.name))


@EASY
@given(homes(), batteries(), st.floats(1.0, 4.0))
def test_more_battery_never_lowers_self_use(home, battery, more):
    solar, household = home
    pack = replace(battery, capacity_kwh=max(battery.capacity_kwh, 0.1), over_limit=False)
    larger = replace(pack, capacity_kwh=pack.capacity_kwh * more)
    alone = replace(household, water=None, car=None, order=("battery", "car", "cylinder", "export"))
    small, large = (year_flows(solar, replace(alone, battery=one)) for one in (pack, larger))
    for name in ("direct_kwh", "battery_in_kwh", "battery_out_kwh"):
        less, most = getattr(small, name).sum(), getattr(large, name).sum()
        assert most >= less - 1e-6, name


@EASY
@given(homes(diverter=True))
def test_the_diverter_respects_elements_margin_and_thermostat(home):
    solar, household = home
    household = replace(household, battery=None, car=None, export_limit_kwh=None)
    water = household.water
    start, flow = kept((solar, household))
    assert flow[row.UPPER_IN].max() <= water.upper_kwh + RESIDUAL_KWH
    assert flow[row.LOWER_IN].max() <= water.lower_kwh + RESIDUAL_KWH
    taken = flow[row.UPPER_IN] + flow[row.LOWER_IN]
    surplus = taken + flow[row.EXPORTED]
    assert np.all(taken <= surplus - np.minimum(surplus, 0.0) + RESIDUAL_KWH)
    sunny = (taken > 0.0) & (flow[row.BOILER] == 0.0) & (flow[row.CYLINDER_GRID] == 0.0)
    before = np.concatenate(([start[1]], flow[row.TOP][:-1]))
    hottest = np.maximum(before, water.element_set_degc)
    assert np.all((flow[row.TOP] <= hottest + 1e-9)[sunny])


@EASY
@given(homes(diverter=True))
def test_a_relay_takes_whole_power_or_nothing(home):
    solar, household = home
    water = replace(household.water, relay=True, upper_kwh=0.0, margin_kwh=0.0)
    roomy = replace(water, element_set_degc=1e6)
    household = replace(household, battery=None, car=None, water=roomy, order=ORDER)
    even = Solar.even(solar.kwh)
    flows = year_flows(even, household)
    minutes = flows.cylinder_kwh / (water.lower_kwh / 30)
    np.testing.assert_allclose(minutes, np.round(minutes), rtol=0, atol=1e-6)
    modulating = year_flows(even, replace(household, water=replace(roomy, relay=False)))
    assert np.all(flows.cylinder_kwh <= modulating.cylinder_kwh + RESIDUAL_KWH)


@EASY
@given(homes(diverter=True))
def test_the_boiler_never_heats_past_its_own_thermostat(home):
    solar, household = home
    water = replace(household.water, weekly_steps=np.inf, boost_kwh=np.zeros(len(solar.kwh)))
    _, flow = kept((solar, replace(household, water=water)))
    fired = (flow[row.BOILER] > 0.0) & (flow[row.UPPER_IN] + flow[row.LOWER_IN] == 0.0)
    rise = np.diff(flow[row.TOP], prepend=flow[row.TOP][-1]) > 1e-9
    assert flow[row.TOP][fired & rise].max(initial=0.0) <= water.boiler_set_degc + 1e-9


@EASY
@given(homes(diverter=True))
def test_a_week_never_passes_without_the_whole_cylinder_hot(home):
    solar, household = home
    water = replace(household.water, weekly_by_element=False)
    _, flow = kept((solar, replace(household, water=water)))
    hot = np.minimum(flow[row.TOP], flow[row.BOTTOM]) >= water.weekly_degc - 1e-5
    capacity = water.top_kwh_per_k + water.bottom_kwh_per_k
    slow = np.ceil(capacity * 60.0 / water.weekly_kwh)  # half-hours to heat it all
    gaps = np.diff(np.flatnonzero(np.concatenate(([True], hot, [True]))))
    assert gaps[1:-1].max(initial=0) <= water.weekly_steps + slow + 1


def test_a_cool_boiler_needs_the_weekly_heat_and_it_is_counted():
    cool = HotWater(boiler_set_point_degc=52.0, set_point_degc=60.0, diverter=False)
    none = Solar.even(np.zeros(YEAR))
    household = Household(Demand.even(np.zeros(YEAR)), water_year(cool, 2.4))
    with_heat = year_flows(none, household)
    never = replace(household, water=replace(household.water, weekly_steps=np.inf))
    element = replace(household, water=replace(household.water, weekly_by_element=True))
    extra = with_heat.gas_with_kwh.sum() - year_flows(none, never).gas_with_kwh.sum()
    by_element = year_flows(none, element)
    assert 0.0 < extra < 52 * 1.0  # most of the heat is drawn later
    hot = with_heat.bottom_degc >= 60.0 - 1e-5
    assert 51 <= np.count_nonzero(hot & ~np.roll(hot, 1)) <= 52
    assert 52 * 0.5 < by_element.cylinder_grid_kwh.sum() < 52 * 4.0
    assert by_element.import_kwh.sum() == pytest.approx(by_element.cylinder_grid_kwh.sum())


def test_a_boost_heats_by_the_clock_with_and_without_sun():
    boosted = HotWater(boost=({"start": "05:00", "end": "06:00"},), diverter=False)
    household = Household(Demand.even(np.zeros(YEAR)), water_year(boosted, 2.4))
    flows = year_flows(summer_days(3.0), household)
    assert flows.cylinder_grid_kwh.sum() > 300.0
    np.testing.assert_array_equal(flows.import_kwh, flows.without_kwh)
    assert not flows.cylinder_grid_kwh[household.water.boost_kwh == 0.0].any()


@EASY
@given(homes())
def test_gas_is_never_more_than_without_where_the_sun_only_heats(home):
    solar, household = home
    flows = year_flows(solar, household)
    if household.water is None:
        assert not flows.gas_without_kwh.any()
        return
    if not household.water.diverter:
        np.testing.assert_array_equal(flows.gas_with_kwh, flows.gas_without_kwh)
    saved = flows.gas_without_kwh.sum() - flows.gas_with_kwh.sum()
    assert saved <= flows.gas_without_kwh.sum() + RESIDUAL_KWH


def test_two_elements_heat_the_top_first_and_one_heats_all():
    sun = Solar.even(np.where(np.arange(YEAR) % 48 == 24, 0.5, 0.0))
    none = Demand.even(np.zeros(YEAR))
    two, one = (
        year_flows(sun, Household(none, water_year(HotWater(diverter=True, immersion_kw=kw), 2.4)))
        for kw in ((2.8, 2.8), (2.8,))
    )
    noon = np.arange(YEAR) % 48 == 24
    gap_two, gap_one = (np.mean((f.top_degc - f.bottom_degc)[noon]) for f in (two, one))
    assert gap_two > gap_one + 2.0


@settings(max_examples=20, deadline=None)
@given(cylinders(), st.floats(0.0, 10.0), st.one_of(st.none(), batteries()))
def test_the_year_ends_as_it_began(water, kwp, battery):
    household = Household(demand_year(Home()), water, battery)
    start, flow = kept((Solar.even(summer_days(kwp)), household))
    for at, k in ((row.TOP, 1), (row.BOTTOM, 2), (row.HELD, 0)):
        assert flow[at, -1] == pytest.approx(start[k], abs=1e-6)


@settings(max_examples=10, deadline=None)
@given(homes(most_days=15))
def test_the_life_is_its_years_one_by_one(home):
    solar, household = home
    household = replace(household, battery=None)
    ageing = np.array([1.0, 0.8, 0.0])
    years = life_flows(solar, household, ageing)
    for i, factor in enumerate(ageing):
        aged = replace(solar, kwh=solar.kwh * factor)
        flows = year_flows(aged, household)
        np.testing.assert_array_equal(years.import_half_hourly_kwh[i], flows.import_kwh)
        np.testing.assert_array_equal(years.export_half_hourly_kwh[i], flows.export_kwh)
        saved = flows.gas_without_kwh.sum() - flows.gas_with_kwh.sum()
        assert years.gas_saved_kwh[i] == pytest.approx(saved, abs=1e-6)
        names = {"direct": "direct", "cylinder": "cylinder", "export": "export",
                 "import": "import", "car_solar": "car", "spilled": "spilled"}  # fmt: skip
        for theirs, ours in names.items():
            total = getattr(flows, f"{ours}_kwh").sum()
            assert getattr(years, f"{theirs}_kwh")[i] == pytest.approx(total, abs=1e-6)


@settings(max_examples=50, deadline=None)
@given(homes())
def test_each_years_energy_goes_somewhere(home):
    solar, household = home
    years = life_flows(solar, household, 0.99 ** np.arange(9), battery_left=0.9 ** np.arange(9))
    total = (
        years.direct_kwh + years.battery_in_kwh + years.car_solar_kwh + years.cylinder_kwh
        + years.export_kwh + years.spilled_kwh
    )  # fmt: skip
    np.testing.assert_allclose(total, years.yield_kwh, rtol=1e-12, atol=1e-9)
    assert np.all(years.direct_kwh >= -1e-9)
    size = 0.0 if household.battery is None else household.battery.capacity_kwh
    np.testing.assert_allclose(years.battery_capacity_kwh, size * 0.9 ** np.arange(9))


def test_years_on_several_threads_are_those_on_one(monkeypatch):
    from pvkit.home import lanes

    solar = Solar.even(summer_days(4.0))
    battery = BatteryYear(5.0, 0.1, 1.5, 0.94, 0.94, 0.94, 0.01, False, False)
    household, ageing = Household(demand_year(Home()), WATER, battery), 0.995 ** np.arange(25)
    several = life_flows(solar, household, ageing)
    monkeypatch.setattr(lanes, "LANES_A_THREAD", 1000)
    one = life_flows(solar, household, ageing)
    np.testing.assert_array_equal(several.import_half_hourly_kwh, one.import_half_hourly_kwh)
    np.testing.assert_array_equal(several.battery_out_kwh, one.battery_out_kwh)


def test_an_older_system_never_exports_or_saves_more():
    household = Household(demand_year(Home()), WATER)
    years = life_flows(summer_days(4.0), household, 0.995 ** np.arange(25))
    assert np.all(np.diff(years.yield_kwh) < 0)
    assert np.all(np.diff(years.gas_saved_kwh) <= 1e-6)
    assert np.all(np.diff(years.import_kwh) >= 0)


def test_read_only_arrays_are_taken_as_they_are():
    solar = summer_days(3.0)
    solar.setflags(write=False)
    flows = year_flows(solar, Household(demand_year(Home()), WATER))
    assert flows.solar_kwh.sum() == solar.sum()


@pytest.mark.parametrize("bad", [-0.1, np.nan])
def test_a_negative_or_missing_value_is_refused(bad):
    solar, household = np.array([0.0, bad]), Household(Demand.even(np.ones(2)))
    with pytest.raises(ValueError, match="solar must be zero or more in every half-hour"):
        year_flows(solar, household)
    with pytest.raises(ValueError, match="solar must be zero or more in every half-hour"):
        life_flows(solar, household, np.ones(3))


def test_arrays_of_different_length_are_refused():
    with pytest.raises(ValueError, match="equally long, found"):
        year_flows(np.ones(3), Household(Demand.even(np.ones(3)), WATER))
