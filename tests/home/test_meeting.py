"""Solar energy and demand meet within the half-hour: beside every minute counted one by one."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvkit.home.demand import Demand, demand_year
from pvkit.home.flows import life_flows, year_flows
from pvkit.home.household import Household
from pvkit.home.solar import Solar
from pvkit.home.water import water_year
from pvkit.site.household import Home, HotWater

RESIDUAL_KWH = 1e-9
EASY = settings(max_examples=150, deadline=None)
WATER = water_year(HotWater(diverter=True), occupants=2.4)
# A cylinder that never fills and always stays warm: it takes all that its element can.
THIRSTY = replace(WATER, element_set_degc=1e9)


@st.composite
def meetings(draw):
    """A few half-hours of sun and minutes, with ties, zeros and suns equal to a minute."""
    steps = draw(st.integers(1, 40))
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    minutes = draw(st.floats(0.001, 0.2)) * rng.integers(0, 6, (steps, 30)) ** 2 / 25
    solar = draw(st.floats(0.0, 4.0)) * rng.uniform(0, 1, steps) * (rng.uniform(0, 1, steps) > 0.2)
    same = rng.uniform(0, 1, steps) > 0.8
    solar[same] = 30 * minutes[same, 7]
    return solar, minutes


def one_by_one(solar, minutes):
    """Direct use of each half-hour, minute by minute [kWh]."""
    return np.array(
        [
            sum(min(sun / 30, use) for use in half_hour)
            for sun, half_hour in zip(solar, minutes, strict=True)
        ]
    )


@EASY
@given(meetings())
def test_direct_use_is_the_lower_of_solar_and_demand_in_every_minute(meeting):
    solar, minutes = meeting
    flows = year_flows(solar, Household(Demand.of_minutes(minutes)))
    expected = one_by_one(solar, minutes)
    np.testing.assert_allclose(flows.direct_kwh, expected, rtol=0, atol=RESIDUAL_KWH)
    surplus = np.clip(solar[:, None] / 30 - minutes, 0, None).sum(axis=1)
    shortfall = np.clip(minutes - solar[:, None] / 30, 0, None).sum(axis=1)
    np.testing.assert_allclose(flows.export_kwh, surplus, rtol=0, atol=RESIDUAL_KWH)
    np.testing.assert_allclose(flows.import_kwh, shortfall, rtol=0, atol=RESIDUAL_KWH)


@EASY
@given(meetings(), st.floats(0.01, 4.0), st.floats(0.0, 0.2))
def test_the_elements_take_each_minutes_surplus_up_to_their_power(meeting, element_kw, margin_kw):
    solar, minutes = meeting
    part = slice(0, len(solar))
    water = replace(
        THIRSTY,
        draw_kwh=WATER.draw_kwh[part],
        cold_degc=WATER.cold_degc[part],
        boiler_kwh=WATER.boiler_kwh[part],
        boost_kwh=WATER.boost_kwh[part],
        lower_kwh=element_kw / 2,
        margin_kwh=margin_kw / 2,
    )
    flows = year_flows(solar, Household(Demand.of_minutes(minutes), water))
    left = solar[:, None] / 30 - minutes - margin_kw / 60
    offered = np.clip(left, 0.0, element_kw / 60).sum(axis=1)
    np.testing.assert_allclose(flows.cylinder_kwh, offered, rtol=0, atol=RESIDUAL_KWH)


@EASY
@given(meetings(), st.lists(st.floats(0.0, 1.0), min_size=1, max_size=30))
def test_years_in_any_order_of_ageing_meet_the_same(meeting, ageing):
    solar, minutes = meeting
    demand = Demand.of_minutes(minutes)
    years = life_flows(solar, Household(demand), np.array(ageing))
    for factor, direct in zip(ageing, years.direct_kwh, strict=True):
        expected = one_by_one(solar * factor, minutes).sum()
        assert direct == pytest.approx(expected, abs=RESIDUAL_KWH)


@EASY
@given(meetings())
def test_the_order_of_the_minutes_does_not_matter(meeting):
    solar, minutes = meeting
    one, other = (
        year_flows(solar, Household(Demand.of_minutes(values))).direct_kwh
        for values in (minutes, minutes[:, ::-1])
    )
    np.testing.assert_array_equal(one, other)


@EASY
@given(meetings())
def test_peaks_and_lulls_never_raise_what_an_even_half_hour_would_use(meeting):
    solar, minutes = meeting
    spiky = year_flows(solar, Household(Demand.of_minutes(minutes))).direct_kwh
    even = year_flows(solar, Household(Demand.even(minutes.sum(axis=1)))).direct_kwh
    np.testing.assert_allclose(
        even, np.minimum(solar, minutes.sum(axis=1)), rtol=0, atol=RESIDUAL_KWH
    )
    assert np.all(spiky <= even + RESIDUAL_KWH)


def test_one_half_hour_may_both_import_and_export():
    kettle = np.where(np.arange(30) < 3, 0.05, 0.005)
    flows = year_flows(np.array([0.5]), Household(Demand.of_minutes(kettle[None, :])))
    assert flows.import_kwh[0] > 0.09
    assert flows.export_kwh[0] > 0.25


def sunny_year(kwp):
    step, day = np.arange(17520) % 48, np.arange(17520) // 48
    bell = np.clip(np.sin((step - 13) / 22 * np.pi), 0, None) * ((step > 13) & (step < 35))
    return 0.25 * kwp * bell * (0.75 - 0.5 * np.cos(2 * np.pi * day / 365))


# A slider that is moved a little may move the answer only a little: no jumps, no turning back.
@pytest.mark.parametrize("water", [None, WATER], ids=["no cylinder", "diverter"])
def test_more_yearly_use_always_means_more_used_at_home_and_never_a_jump(water):
    yearly = np.arange(2000.0, 4000.0, 25.0)
    solar = sunny_year(2.6)
    flows = [
        year_flows(solar, Household(demand_year(Home(yearly_kwh=kwh)), water)) for kwh in yearly
    ]
    direct = np.array([year.direct_kwh.sum() for year in flows])
    per_kwh = np.diff(direct) / np.diff(yearly)
    print(f"\nof each kWh more, used directly: {per_kwh.min():.3f} to {per_kwh.max():.3f}")
    assert np.all((per_kwh > 0.0) & (per_kwh < 1.0))
    assert np.abs(np.diff(direct, 2)).max() < 0.15 * 25.0
    if water is not None:
        taken = np.array([year.cylinder_kwh.sum() for year in flows])
        assert np.all(np.diff(taken) < 0.0)


def test_more_people_on_the_same_bill_never_make_a_jump():
    people, solar = np.arange(1.0, 6.0, 0.1), sunny_year(2.6)
    direct = np.array(
        [
            year_flows(solar, Household(demand_year(Home(occupants=some)))).direct_kwh.sum()
            for some in people
        ]
    )
    assert np.abs(np.diff(direct, 2)).max() < 0.005 * direct.mean()


@EASY
@given(meetings(), st.floats(0.05, 0.95), st.floats(0.0, 1.0))
def test_cloud_within_the_half_hour_is_met_minute_by_minute_too(meeting, share, how_bright):
    solar, minutes = meeting
    bright = 1.0 + how_bright * (1.0 / share - 1.0)
    dim = (1.0 - share * bright) / (1.0 - share)
    n = len(solar)
    broken = Solar(solar, np.full(n, share), np.full(n, bright), np.zeros(n))
    flows = year_flows(broken, Household(Demand.of_minutes(minutes)))
    expected = share * one_by_one(solar * bright, minutes)
    expected += (1.0 - share) * one_by_one(solar * dim, minutes)
    np.testing.assert_allclose(flows.direct_kwh, expected, rtol=0, atol=RESIDUAL_KWH)
    even = year_flows(solar, Household(Demand.of_minutes(minutes)))
    assert np.all(flows.direct_kwh <= even.direct_kwh + RESIDUAL_KWH)
