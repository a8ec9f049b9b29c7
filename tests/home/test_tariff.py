import numpy as np
import pytest

from pvkit.home.calendar import local_calendar
from pvkit.home.tariff import import_prices
from pvkit.site.household import Band, Tariff

CALENDAR = local_calendar()
MARCH, OCTOBER = 88, 298  # 30 March and 26 October, as days of the year from 0
NIGHT = Band(name="night", start="00:30", end="05:30", gbp_per_kwh=0.08)


def prices_of(day, *bands):
    tariff = Tariff(import_gbp_per_kwh=0.28, import_bands=bands)
    return import_prices(tariff)[CALENDAR.day == day]


def test_without_bands_the_price_is_flat():
    assert set(import_prices(Tariff(import_gbp_per_kwh=0.26))) == {0.26}


def test_an_ordinary_day_has_the_bands_half_hours():
    prices = prices_of(200, NIGHT)
    assert np.flatnonzero(prices == 0.08).tolist() == list(range(1, 11))


@pytest.mark.parametrize(("day", "count", "cheap"), [(MARCH, 46, 8), (OCTOBER, 50, 12)])
def test_a_night_band_loses_or_gains_an_hour_when_the_clocks_change(day, count, cheap):
    prices = prices_of(day, NIGHT)
    assert len(prices) == count
    assert np.count_nonzero(prices == 0.08) == cheap


def test_a_band_can_pass_midnight():
    prices = prices_of(200, Band(name="late", start="23:00", end="01:00", gbp_per_kwh=0.1))
    assert np.flatnonzero(prices == 0.1).tolist() == [0, 1, 46, 47]


def test_in_summer_the_band_starts_an_hour_earlier_in_utc():
    band = Band(name="peak", start="16:00", end="19:00", gbp_per_kwh=0.4)
    prices = import_prices(Tariff(import_gbp_per_kwh=0.2, import_bands=(band,)))
    january, july = prices[:48], prices[190 * 48 : 191 * 48]
    assert np.flatnonzero(january == 0.4)[0] == 32
    assert np.flatnonzero(july == 0.4)[0] == 30


def test_a_band_from_a_time_to_itself_is_the_whole_day():
    prices = prices_of(200, Band(name="all", start="07:00", end="07:00", gbp_per_kwh=0.3))
    assert set(prices) == {0.3}
