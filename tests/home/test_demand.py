import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvkit.home.calendar import local_calendar
from pvkit.home.demand import Demand, demand_notes, demand_year
from pvkit.site.household import Home
from pvkit.tables import MONTHS

CALENDAR = local_calendar()
HOUR = CALENDAR.half_hour // 2
WEEKDAY = ~CALENDAR.weekend
KINDS = ("out", "half", "in")
SEEDS = range(20)


def mean_year(day):
    """Mean use of many homes, each half-hour [kWh]."""
    return np.mean([demand_year(Home(day=day), seed).kwh for seed in SEEDS], axis=0)


MEAN = {day: mean_year(day) for day in KINDS}


def share(values, where):
    return values[where].sum() / values.sum()


@settings(max_examples=25, deadline=None)
@given(
    yearly_kwh=st.floats(100.0, 50000.0), day=st.sampled_from(KINDS), occupants=st.floats(1.0, 20.0)
)
def test_the_year_sums_to_the_bill_and_is_never_zero(yearly_kwh, day, occupants):
    demand = demand_year(Home(yearly_kwh=yearly_kwh, day=day, occupants=occupants))
    assert demand.kwh.shape == (17520,)
    assert demand.kwh.sum() == pytest.approx(yearly_kwh, rel=1e-12)
    assert demand.kwh.min() > 0.0


def test_minutes_are_sorted_and_add_up_to_their_half_hours():
    demand = demand_year(Home())
    assert demand.minutes_kwh.shape == (17520, 30)
    assert np.all(np.diff(demand.minutes_kwh, axis=1) >= 0.0)
    np.testing.assert_allclose(
        np.diff(demand.below_kwh, axis=1), demand.minutes_kwh, rtol=0, atol=1e-15
    )
    np.testing.assert_array_equal(demand.below_kwh[:, -1], demand.kwh)
    np.testing.assert_allclose(demand.minutes_kwh.sum(axis=1), demand.kwh, rtol=0, atol=1e-9)


def test_a_home_is_the_same_every_time_and_another_seed_is_another():
    home = Home(yearly_kwh=3200.0, day="out", occupants=3.0)
    np.testing.assert_array_equal(demand_year(home).kwh, demand_year(home).kwh)
    np.testing.assert_array_equal(demand_year(home).kwh, demand_year(home, 1).kwh)
    assert np.any(demand_year(home).kwh != demand_year(home, 2).kwh)


def test_more_at_home_means_more_use_in_working_hours():
    working = WEEKDAY & (HOUR >= 9) & (HOUR < 16)
    out, half, in_ = (share(MEAN[day], working) for day in KINDS)
    assert out < half < in_


def test_a_home_left_empty_uses_more_in_mornings_and_evenings():
    ends = WEEKDAY & (((HOUR >= 6) & (HOUR < 8)) | ((HOUR >= 18) & (HOUR < 22)))
    assert share(MEAN["out"], ends) > share(MEAN["half"], ends)


def test_weekends_are_the_same_for_every_kind_of_home():
    hours = [
        np.bincount(HOUR[CALENDAR.weekend], weights=MEAN[day][CALENDAR.weekend]) for day in KINDS
    ]
    np.testing.assert_allclose(hours[0], hours[1], rtol=0.08)
    np.testing.assert_allclose(hours[2], hours[1], rtol=0.08)


def test_a_kind_of_day_moves_energy_within_the_day_only():
    for weekend in (False, True):
        out, half, in_ = (share(MEAN[day], CALENDAR.weekend == weekend) for day in KINDS)
        assert out == pytest.approx(half, rel=0.01)
        assert in_ == pytest.approx(half, rel=0.01)


def test_one_day_differs_from_the_next():
    year = demand_year(Home())
    ordinary = np.bincount(CALENDAR.day) == 48
    daily = np.bincount(CALENDAR.day, weights=year.kwh)[ordinary]
    assert 0.15 < daily.std() / daily.mean() < 0.5
    noon = year.kwh[(HOUR == 12) & WEEKDAY]
    assert np.quantile(noon, 0.9) > 3 * np.quantile(noon, 0.1)


# Source: UK household reference notes, from memory: national half-hourly domestic profiles use
# about 17 to 18 % between 23:00 and 06:00.
def test_the_night_uses_about_17_percent():
    night = (HOUR >= 23) | (HOUR < 6)
    assert share(MEAN["half"], night) == pytest.approx(0.17, abs=0.005)
    for day in KINDS:
        assert share(MEAN[day], night) == pytest.approx(0.17, abs=0.015)


def test_winter_uses_more_than_summer():
    daily = np.bincount(CALENDAR.month, weights=MEAN["half"]) / np.bincount(CALENDAR.month)
    assert MONTHS[int(np.argmax(daily))] in ("dec", "jan")
    assert MONTHS[int(np.argmin(daily))] in ("jun", "jul", "aug")


def test_more_people_on_the_same_bill_switch_on_more_and_leave_less_on():
    one, five = (demand_year(Home(yearly_kwh=3000.0, occupants=people)) for people in (1.0, 5.0))
    assert one.minutes_kwh.min() > five.minutes_kwh.min()


@pytest.mark.parametrize("bad", [-0.1, np.nan])
def test_a_negative_or_missing_minute_is_refused(bad):
    minutes = np.full((2, 30), 0.01)
    minutes[1, 4] = bad
    with pytest.raises(ValueError, match="demand must be zero or more in every minute"):
        Demand.of_minutes(minutes)


@pytest.mark.parametrize("day", KINDS)
def test_the_notes_say_what_the_share_used_at_home_rests_on(day):
    beside_homes, beside_sap, kind = demand_notes(Home(day=day))
    assert "37 %" in beside_homes
    assert "Appendix M" in beside_sap
    assert "Cloud" in beside_sap
    assert kind.startswith("Weekdays follow a ")
