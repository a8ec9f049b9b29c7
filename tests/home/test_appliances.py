import numpy as np
import pytest

from pvkit.home.appliances import appliances, chance_so_far
from pvkit.home.calendar import local_calendar
from pvkit.home.occupancy import at_home_year
from pvkit.tables import MONTHS, rows

CALENDAR = local_calendar()
HOUR = CALENDAR.half_hour // 2
ITEMS = {item.name: item for item in appliances()}
SEEDS = range(30)


def chances(item, day, seeds=SEEDS):
    """Mean chance of a run in each half-hour over several years."""
    years = [np.diff(chance_so_far(item, day, seed), prepend=0.0) for seed in seeds]
    return np.mean(years, axis=0)


def by_hour(values, where=slice(None)):
    sums = np.bincount(HOUR[where], weights=values[where], minlength=24)
    return sums / sums.sum()


def test_every_appliance_is_one_that_could_stand_in_a_home():
    print("\nappliance                          kWh/run  runs/year  kW at most")
    for item in appliances():
        most = item.phase_kw.max()
        print(f"{item.name:33} {item.run_kwh:8.2f} {item.runs_per_year:10.0f} {most:11.2f}")
        assert item.run_kwh * item.runs_per_year == pytest.approx(item.kwh_per_year)
        assert most <= 10.5  # the largest electric shower sold
        assert 1.0 <= item.phase_min.sum() <= 180.0
        assert 0.0 <= item.empty_home_share <= 1.0


# Source: rated powers and cycle energies of ordinary UK appliances, from memory: kettle 2.2 to
# 3 kW, about a tenth of a kWh a boil; washing machine 0.4 to 0.9, tumble dryer 1.5 to 3,
# dishwasher 0.7 to 1.2 kWh a cycle; electric shower 7.5 to 10.5 kW.
@pytest.mark.parametrize(
    ("name", "low_kwh", "high_kwh", "low_kw", "high_kw"),
    [
        ("kettle", 0.08, 0.15, 2.2, 3.0),
        ("washing machine", 0.4, 0.9, 1.8, 2.3),
        ("tumble dryer", 1.5, 3.0, 2.0, 2.8),
        ("dishwasher", 0.7, 1.2, 1.8, 2.3),
        ("electric shower", 0.5, 1.5, 7.5, 10.5),
    ],
)
def test_runs_have_the_power_and_energy_of_real_ones(name, low_kwh, high_kwh, low_kw, high_kw):
    assert low_kwh <= ITEMS[name].run_kwh <= high_kwh
    assert low_kw <= ITEMS[name].phase_kw.max() <= high_kw


# Source: the published tables themselves; the mean home of many years must give them back.
@pytest.mark.parametrize(
    "name", ["kettle", "oven", "hob", "dishwasher", "television, computers, chargers"]
)
def test_the_mean_homes_runs_keep_the_published_hours(name):
    item = ITEMS[name]
    published = np.array([float(row[item.use]) for row in rows("appliance_propensity_by_hour.csv")])
    shares = by_hour(chances(item, "half"))
    np.testing.assert_allclose(shares, published / published.sum(), atol=0.003)


def test_the_mean_homes_lights_keep_the_published_months_but_for_the_weeks_away():
    table, item = rows("lighting_half_hour_by_month.csv"), ITEMS["lights of a room"]
    lit = chances(item, "half")
    here = [CALENDAR.month == month for month in range(12)]
    published = np.array(
        [
            sum(float(row[name]) for row in table) * month.sum()
            for name, month in zip(MONTHS, here, strict=True)
        ]
    )
    away = np.mean([np.repeat(~at_home_days(seed), counts()) for seed in SEEDS], axis=0)
    published *= [1 - (1 - item.empty_home_share) * away[month].mean() for month in here]
    shares = np.array([lit[month].sum() for month in here])
    np.testing.assert_allclose(shares, published / published.sum(), rtol=0.06)


def counts():
    return np.bincount(CALENDAR.day)


def at_home_days(seed):
    """Local days on which somebody is in at some time."""
    return np.bincount(CALENDAR.day, weights=at_home_year("in", seed)) > 0


def test_a_kind_of_day_moves_runs_into_the_hours_with_somebody_in():
    working = (HOUR >= 9) & (HOUR < 16) & ~CALENDAR.weekend
    for name in ("kettle", "hob", "washing machine", "lights of a room"):
        out, half, in_ = (chances(ITEMS[name], day)[working].sum() for day in ("out", "half", "in"))
        assert out < half < in_


@pytest.mark.parametrize("day", ["out", "half", "in"])
def test_weekdays_hold_the_same_part_of_the_year_for_every_kind_of_day(day):
    for item in appliances():
        mean_home = chances(item, "half", range(3))[CALENDAR.weekend].sum()
        assert chances(item, day, range(3))[CALENDAR.weekend].sum() == pytest.approx(mean_home)


def test_nobody_cooks_in_an_empty_home_but_the_washing_goes_on():
    empty = ~at_home_year("out", 1)
    assert np.diff(chance_so_far(ITEMS["kettle"], "out", 1), prepend=0.0)[empty].max() < 1e-15
    assert np.diff(chance_so_far(ITEMS["washing machine"], "out", 1), prepend=0.0)[empty].sum() > 0


def test_the_heating_rests_in_summer_and_by_night():
    pump = chances(ITEMS["heating pump"], "half", range(1))
    assert pump[CALENDAR.month == 6].max() < 1e-15
    assert pump[(HOUR == 23) | (HOUR < 7)].max() < 1e-15
    assert pump[CALENDAR.month == 0].sum() > pump[CALENDAR.month == 9].sum() > 0
