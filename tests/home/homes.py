"""Homes of every mix for the tests, as wild as minutes can be, over some days or a whole year."""

from dataclasses import fields, replace
from itertools import permutations

import numpy as np
from hypothesis import strategies as st

from pvkit.home.battery import BatteryYear
from pvkit.home.car import car_year
from pvkit.home.demand import Demand
from pvkit.home.household import Household
from pvkit.home.solar import Solar
from pvkit.home.steering import Steering, whole
from pvkit.home.water import water_year
from pvkit.site.car import Car
from pvkit.site.household import HotWater

YEAR = 17520
ORDERS = tuple(permutations(("battery", "car", "cylinder", "export")))


def cylinders(diverter=None):
    return st.builds(
        lambda litres, mm, full, boiler, kw, fitted, people, control, boost, weekly: water_year(
            HotWater(
                cylinder_litres=litres,
                insulation_mm=mm,
                set_point_degc=max(full, boiler),
                boiler_set_point_degc=boiler,
                immersion_kw=kw,
                diverter=fitted,
                control=control,
                boost=boost,
                weekly_heat=weekly,
            ),
            occupants=people,
        ),
        st.floats(50.0, 1000.0),
        st.floats(5.0, 200.0),
        st.floats(50.0, 80.0),
        st.floats(50.0, 80.0),
        st.sampled_from([(2.8,), (2.8, 2.8), (1.0,), (1.0, 3.0)]),
        st.booleans() if diverter is None else st.just(diverter),
        st.floats(1.0, 20.0),
        st.sampled_from(["modulating", "relay"]),
        st.sampled_from([(), ({"start": "04:00", "end": "05:30"},)]),
        st.sampled_from(["boiler", "element"]),
    )


def batteries():
    return st.builds(
        BatteryYear,
        capacity_kwh=st.one_of(st.just(0.0), st.floats(0.1, 30.0)),
        reserve_fraction=st.floats(0.0, 0.9),
        power_kwh=st.floats(0.05, 5.0),
        into=st.floats(0.7, 1.02),
        from_grid=st.floats(0.7, 1.0),
        out=st.floats(0.7, 0.98),
        standby_kwh=st.floats(0.0, 0.1),
        over_limit=st.booleans(),
        grid_charge=st.just(False),
    )


def cars():
    return st.builds(
        lambda miles, size, days, kw, least, kept, by_sun: car_year(
            Car(
                yearly_miles=miles,
                battery_kwh=size,
                days_at_home=days,
                charger_kw=kw,
                minimum_kw=least,
                least_fraction=kept,
                by_sun=by_sun,
            )
        ),
        st.floats(0.0, 30000.0),
        st.floats(5.0, 80.0),
        st.integers(0, 7),
        st.floats(1.5, 11.0),
        st.floats(0.0, 1.4),
        st.floats(0.0, 1.0),
        st.booleans(),
    )


def suns(rng, steps, kwp):
    """Half-hours of sun under broken cloud, some of it over the inverter's limit."""
    kwh = kwp / 2 * rng.uniform(0, 1, steps) * (rng.uniform(0, 1, steps) > 0.3)
    share = np.where(rng.uniform(0, 1, steps) > 0.4, rng.uniform(0.05, 0.95, steps), 1.0)
    bright = np.where(share < 1.0, rng.uniform(1.0, 1.0 / share), 1.0)
    over = kwp * rng.uniform(0, 0.2, steps) * (rng.uniform(0, 1, steps) > 0.8)
    return Solar(kwh, share, bright, np.where(kwh > 0.0, over, 0.0))


def demands(rng, steps, use, sun):
    """Minutes of demand: spiky, even, equal to the sun, or none at all."""
    even = np.where(rng.uniform(0, 1, steps) > 0.1, use / 60 * rng.uniform(0, 1, steps), sun / 30)
    spiky = use / 60 * rng.uniform(0, 1, (steps, 30)) ** 4
    minutes = np.where(rng.uniform(0, 1, steps)[:, None] > 0.3, spiky, even[:, None])
    minutes[rng.uniform(0, 1, steps) > 0.95] = 0.0
    return Demand.of_minutes(minutes)


def part_of(household, at, steps):
    """Cut a household's year down to some days."""
    here, water, car = slice(at, at + steps), household.water, household.car
    if water is not None:
        names = ("draw_kwh", "cold_degc", "boiler_kwh", "boost_kwh")
        water = replace(water, **{name: getattr(water, name)[here] for name in names})
    if car is not None:
        names = ("driven_kwh", "here", "window", "night")
        car = replace(car, **{name: getattr(car, name)[here] for name in names})
    return replace(household, water=water, car=car)


class Drawn(tuple):
    """A sun and a household that say in few words what they are."""

    def __repr__(self):
        sun, household = self
        has = [name for name in ("water", "battery", "car") if getattr(household, name) is not None]
        numbers = {**_plain(household.battery), **_plain(household.water), **_plain(household.car)}
        days, limit = len(sun.kwh) // 48, household.export_limit_kwh
        return f"{days} days, {has}, {household.order}, limit {limit}, {numbers}"


def _plain(part):
    if part is None:
        return {}
    values = {field.name: getattr(part, field.name) for field in fields(part)}
    return {name: value for name, value in values.items() if not isinstance(value, np.ndarray)}


@st.composite
def homes(draw, *, most_days=21, diverter=None):
    """A sun, a household of any mix over some days, and any order of its paths."""
    steps = 48 * draw(st.integers(1, most_days))
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    sun = suns(rng, steps, draw(st.floats(0.0, 20.0)))
    needed = diverter is not None
    whole_year = Household(
        demand=demands(rng, steps, draw(st.floats(0.0, 10.0)), sun.kwh),
        water=draw(cylinders(diverter) if needed else st.one_of(st.none(), cylinders())),
        battery=draw(st.one_of(st.none(), batteries())),
        car=draw(st.one_of(st.none(), cars())),
        order=draw(st.sampled_from(ORDERS)),
        export_limit_kwh=draw(st.one_of(st.none(), st.floats(0.0, 3.0))),
    )
    return Drawn((sun, part_of(whole_year, draw(st.integers(0, YEAR - steps)), steps)))


def steered(household, mark=None, level=-1.0):
    """Steer by the site's order and the clock, with cheap hours if they are given."""
    n, car = len(household.demand.kwh), household.car
    return Steering(
        orders=(whole(household.order),),
        order=np.zeros(n, dtype=np.int64),
        mark=np.zeros(n, dtype=np.int64) if mark is None else mark,
        level=np.full(12, level),
        window=np.zeros(n, dtype=np.bool_) if car is None else car.window & car.here,
    )


def summer_days(kwp):
    """A plain, bright year of sun: bell-shaped days, twice as strong in June."""
    step, day = np.arange(YEAR) % 48, np.arange(YEAR) // 48
    bell = np.clip(np.sin((step - 13) / 22 * np.pi), 0, None) * ((step > 13) & (step < 35))
    return 0.25 * kwp * bell * (0.75 - 0.5 * np.cos(2 * np.pi * day / 365))
