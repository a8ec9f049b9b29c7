"""Days of a month against the published distribution of daily clearness."""

import numpy as np
import pytest

from pvkit.sky.clearness import brightest_day, days_by_rank
from pvkit.tables import constant
from tests.sky.test_region import MONTH, REGIONS, daily_clearness, year

# Source: brightest day of Hollands & Huget 1983; quantiles of Bendt, Collares-Pereira & Rabl 1981
# with gamma solved so that the month's mean is exact. Recomputed from the published equations by
# another program; rounded to 0.001 (quantiles) and 0.0001 (brightest day).
BENDT = "Bendt, Collares-Pereira & Rabl 1981, Solar Energy 27; "
HUGET = "Hollands & Huget 1983, Solar Energy 30; brightest day"
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


@pytest.mark.parametrize(("mean", "brightest"), BRIGHTEST.items())
def test_the_brightest_day_is_the_published_one(mean, brightest, published):
    published("clearness of a month's brightest day", HUGET, brightest_day(mean), brightest, "",
              "recomputed", 6e-5)  # fmt: skip


@pytest.mark.parametrize(("mean", "quantiles"), DAYS.items())
def test_quantiles_are_the_published_ones(mean, quantiles, published):
    many = 1000
    days = days_by_rank(mean, many, brightest_day(mean))
    shares = (np.arange(many) + 0.5) / many
    published("quantiles of daily clearness", BENDT + "distribution", np.interp(
        QUANTILES, shares, days), quantiles, "", "recomputed", 6e-4)  # fmt: skip


# Source: as above: 31 mid-quantiles average back to the month's mean within 0.0003.
@pytest.mark.parametrize("mean", DAYS)
def test_a_months_days_average_back_to_its_mean(mean, published):
    ours = days_by_rank(mean, 31, brightest_day(mean)).mean()
    published("mean of a month's 31 days", BENDT + "distribution", ours, mean, "", "recomputed",
              3e-4)  # fmt: skip


# Agreement: the published fit gives the mean to 0.0016; solving gives it exactly, so the two
# curves differ by no more than 0.012 anywhere.
@pytest.mark.parametrize(("mean", "gamma"), FITTED_GAMMA.items())
def test_the_solved_curve_lies_by_the_published_fit(mean, gamma, published):
    brightest = brightest_day(mean)
    shares = (np.arange(31) + 0.5) / 31
    ends = np.exp(gamma * LOWEST), np.exp(gamma * brightest)
    fitted = np.log(ends[0] - shares * (ends[0] - ends[1])) / gamma
    published("31 days of a month, solved against fitted", BENDT + "fit of gamma", days_by_rank(
        mean, 31, brightest), fitted, "", "recomputed", 0.012)  # fmt: skip


# The built-in year, month by month, in every region: days dullest first against the curve of the
# month's own mean. In a British winter a cloudless day is duller than the curve's brightest, so the
# built-in year, which lets no day be brighter than a cloudless one, leaves the curve at that end:
# by 0.15 from November to February, and by up to 0.22 in December.
SEASONS = {
    "April to September": ((3, 4, 5, 6, 7, 8), 0.05),
    "March and October": ((2, 9), 0.09),
    "November to February": ((10, 11, 0, 1), 0.23),
}


@pytest.mark.parametrize("season", SEASONS)
def test_the_built_in_years_days_spread_as_the_published_curve(season, published):
    months, within = SEASONS[season]
    for region in REGIONS:
        clearness = daily_clearness(year(region))
        for month in months:
            days = np.sort(clearness[month == MONTH])
            curve = days_by_rank(days.mean(), len(days), brightest_day(days.mean()))
            published(f"days of each month, all regions, {season}", BENDT + "distribution", days,
                      curve, "", "recomputed", within)  # fmt: skip


# Source: Graham & Hollands 1990: a Gaussian series of first order, memory about 0.29 (from memory).
def test_bright_days_follow_bright_days_as_often_as_published(published):
    source = "Graham & Hollands 1990, Solar Energy 44; memory of daily clearness"
    published("memory of daily clearness", source, constant("region.day_memory"), 0.29, "",
              "from memory", 0.005)  # fmt: skip
    for region in REGIONS:
        clearness = daily_clearness(year(region))
        mean = np.array([clearness[month == MONTH].mean() for month in range(12)])
        away = clearness - mean[MONTH]
        same = MONTH[1:] == MONTH[:-1]
        ours = (away[1:] * away[:-1])[same].mean() / away.var()
        published.between("yesterday's brightness carried over, all regions", source, ours, 0.2,
                          0.35, "", "from memory")  # fmt: skip
