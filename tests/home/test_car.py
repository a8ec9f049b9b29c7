import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvkit.home.calendar import local_calendar
from pvkit.home.car import car_year
from pvkit.home.demand import Demand
from pvkit.home.flows import year_flows
from pvkit.home.household import Household
from pvkit.site.car import Car
from tests.home.homes import summer_days

CALENDAR = local_calendar()
NONE = Demand.even(np.zeros(17520))


@given(st.floats(0.0, 20000.0), st.integers(0, 7))
def test_a_year_of_miles_is_a_year_of_energy(miles, days):
    car = car_year(Car(yearly_miles=miles, days_at_home=days, kwh_per_mile=0.3))
    assert car.driven_kwh.sum() == pytest.approx(0.3 * miles)
    whole = np.bincount(CALENDAR.day, weights=~car.here, minlength=365) == 0
    assert whole.sum() == pytest.approx(365 * days / 7, abs=3)


def test_weekends_are_the_first_days_at_home():
    car = car_year(Car(days_at_home=2))
    away = np.unique(CALENDAR.weekday[~car.here])
    assert set(away) == {0, 1, 2, 3, 4}


def test_the_grid_charges_in_its_hours_only_and_all_that_is_driven():
    car = car_year(Car(yearly_miles=7000.0, by_sun=False))
    flows = year_flows(summer_days(4.0), Household(NONE, car=car))
    assert flows.car_grid_kwh.sum() == pytest.approx(2100.0, rel=1e-6)
    assert not flows.car_kwh.any()
    assert set(CALENDAR.half_hour[flows.car_grid_kwh > 0.0]) <= set(range(1, 16))
    np.testing.assert_allclose(flows.without_kwh, flows.import_kwh, atol=1e-9)


def test_a_car_that_follows_the_sun_needs_less_from_the_grid():
    by_sun, by_clock = (
        year_flows(
            summer_days(4.0),
            Household(NONE, car=car_year(Car(yearly_miles=7000.0, by_sun=smart))),
        )
        for smart in (True, False)
    )
    assert by_sun.car_kwh.sum() > 500.0
    total = by_sun.car_kwh.sum() + by_sun.car_grid_kwh.sum()
    assert total == pytest.approx(by_clock.car_grid_kwh.sum(), rel=1e-3)
    assert by_sun.without_kwh.sum() == pytest.approx(2100.0, rel=1e-6)


@settings(max_examples=20, deadline=None)
@given(st.floats(0.0, 5.0), st.floats(0.1, 1.0))
def test_the_charger_waits_for_its_least_power(minimum_kw, sun_kw):
    sun = np.full(17520, sun_kw / 2)
    car = car_year(Car(minimum_kw=minimum_kw, days_at_home=7))
    flows = year_flows(sun, Household(NONE, car=car))
    if sun_kw < minimum_kw * 0.999:
        assert not flows.car_kwh.any()
    if sun_kw > minimum_kw * 1.001:
        assert flows.car_kwh.any()


def test_more_days_at_home_mean_more_sun_in_the_car():
    taken = [
        year_flows(
            summer_days(4.0), Household(NONE, car=car_year(Car(days_at_home=days)))
        ).car_kwh.sum()
        for days in (0, 2, 5)
    ]
    assert taken[0] < taken[1] < taken[2]
