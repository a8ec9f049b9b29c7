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
    assert water.capacity_kwh_per_k * 50.0 == pytest.approx(kwh, abs=0.06)


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
    held = water.capacity_kwh_per_k * 45.0
    assert 48 * held * water.loss_fraction == pytest.approx(standing_loss_kwh_per_day(hot_water))


def test_without_a_diverter_the_elements_take_nothing():
    assert water_year(HotWater(diverter=False), occupants=2.0).element_kwh == 0.0
    two = HotWater(diverter=True, immersion_kw=(2.8, 2.8))
    assert water_year(two, occupants=2.0).element_kwh == pytest.approx(2.8)


def test_the_boilers_timer_runs_by_the_local_clock():
    on = water_year(HotWater(), occupants=2.0).boiler_kwh > 0.0
    assert set(CALENDAR.half_hour[on]) == {12, 13, 14, 15, 34, 35, 36, 37}
    assert on.sum() == 365 * 8
