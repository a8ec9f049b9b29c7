"""Days from a month's mean: what must hold whatever the month."""

import numpy as np
import pandas as pd
import pvlib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvkit.sky.clearness import brightest_day, clear_sky, days_by_rank, order_of_days, scaled_below
from pvkit.sky.month_days import smooth_days

MONTH = np.repeat(np.arange(12), [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])


@given(mean=st.floats(0.15, 0.65), days=st.integers(28, 31))
def test_days_grow_brighter_between_the_dullest_and_the_brightest_and_keep_the_mean(mean, days):
    spread = days_by_rank(mean, days, brightest_day(mean))
    assert np.all(np.diff(spread) > 0)
    assert 0.05 <= spread[0] < spread[-1] <= brightest_day(mean)
    # Middles of equal shares stand for a smooth curve: their mean is a little off.
    assert spread.mean() == pytest.approx(mean, abs=2e-3)


def test_an_even_spread_is_no_trap():
    brightest = 0.75
    even = days_by_rank((0.05 + brightest) / 2, 5, brightest)
    assert even == pytest.approx([0.12, 0.26, 0.40, 0.54, 0.68])


# Source: Haurwitz 1945 as pvlib has it. Agreement: exact.
def test_cloudless_light_is_haurwitzs():
    zenith = pd.Series([0.0, 30.0, 60.0, 80.0, 89.0, 95.0])
    ours = clear_sky(np.maximum(np.cos(np.radians(zenith.to_numpy())), 0.0))
    assert ours == pytest.approx(pvlib.clearsky.haurwitz(zenith)["ghi"].to_numpy(), abs=1e-9)


def test_the_order_of_days_remembers_yesterday():
    score = order_of_days(20000, np.random.default_rng(1))
    assert np.corrcoef(score[1:], score[:-1])[0, 1] == pytest.approx(0.29, abs=0.02)
    assert score.std() == pytest.approx(1.0, abs=0.02)


@given(total=st.floats(0.01, 5.9))
def test_scaling_meets_its_total_and_its_ceiling(total):
    shape = np.array([[1.0, 2.0, 3.0, 0.5]])
    ceiling = np.array([[1.0, 1.0, 2.0, 2.0]])
    made = scaled_below(shape, ceiling, np.ones((1, 4)), np.array([total]))
    assert made.sum() == pytest.approx(total, rel=1e-12)
    assert np.all(made <= ceiling * (1 + 1e-9))


def test_smooth_days_keep_every_month_and_do_not_jump():
    monthly = np.array([4.3, 4.8, 6.6, 9.0, 11.8, 14.8, 16.6, 16.5, 14.0, 10.5, 7.1, 4.2])
    days = smooth_days(monthly, MONTH)
    means = [days[month == MONTH].mean() for month in range(12)]
    assert means == pytest.approx(monthly, abs=1e-12)
    assert np.abs(np.diff(np.append(days, days[0]))).max() < 0.2
