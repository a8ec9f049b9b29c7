from dataclasses import dataclass, fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvkit.home.demand import Demand, demand_year
from pvkit.home.flows import Flows, life_flows, year_flows
from pvkit.home.lanes import run_lanes
from pvkit.home.water import water_year
from pvkit.site.household import Home, HotWater

RESIDUAL_KWH = 1e-9
EASY = settings(max_examples=150, deadline=None)
WATER = water_year(HotWater(diverter=True), occupants=2.4)
YEAR = 17520


@dataclass
class TankYear:
    start_degc: float
    temperature_degc: np.ndarray
    cylinder_kwh: np.ndarray
    boiler_heat_kwh: np.ndarray


def tank_year(solar, demand, water):
    """What the cylinder itself went through, which the flows do not tell."""
    start, out = run_lanes(solar, demand, water, np.ones(1), keep=True)
    return TankYear(
        start_degc=float(water.temperature_degc(start[0])),
        temperature_degc=water.temperature_degc(out.held[:, 0]),
        cylinder_kwh=out.cylinder[:, 0],
        boiler_heat_kwh=out.boiler_heat[:, 0],
    )


def cylinders(diverter=None):
    return st.builds(
        lambda litres, mm, full, boiler, kw, fitted, people: water_year(
            HotWater(
                cylinder_litres=litres,
                insulation_mm=mm,
                set_point_degc=full,
                boiler_set_point_degc=boiler,
                immersion_kw=kw,
                diverter=fitted,
            ),
            occupants=people,
        ),
        st.floats(50.0, 1000.0),
        st.floats(5.0, 200.0),
        st.floats(50.0, 80.0),
        st.floats(50.0, 80.0),
        st.sampled_from([(2.8,), (2.8, 2.8), (1.0,)]),
        st.booleans() if diverter is None else st.just(diverter),
        st.floats(1.0, 20.0),
    )


@st.composite
def homes(draw, diverter=None):
    """Solar, demand and cylinder over some days, as wild as minutes can be."""
    steps = 48 * draw(st.integers(1, 21))
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    kwp, use = draw(st.floats(0.0, 20.0)), draw(st.floats(0.0, 10.0))
    solar = kwp / 2 * rng.uniform(0, 1, steps) * (rng.uniform(0, 1, steps) > 0.3)
    even = np.where(rng.uniform(0, 1, steps) > 0.1, use / 60 * rng.uniform(0, 1, steps), solar / 30)
    spiky = use / 60 * rng.uniform(0, 1, (steps, 30)) ** 4
    minutes = np.where(rng.uniform(0, 1, steps)[:, None] > 0.3, spiky, even[:, None])
    minutes[rng.uniform(0, 1, steps) > 0.95] = 0.0
    water = draw(cylinders(diverter))
    at = draw(st.integers(0, YEAR - steps))
    part = slice(at, at + steps)
    return (
        solar,
        Demand.of_minutes(minutes),
        replace(water, draw_kwh=water.draw_kwh[part], boiler_kwh=water.boiler_kwh[part]),
    )


def summer_days(kwp):
    """A plain, bright half-year of sun: bell-shaped days, twice as strong in June."""
    step, day = np.arange(YEAR) % 48, np.arange(YEAR) // 48
    bell = np.clip(np.sin((step - 13) / 22 * np.pi), 0, None) * ((step > 13) & (step < 35))
    return 0.25 * kwp * bell * (0.75 - 0.5 * np.cos(2 * np.pi * day / 365))


@EASY
@given(homes())
def test_every_half_hour_closes(home):
    flows = year_flows(*home)
    solar = flows.direct_kwh + flows.cylinder_kwh + flows.export_kwh + flows.spilled_kwh
    np.testing.assert_allclose(solar, flows.solar_kwh, rtol=0, atol=RESIDUAL_KWH)
    use = flows.direct_kwh + flows.import_kwh
    np.testing.assert_allclose(use, flows.demand_kwh, rtol=0, atol=RESIDUAL_KWH)
    for field in fields(Flows):
        assert getattr(flows, field.name).min() >= 0.0, field.name


