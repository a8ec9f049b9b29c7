import numpy as np
import pytest

from pvkit.home.calendar import local_calendar
from pvkit.home.occupancy import at_home_year, chance_at_home, stream
from pvkit.tables import constant

CALENDAR = local_calendar()
HOUR = CALENDAR.half_hour // 2
KINDS = ("out", "half", "in")
SEEDS = range(40)


def empty_days(seed):
    """Local days on which nobody is in at any time."""
    days_in = np.bincount(CALENDAR.day, weights=at_home_year("in", seed))
    return np.flatnonzero(days_in == 0)


@pytest.mark.parametrize("day", KINDS)
def test_the_mean_of_many_days_is_the_published_chance(day):
    at_home = np.mean([at_home_year(day, seed) for seed in SEEDS], axis=0)
    away = 2 * constant("demand.away_days") / 365
    for weekend in (False, True):
        for hour in range(24):
            here = (CALENDAR.weekend == weekend) & (hour == HOUR)
            wanted = chance_at_home(day)[here].mean() * (1 - away)
            assert at_home[here].mean() == pytest.approx(wanted, abs=0.02)


def test_a_home_empty_on_working_days_is_in_only_when_one_always_in_would_be():
    assert np.all(at_home_year("out", 3) <= at_home_year("in", 3))


def test_an_ordinary_day_has_at_most_one_absence():
    for day in KINDS:
        at_home = at_home_year(day, 5)
        for local_day in range(7, 60):
            today = at_home[CALENDAR.day == local_day].astype(int)
            assert np.sum(np.diff(today) == -1) <= 1


def test_two_weeks_are_spent_away_one_of_them_in_the_summer_holiday():
    for seed in SEEDS:
        away = empty_days(seed)
        runs = np.lib.stride_tricks.sliding_window_view(np.isin(np.arange(365), away), 7)
        weeks = np.flatnonzero(runs.all(axis=1))
        assert len(away) >= 7
        assert np.any((weeks >= 201) & (weeks < 237))
    assert np.mean([len(empty_days(seed)) for seed in SEEDS]) == pytest.approx(14, abs=4)


def test_comings_and_goings_follow_the_local_clock_over_both_changes():
    march, october = 88, 298  # 30 March and 26 October 2025, both Sundays
    for changed in (march, october):
        for shift in (-1, 1):
            at = at_home_year("out", 9)[CALENDAR.day == changed + 7 * shift]
            assert len(at) == 48
        hours = HOUR[CALENDAR.day == changed]
        chance = chance_at_home("out")[CALENDAR.day == changed]
        for hour in range(24):
            assert len(set(chance[hours == hour])) <= 1
    assert np.bincount(CALENDAR.day)[[march, october]].tolist() == [46, 50]


def test_the_same_seed_gives_the_same_year_and_another_another():
    at_home_year.cache_clear()
    first = at_home_year("half", 1)
    at_home_year.cache_clear()
    np.testing.assert_array_equal(first, at_home_year("half", 1))
    assert np.any(first != at_home_year("half", 2))


def test_one_subjects_numbers_leave_anothers_alone():
    assert stream(1, "kettle").random() != stream(1, "oven").random()
    assert stream(1, "kettle").random() != stream(2, "kettle").random()
