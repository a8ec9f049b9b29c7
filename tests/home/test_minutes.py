import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvkit.home import minutes
from pvkit.home.appliances import appliances
from pvkit.home.calendar import local_calendar
from pvkit.home.minute_kernel import added_up, sums_from_low
from pvkit.home.minutes import minute_year
from pvkit.home.occupancy import at_home_year
from pvkit.site.household import Home
from pvkit.tables import constant

CALENDAR = local_calendar()
HOUR = CALENDAR.half_hour // 2
KINDS = ("out", "half", "in")
# Source: UK homes are connected by a main fuse of 60 to 100 A, common practice; at 230 V:
LARGEST_SUPPLY_KW = 23.0


@settings(max_examples=25, deadline=None)
@given(
    yearly_kwh=st.floats(100.0, 50000.0),
    day=st.sampled_from(KINDS),
    occupants=st.floats(1.0, 20.0),
)
def test_the_year_sums_to_the_bill_and_something_is_always_on(yearly_kwh, day, occupants):
    year = minute_year(Home(yearly_kwh=yearly_kwh, day=day, occupants=occupants), 1)
    assert year.shape == (17520, 30)
    assert year.sum() == pytest.approx(yearly_kwh, rel=1e-12)
    assert year.min() > 0.05 * year.mean()


def test_the_same_seed_gives_the_same_year_and_another_another():
    home = Home(yearly_kwh=3000.0)
    first, again, other = minute_year(home, 1), minute_year(home, 1), minute_year(home, 2)
    np.testing.assert_array_equal(first, again)
    assert np.abs(first - other).max() * 60 > 1.0


@pytest.mark.parametrize("day", KINDS)
def test_a_homes_power_stays_within_its_supply(day):
    peaks = []
    for seed in range(10):
        kw = minute_year(Home(yearly_kwh=4000.0, day=day), seed) * 60
        peaks.append(kw.max())
        assert np.mean(kw > 12.0) < 1e-4  # the shower, the oven and the kettle all at once
    print(f"\n{day}: highest minute of ten years {np.round(sorted(peaks), 1)} kW")
    assert max(peaks) < LARGEST_SUPPLY_KW


def test_a_home_without_an_electric_shower_peaks_below_12_kw(monkeypatch):
    dry = tuple(item for item in appliances() if item.name != "electric shower")
    monkeypatch.setattr(minutes, "appliances", lambda: dry)
    assert max(minute_year(Home(yearly_kwh=4000.0), seed).max() for seed in range(10)) * 60 < 12.0


def test_a_little_more_use_is_the_same_year_with_a_few_runs_more():
    kw = [minute_year(Home(yearly_kwh=kwh), 1) * 60 for kwh in (3000.0, 3003.0)]
    changed = np.abs(kw[1] - kw[0]) > 0.05
    assert 0 < changed.mean() < 0.005


def test_a_longer_list_of_runs_begins_with_the_shorter():
    kettle = appliances()[0]
    few, many = (minutes._draws(kettle, "half", 1, runs) for runs in (64, 1024))
    for name in ("middle", "length", "length_so_far"):
        np.testing.assert_array_equal(getattr(few, name), getattr(many, name)[:64])


@given(
    st.lists(st.tuples(st.floats(0, 1000), st.floats(0, 90)), min_size=1, max_size=40),
)
def test_runs_that_wait_for_each_other_never_overlap_and_never_come_early(runs):
    middle, length = np.array(runs).T
    order = np.argsort(middle)
    start = minutes._one_after_another(middle - length / 2, length, order)
    assert np.all(start >= middle - length / 2 - 1e-9)
    end = (start + length)[order]
    assert np.all(start[order][1:] >= end[:-1] - 1e-9)


def test_a_run_that_has_the_appliance_to_itself_does_not_wait():
    start, length = np.array([100.0, 0.0, 200.0]), np.array([50.0, 20.0, 5.0])
    order = np.array([1, 0, 2])
    np.testing.assert_allclose(minutes._one_after_another(start, length, order), start)


@settings(deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(-100, 400), st.floats(0, 119), st.floats(0, 9)),
        min_size=1,
        max_size=20,
    ),
    st.floats(0, 1),
)
def test_spans_of_power_add_up_to_the_mean_of_every_minute(spans, steady):
    start, length, kw = (np.ascontiguousarray(column) for column in np.array(spans).T)
    year = 120
    expected = np.full(year, steady)
    for begin, long, power in zip(start % year, length, kw, strict=True):
        for turn in (0, year):
            low = np.clip(begin - turn, 0, year)
            high = np.clip(begin + long - turn, 0, year)
            edges = np.arange(year)
            expected += power * np.clip(np.minimum(high, edges + 1) - np.maximum(low, edges), 0, 1)
    found = added_up(start, length, kw, steady, year)
    np.testing.assert_allclose(found, expected, rtol=0, atol=1e-9)


def test_sums_from_low_are_those_of_the_sorted_values():
    values = np.sort(np.random.default_rng(1).uniform(0, 1, (7, 30)), axis=1)
    below = sums_from_low(values)
    np.testing.assert_allclose(np.diff(below, axis=1), values, rtol=0, atol=1e-12)
    assert not below[:, 0].any()


def test_the_fridge_comes_on_about_once_an_hour_by_night_and_by_day():
    fridge = minutes._fridge(1.0, 1)
    kwh = (fridge.kw * fridge.length).sum() / 60
    assert kwh == pytest.approx(constant("demand.fridge_kwh"), rel=1e-9)
    assert 20 < len(fridge.start) / 365 < 36
    assert np.all(fridge.start[1:] >= (fridge.start + fridge.length)[:-1])
    hours = np.bincount((fridge.start % 1440 // 60).astype(int), minlength=24)
    assert hours.min() > 0.8 * hours.mean()


def test_a_home_left_alone_uses_what_is_always_on_its_fridge_and_little_else():
    empty_days = np.flatnonzero(np.bincount(CALENDAR.day, weights=at_home_year("half", 1)) == 0)
    year = minute_year(Home(yearly_kwh=3000.0), 1).sum(axis=1)
    daily = np.bincount(CALENDAR.day, weights=year)
    assert daily[empty_days].mean() < 0.65 * daily.mean()


# Source: clock changes of 30 March and 26 October 2025.
@pytest.mark.parametrize("change", [88, 298])
def test_habits_keep_the_local_clock_over_the_change(change):
    """The mornings of the weeks before and after start at the same time on the wall."""
    years = sum(minute_year(Home(day="out"), seed).sum(axis=1) for seed in range(40))
    weeks = []
    for first in (change - 7, change + 1):
        week = (CALENDAR.day >= first) & (CALENDAR.day < first + 5 + 2) & ~CALENDAR.weekend
        use = np.bincount(CALENDAR.half_hour[week], weights=years[week], minlength=48)
        rise = np.cumsum(use[8:20])
        weeks.append(np.interp(0.5, rise / rise[-1], np.arange(8, 20)))
    assert weeks[0] == pytest.approx(weeks[1], abs=0.5)


def test_the_change_days_hold_their_23_and_25_hours():
    daily = np.mean(
        [
            np.bincount(CALENDAR.day, weights=minute_year(Home(), seed).sum(axis=1))
            for seed in range(40)
        ],
        axis=0,
    )
    for change, hours in ((88, 23), (298, 25)):
        near = (daily[change - 7] + daily[change + 7]) / 2
        assert daily[change] / near == pytest.approx(hours / 24, abs=0.08)