@EASY
@given(homes(), st.floats(1.0, 3.0))
def test_more_sun_never_means_more_import_or_more_gas(home, more):
    solar, demand, water = home
    less, more_sun = year_flows(solar, demand, water), year_flows(solar * more, demand, water)
    assert np.all(more_sun.import_kwh <= less.import_kwh + RESIDUAL_KWH)
    assert more_sun.gas_with_kwh.sum() <= less.gas_with_kwh.sum() + RESIDUAL_KWH


@EASY
@given(homes(diverter=True))
def test_the_diverter_respects_element_margin_and_thermostat(home):
    solar, demand, water = home
    tank = tank_year(solar, demand, water)
    left = solar[:, None] / 30 - demand.minutes_kwh - water.margin_kwh / 30
    offered = np.clip(left, 0.0, water.element_kwh / 30).sum(axis=1)
    took = tank.cylinder_kwh > 0
    full_degc = water.temperature_degc(np.array(water.full_kwh))
    after_sun = tank.temperature_degc - tank.boiler_heat_kwh / water.capacity_kwh_per_k
    assert tank.cylinder_kwh.max() <= water.element_kwh
    assert np.all(tank.cylinder_kwh <= offered + RESIDUAL_KWH)
    assert np.all(after_sun[took] <= full_degc + 1e-9)


@EASY
@given(homes())
def test_the_cylinder_stays_between_its_floor_and_its_thermostats(home):
    _, _, water = home
    tank = tank_year(*home)
    bounds = np.array([water.floor_kwh, max(water.full_kwh, water.boiler_full_kwh)])
    low, high = water.temperature_degc(bounds)
    assert tank.temperature_degc.min() >= low - 1e-9
    assert tank.temperature_degc.max() <= high + 1e-9


@EASY
@given(homes())
def test_the_boiler_never_heats_past_its_own_thermostat_nor_beyond_its_power(home):
    _, _, water = home
    tank = tank_year(*home)
    fired = tank.boiler_heat_kwh > 0
    limit = water.temperature_degc(np.array(water.boiler_full_kwh))
    assert np.all(tank.temperature_degc[fired] <= limit + 1e-9)
    timed = water.boiler_kwh > 0
    assert np.all(tank.boiler_heat_kwh[timed] <= water.boiler_kwh[timed] + 1e-9)


@EASY
@given(homes())
def test_outside_its_hours_the_boiler_only_holds_the_floor(home):
    _, _, water = home
    tank = tank_year(*home)
    called = (water.boiler_kwh == 0) & (tank.boiler_heat_kwh > 0)
    floor = water.temperature_degc(np.array(water.floor_kwh))
    np.testing.assert_allclose(tank.temperature_degc[called], floor, rtol=0, atol=1e-9)


@EASY
@given(homes())
def test_the_cylinders_heat_balances(home):
    _, _, water = home
    tank = tank_year(*home)
    held = (
        np.append(tank.start_degc, tank.temperature_degc) - water.ambient_degc
    ) * water.capacity_kwh_per_k
    into = tank.boiler_heat_kwh + tank.cylinder_kwh * water.diverter_efficiency
    out = water.draw_kwh + water.loss_fraction * held[:-1]
    np.testing.assert_allclose(np.diff(held), into - out, rtol=0, atol=RESIDUAL_KWH)


@EASY
@given(homes())
def test_gas_saved_is_never_negative_and_never_more_than_was_burnt(home):
    flows = year_flows(*home)
    saved = flows.gas_without_kwh.sum() - flows.gas_with_kwh.sum()
    assert -RESIDUAL_KWH <= saved <= flows.gas_without_kwh.sum()


@EASY
@given(homes(diverter=False))
def test_without_a_diverter_the_sun_leaves_the_cylinder_alone(home):
    flows = year_flows(*home)
    assert not flows.cylinder_kwh.any()
    np.testing.assert_array_equal(flows.gas_with_kwh, flows.gas_without_kwh)


