import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvkit.home.calendar import local_calendar
from pvkit.home.water import draw_year, standing_loss_kwh_per_day, water_year
from pvkit.site.household import HotWater

CALENDAR = local_calendar()


# Source: UK trade reference: heat to bring a store from 15 to 65 degC, printed to 0.1 kWh.
@pytest.mark.parametrize(("litres", "kwh"), [(120.0, 7.0), (150.0, 8.7), (210.0, 12.2)])
def test_a_full_cylinder_holds_the_heat_of_its_litres(litres, kwh):
    water = water_year(HotWater(cylinder_litres=litres), occupants=2.0)
    capacity = water.top_kwh_per_k + water.bottom_kwh_per_k
    assert capacity * 50.0 == pytest.approx(kwh, abs=0.06)


@settings(max_examples=20)
@given(occupants=st.floats(1.0, 20.0))
def test_every_local_day_draws_its_months_litres_on_clock_change_days_too(occupants):
    daily = np.bincount(CALENDAR.day, weights=draw_year(occupants))
    month_of_day = CALENDAR.month[np.unique(CALENDAR.day, return_index=True)[1]]
    for month in range(12):
        days = daily[month_of_day == month]
        np.testing.assert_allclose(days, days[0], rtol=1e-12)


def test_weekend_mornings_start_later():
    draw, hour = draw_year(2.0), CALENDAR.half_hour // 2
    early, late = (hour >= 6) & (hour < 8), (hour >= 8) & (hour < 11)
    weekday, weekend = ~CALENDAR.weekend, CALENDAR.weekend
    assert draw[weekday & early].sum() / draw[weekday].sum() > 0.2
    assert draw[weekend & late].sum() / draw[weekend].sum() > 0.29


@given(
    litres=st.floats(50.0, 900.0),
    insulation_mm=st.floats(5.0, 190.0),
)
def test_a_bigger_cylinder_loses_more_and_a_thicker_coat_less(litres, insulation_mm):
    loss, bigger, thicker = (
        standing_loss_kwh_per_day(HotWater(cylinder_litres=v, insulation_mm=mm))
        for v, mm in (
            (litres, insulation_mm),
            (litres * 1.1, insulation_mm),
            (litres, insulation_mm + 10.0),
        )
    )
    assert bigger > loss > thicker > 0.0


def test_the_standing_loss_of_a_day_comes_out_at_the_test_difference():
    hot_water = HotWater(cylinder_litres=210.0)
    water = water_year(hot_water, occupants=2.0)
    held = (water.top_kwh_per_k + water.bottom_kwh_per_k) * 45.0
    assert 48 * held * water.loss_fraction == pytest.approx(standing_loss_kwh_per_day(hot_water))


def test_the_lower_element_comes_first_and_a_second_one_is_the_upper():
    one, two = (water_year(HotWater(immersion_kw=kw), 2.0) for kw in ((2.8,), (2.8, 1.0)))
    assert (one.lower_kwh, one.upper_kwh) == (pytest.approx(1.4), 0.0)
    assert (two.lower_kwh, two.upper_kwh) == (pytest.approx(1.4), pytest.approx(0.5))


# Source: SAP 10.2 Table J1, cold feed from the main: 8.0 in January, 18.4 in July, 8.5 in December.
def test_the_cold_feed_is_that_of_its_month():
    cold = water_year(HotWater(), occupants=2.0).cold_degc
    for month, degc in ((0, 8.0), (6, 18.4), (11, 8.5)):
        assert set(cold[CALENDAR.month == month]) == {degc}


def test_a_boost_runs_by_the_local_clock_past_midnight_too():
    boosts = ({"start": "23:30", "end": "00:30"}, {"start": "05:00", "end": "06:00"})
    water = water_year(HotWater(boost=boosts, immersion_kw=(2.8, 2.0)), occupants=2.0)
    assert set(CALENDAR.half_hour[water.boost_kwh > 0.0]) == {47, 0, 10, 11}
    assert water.boost_kwh.max() == pytest.approx(1.0)  # the upper element


def test_the_boilers_timer_runs_by_the_local_clock():
    on = water_year(HotWater(), occupants=2.0).boiler_kwh > 0.0
    assert set(CALENDAR.half_hour[on]) == {12, 13, 14, 15, 34, 35, 36, 37}
    assert on.sum() == 365 * 8
