import numpy as np
import pandas as pd
import pytest

from pvkit.home.calendar import local_calendar
from pvkit.tables import constant

CALENDAR = local_calendar()
YEAR = int(constant("calendar.year"))


def local_day(month, day):
    return pd.Timestamp(YEAR, month, day).day_of_year - 1


def clock_of(month, day):
    return CALENDAR.half_hour[CALENDAR.day == local_day(month, day)].tolist()


# Source: Great Britain's electricity settlement body, clock-change notice: 46 periods on the last
# Sunday of March, 50 on the last Sunday of October, 48 on all other days.
def test_clock_change_days_have_46_and_50_half_hours_and_the_rest_48():
    counts = np.bincount(CALENDAR.day)
    assert len(counts) == 365
    assert counts[local_day(3, 30)] == 46
    assert counts[local_day(10, 26)] == 50
    assert np.count_nonzero(counts == 48) == 363


def test_the_hour_from_one_is_skipped_in_march():
    assert clock_of(3, 30) == [0, 1, *range(4, 48)]


def test_the_hour_from_one_comes_twice_in_october():
    assert clock_of(10, 26) == [0, 1, 2, 3, 2, 3, *range(4, 48)]


def test_summer_clock_is_one_hour_ahead_of_utc_and_winter_clock_is_not():
    utc = np.arange(17520) % 48
    july, january = CALENDAR.month == 6, CALENDAR.month == 0
    assert np.all((CALENDAR.half_hour - utc)[july] % 48 == 2)
    assert np.all((CALENDAR.half_hour - utc)[january] == 0)


def test_the_year_has_its_months_and_weekends():
    days = pd.date_range(f"{YEAR}-01-01", f"{YEAR}-12-31")
    first = np.unique(CALENDAR.day, return_index=True)[1]
    np.testing.assert_array_equal(CALENDAR.month[first], days.month - 1)
    np.testing.assert_array_equal(CALENDAR.weekend[first], days.day_of_week >= 5)


def test_the_shared_calendar_cannot_be_written_to():
    with pytest.raises(ValueError, match="read-only"):
        CALENDAR.half_hour[0] = 1
