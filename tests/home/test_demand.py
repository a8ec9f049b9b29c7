import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvkit.home.calendar import local_calendar
from pvkit.home.demand import demand_notes, demand_year
from pvkit.site.household import Home
from pvkit.tables import MONTHS, rows

CALENDAR = local_calendar()
HOUR = CALENDAR.half_hour // 2
WEEKDAY = ~CALENDAR.weekend
KINDS = ("out", "half", "in")


def share(values, where):
    return values[where].sum() / values.sum()


@given(yearly_kwh=st.floats(100.0, 50000.0), day=st.sampled_from(KINDS))
def test_the_year_sums_to_the_bill_and_is_never_negative(yearly_kwh, day):
    demand = demand_year(Home(yearly_kwh=yearly_kwh, day=day))
    assert demand.shape == (17520,)
    assert demand.sum() == pytest.approx(yearly_kwh, rel=1e-12)
    assert demand.min() > 0.0


def test_more_at_home_means_more_use_in_working_hours():
    working = WEEKDAY & (HOUR >= 9) & (HOUR < 16)
    out, half, in_ = (share(demand_year(Home(day=day)), working) for day in KINDS)
    assert out < half < in_


def test_a_home_left_empty_uses_more_in_mornings_and_evenings():
    ends = WEEKDAY & (((HOUR >= 6) & (HOUR < 8)) | ((HOUR >= 18) & (HOUR < 22)))
    out, half = (share(demand_year(Home(day=day)), ends) for day in ("out", "half"))
    assert out > half


def test_weekends_are_the_same_for_every_kind_of_home():
    out, half, in_ = (demand_year(Home(day=day))[CALENDAR.weekend] for day in KINDS)
    np.testing.assert_allclose(out, half, rtol=1e-3)
    np.testing.assert_allclose(in_, half, rtol=1e-3)


def test_a_kind_of_day_moves_energy_within_the_day_only():
    daily = [np.bincount(CALENDAR.day, weights=demand_year(Home(day=day))) for day in KINDS]
    ordinary = np.bincount(CALENDAR.day) == 48
    np.testing.assert_allclose(daily[0][ordinary], daily[1][ordinary], rtol=1e-3)
    np.testing.assert_allclose(daily[2][ordinary], daily[1][ordinary], rtol=1e-3)


def test_half_an_occupied_day_is_the_published_shape_with_a_flat_part():
    demand = demand_year(Home(yearly_kwh=1000.0, day="half"))
    july = (CALENDAR.month == 6) & (CALENDAR.day == CALENDAR.day[CALENDAR.month == 6][0])
    table = rows("domestic_electricity_half_hour_by_month.csv")
    published = np.array([float(row["jul"]) for row in table])
    np.testing.assert_allclose(demand[july], 0.65 * published + 0.35 * 1000 / 17520, rtol=2e-4)


# Source: UK household reference notes, from memory: national half-hourly domestic profiles use
# about 17 to 18 % between 23:00 and 06:00. The published composite alone has 10 %.
def test_the_flat_part_brings_the_night_to_about_17_percent():
    night = share(demand_year(Home(day="half")), (HOUR >= 23) | (HOUR < 6))
    assert night == pytest.approx(0.17, abs=0.005)


def test_winter_uses_more_than_summer():
    demand = demand_year(Home())
    daily = np.bincount(CALENDAR.month, weights=demand) / np.bincount(CALENDAR.month)
    assert MONTHS[int(np.argmax(daily))] in ("dec", "jan")
    assert MONTHS[int(np.argmin(daily))] in ("jun", "jul")


def test_demand_follows_the_local_clock_over_the_march_change():
    demand = demand_year(Home())
    days = [CALENDAR.day == day for day in (87, 89)]  # 29 and 31 March
    clock = [CALENDAR.half_hour[day][np.argmax(demand[day])] for day in days]
    assert clock[0] == clock[1]


@pytest.mark.parametrize("day", KINDS)
def test_the_notes_say_that_the_share_used_at_home_is_too_high(day):
    first, second = demand_notes(Home(day=day))
    assert "too high" in first
    assert second.startswith("Weekdays follow a ")
