"""Days of a month against the published distribution of daily clearness."""

import numpy as np
import pytest

from pvkit.sky.clearness import brightest_day, days_by_rank

# Source: brightest day of Hollands & Huget 1983; quantiles of Bendt, Collares-Pereira & Rabl 1981
# with gamma solved so that the month's mean is exact. Recomputed from the published equations by
# another program; rounded to 0.001 (quantiles) and 0.0001 (brightest day).
BRIGHTEST = {0.30: 0.6914, 0.35: 0.7170, 0.40: 0.7354, 0.45: 0.7507, 0.50: 0.7646, 0.60: 0.7915}
QUANTILES = (0.1, 0.25, 0.5, 0.75, 0.9)
DAYS = {
    0.3: (0.086, 0.147, 0.269, 0.434, 0.571),
    0.4: (0.123, 0.230, 0.404, 0.572, 0.671),
    0.5: (0.200, 0.359, 0.539, 0.666, 0.728),
}
# The published fit of gamma: -1.498 + [1.184 xi - 27.182 exp(-1.5 xi)] / (Kmax - Kmin).
FITTED_GAMMA = {0.30: -2.1004, 0.40: 0.1821, 0.50: 2.3142}
LOWEST = 0.05


@pytest.mark.parametrize(("mean", "published"), BRIGHTEST.items())
def test_the_brightest_day_is_the_published_one(mean, published):
    assert brightest_day(mean) == pytest.approx(published, abs=6e-5)


@pytest.mark.parametrize(("mean", "published"), DAYS.items())
def test_quantiles_are_the_published_ones(mean, published):
    many = 1000
    days = days_by_rank(mean, many, brightest_day(mean))
    shares = (np.arange(many) + 0.5) / many
    assert np.interp(QUANTILES, shares, days) == pytest.approx(published, abs=6e-4)


# Source: as above: 31 mid-quantiles average back to the month's mean within 0.0003.
@pytest.mark.parametrize("mean", DAYS)
def test_a_months_days_average_back_to_its_mean(mean):
    assert days_by_rank(mean, 31, brightest_day(mean)).mean() == pytest.approx(mean, abs=3e-4)


# Agreement: the published fit gives the mean to 0.0016; solving gives it exactly, so the two
# curves differ by no more than 0.012 anywhere.
@pytest.mark.parametrize(("mean", "gamma"), FITTED_GAMMA.items())
def test_the_solved_curve_lies_by_the_published_fit(mean, gamma):
    brightest = brightest_day(mean)
    shares = (np.arange(31) + 0.5) / 31
    ends = np.exp(gamma * LOWEST), np.exp(gamma * brightest)
    fitted = np.log(ends[0] - shares * (ends[0] - ends[1])) / gamma
    assert days_by_rank(mean, 31, brightest) == pytest.approx(fitted, abs=0.012)