def test_without_a_cylinder_there_is_no_gas():
    flows = year_flows(summer_days(3.0), demand_year(Home()), None)
    assert not flows.cylinder_kwh.any()
    assert not flows.gas_without_kwh.any()
    assert not flows.gas_with_kwh.any()


@settings(max_examples=25, deadline=None)
@given(cylinders(), st.floats(0.0, 10.0))
def test_the_cylinder_ends_the_year_as_warm_as_it_began(water, kwp):
    tank = tank_year(summer_days(kwp), demand_year(Home()), water)
    assert tank.temperature_degc[-1] == pytest.approx(tank.start_degc, abs=1e-6)


@pytest.mark.parametrize("daily_kwh", [5.0, 6.5, 7.0, 8.0])
def test_a_store_that_stays_warm_for_weeks_ends_the_year_as_it_began_too(daily_kwh):
    big = HotWater(
        cylinder_litres=1000.0,
        insulation_mm=200.0,
        set_point_degc=80.0,
        boiler_set_point_degc=50.0,
        diverter=True,
    )
    noon = (np.arange(YEAR) % 48 >= 20) & (np.arange(YEAR) % 48 < 28)
    none = Demand.even(np.zeros(YEAR))
    tank = tank_year(noon * daily_kwh / 8, none, water_year(big, occupants=1.0))
    assert tank.temperature_degc[-1] == pytest.approx(tank.start_degc, abs=1e-6)


@settings(max_examples=10, deadline=None)
@given(cylinders(), st.floats(0.0, 10.0), st.booleans())
def test_the_life_is_its_years_one_by_one(water, kwp, fitted):
    solar, demand, ageing = summer_days(kwp), demand_year(Home()), np.array([1.0, 0.8, 0.0])
    home = water if fitted else None
    years = life_flows(solar, demand, home, ageing)
    for i, factor in enumerate(ageing):
        flows = year_flows(solar * factor, demand, home)
        np.testing.assert_array_equal(years.import_half_hourly_kwh[i], flows.import_kwh)
        np.testing.assert_array_equal(years.export_half_hourly_kwh[i], flows.export_kwh)
        saved = flows.gas_without_kwh.sum() - flows.gas_with_kwh.sum()
        assert years.gas_saved_kwh[i] == pytest.approx(saved, abs=1e-6)
        for name in ("direct", "cylinder", "export", "import"):
            sum_kwh = getattr(flows, f"{name}_kwh").sum()
            assert getattr(years, f"{name}_kwh")[i] == pytest.approx(sum_kwh, abs=1e-6)
    total = years.direct_kwh + years.cylinder_kwh + years.export_kwh
    np.testing.assert_allclose(total, years.yield_kwh, rtol=1e-12, atol=1e-9)


def test_an_older_system_never_exports_or_saves_more():
    years = life_flows(summer_days(4.0), demand_year(Home()), WATER, 0.995 ** np.arange(25))
    assert np.all(np.diff(years.yield_kwh) < 0)
    assert np.all(np.diff(years.gas_saved_kwh) <= RESIDUAL_KWH)
    assert np.all(np.diff(years.import_kwh) >= 0)


def test_read_only_arrays_are_taken_as_they_are():
    solar = summer_days(3.0)
    solar.setflags(write=False)
    flows = year_flows(solar, demand_year(Home()), WATER)
    assert flows.solar_kwh.sum() == solar.sum()


@pytest.mark.parametrize("bad", [-0.1, np.nan])
def test_a_negative_or_missing_value_is_refused(bad):
    solar, demand = np.array([0.0, bad]), Demand.even(np.ones(2))
    with pytest.raises(ValueError, match="solar must be zero or more in every half-hour"):
        year_flows(solar, demand, None)
    with pytest.raises(ValueError, match="solar must be zero or more in every half-hour"):
        life_flows(solar, demand, None, np.ones(3))


def test_arrays_of_different_length_are_refused():
    with pytest.raises(ValueError, match="as long as each other, found"):
        year_flows(np.ones(3), Demand.even(np.ones(3)), WATER)
