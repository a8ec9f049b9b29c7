from datetime import date, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvkit.errors import InputError
from pvkit.home.calendar import local_calendar
from pvkit.home.tariff import export_prices, gas_gbp_per_kwh, import_prices, standing_gbp
from pvkit.site.reader import build_site
from pvkit.site.tariff import Band, Period, Tariff
from pvkit.tables import MONTHS, default

CALENDAR = local_calendar()
MARCH, OCTOBER = 88, 298  # 30 March and 26 October, as days of the year from 0
NIGHT = Band(name="night", start="00:30", end="05:30", gbp_per_kwh=0.08)
SITE = {
    "site": {"name": "a", "latitude": 51.0, "longitude": -1.0},
    "roof": [{"name": "r", "kind": "flat", "azimuth_deg": 180, "width_m": 9, "depth_m": 6}],
    "array": [{"name": "m", "roof": "r", "count": 4, "module": "half-cut-430"}],
    "inverter": {"part": "single-phase-2500"},
}


def prices_of(day, *bands):
    tariff = Tariff(import_gbp_per_kwh=0.28, import_bands=bands)
    return import_prices(tariff)[CALENDAR.day == day]


def test_without_bands_the_price_is_flat():
    assert set(import_prices(Tariff(import_gbp_per_kwh=0.26))) == {0.26}
    assert set(export_prices(Tariff(export_gbp_per_kwh=0.11))) == {0.11}


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


# The clocks of 2025 change at 01:00 UTC on 30 March and 26 October (The Summer Time Order 2002,
# SI 2002/262, read from memory; the settlement body's clock-change notice has the same days).
@pytest.mark.parametrize(
    ("start", "end", "march", "october"),
    [
        # an hour shorter in March, an hour longer in October, beginning at 23:30 UTC on the 25th
        ("00:30", "02:30", ("30T00:30", "30T01:30"), ("25T23:30", "26T02:30")),
        ("01:00", "02:00", None, ("26T00:00", "26T02:00")),
        ("02:00", "04:00", ("30T01:00", "30T03:00"), ("26T02:00", "26T04:00")),
        ("16:00", "19:00", ("30T15:00", "30T18:00"), ("26T16:00", "26T19:00")),
    ],
)
def test_band_prices_fall_on_the_right_half_hours_on_both_clock_change_days(
    start, end, march, october
):
    band = Band(name="b", start=start, end=end, gbp_per_kwh=0.5)
    prices = import_prices(Tariff(import_gbp_per_kwh=0.1, import_bands=(band,)))
    times = np.arange("2025-01-01", "2026-01-01", np.timedelta64(30, "m"), "datetime64[m]")
    for month, day, span in (("03", MARCH, march), ("10", OCTOBER, october)):
        expected = np.zeros(len(times), dtype=bool)
        if span is not None:
            first, last = (np.datetime64(f"2025-{month}-{moment}") for moment in span)
            expected = (times >= first) & (times < last)
        np.testing.assert_array_equal((prices == 0.5) & (CALENDAR.day == day), expected)


def test_bands_can_be_for_weekdays_weekends_and_months():
    bands = (
        Band(name="winter peak", start="16:00", end="19:00", gbp_per_kwh=0.4, days="weekday",
             months=("nov", "dec", "jan", "feb")),
        Band(name="weekend", start="00:00", end="00:00", gbp_per_kwh=0.2, days="weekend"),
    )  # fmt: skip
    prices = import_prices(Tariff(import_gbp_per_kwh=0.3, import_bands=bands))
    peak = (CALENDAR.half_hour >= 32) & (CALENDAR.half_hour < 38) & ~CALENDAR.weekend
    winter = np.isin(CALENDAR.month, [10, 11, 0, 1])
    np.testing.assert_array_equal(prices == 0.2, CALENDAR.weekend)
    np.testing.assert_array_equal(prices == 0.4, peak & winter)


def test_the_part_of_a_weekday_band_past_midnight_belongs_to_the_new_day():
    band = Band(name="late", start="23:00", end="01:00", gbp_per_kwh=0.1, days="weekday")
    prices = import_prices(Tariff(import_gbp_per_kwh=0.3, import_bands=(band,)))
    friday, saturday, monday = 9, 10, 12  # January 2025
    assert np.flatnonzero(prices[CALENDAR.day == friday] == 0.1).tolist() == [0, 1, 46, 47]
    assert not (prices[CALENDAR.day == saturday] == 0.1).any()
    assert np.flatnonzero(prices[CALENDAR.day == monday] == 0.1).tolist() == [0, 1, 46, 47]


def test_export_can_be_banded_while_import_is_flat():
    noon = Band(name="noon", start="11:00", end="14:00", gbp_per_kwh=0.03)
    tariff = Tariff(import_gbp_per_kwh=0.25, export_gbp_per_kwh=0.15, export_bands=(noon,))
    assert set(import_prices(tariff)) == {0.25}
    midday = (CALENDAR.half_hour >= 22) & (CALENDAR.half_hour < 28)
    np.testing.assert_array_equal(export_prices(tariff), np.where(midday, 0.03, 0.15))


def test_vat_is_added_to_what_the_file_gives_once_and_never_to_export_or_defaults():
    tariff = Tariff(
        import_gbp_per_kwh=0.2, import_bands=(NIGHT,), export_gbp_per_kwh=0.1,
        gas_gbp_per_kwh=0.06, vat_included=False,
    )  # fmt: skip
    np.testing.assert_allclose(np.unique(import_prices(tariff)), [0.084, 0.21], rtol=1e-12)
    assert set(export_prices(tariff)) == {0.1}
    assert gas_gbp_per_kwh(tariff) == pytest.approx(0.063)
    assert standing_gbp(tariff) == pytest.approx(365 * default("tariff.standing_gbp_per_day"))
    assert set(import_prices(Tariff(vat_included=False))) == {default("tariff.import_gbp_per_kwh")}
    other = Tariff(import_gbp_per_kwh=0.2, vat_included=False, vat_fraction=0.2)
    np.testing.assert_allclose(np.unique(import_prices(other)), 0.24, rtol=1e-12)


QUARTERS = (
    Period(name="q4", valid_from=date(2025, 10, 1), valid_to=date(2025, 12, 31),
           import_gbp_per_kwh=0.2635, standing_gbp_per_day=0.5),
    Period(name="q1", valid_from=date(2026, 1, 1), valid_to=date(2026, 3, 31),
           import_gbp_per_kwh=0.2769, export_gbp_per_kwh=0.15),
    Period(name="q2", valid_from=date(2026, 4, 1), valid_to=date(2026, 6, 30),
           import_gbp_per_kwh=0.2467, import_bands=(NIGHT,)),
    Period(name="q3", valid_from=date(2026, 7, 1), valid_to=date(2026, 9, 30)),
)  # fmt: skip


def test_each_period_prices_its_own_dates_of_the_year():
    tariff = Tariff(import_gbp_per_kwh=0.2611, standing_gbp_per_day=0.6, export_gbp_per_kwh=0.12,
                    periods=QUARTERS)  # fmt: skip
    prices, sold = import_prices(tariff), export_prices(tariff)
    quarter = CALENDAR.month // 3
    night = (CALENDAR.half_hour >= 1) & (CALENDAR.half_hour < 11)
    expected = np.array([0.2769, 0.2467, 0.2611, 0.2635])[quarter]
    expected[(quarter == 1) & night] = 0.08
    np.testing.assert_array_equal(prices, expected)
    np.testing.assert_array_equal(sold, np.where(quarter == 0, 0.15, 0.12))
    assert standing_gbp(tariff) == pytest.approx(92 * 0.5 + 273 * 0.6)


def test_of_more_than_a_year_of_periods_the_last_year_counts():
    before = Period(name="old", valid_from=date(2024, 1, 1), valid_to=date(2025, 9, 30),
                    import_gbp_per_kwh=1.0)  # fmt: skip
    both = Tariff(import_gbp_per_kwh=0.2611, periods=(before, *QUARTERS))
    only = Tariff(import_gbp_per_kwh=0.2611, periods=QUARTERS)
    np.testing.assert_array_equal(import_prices(both), import_prices(only))
    cut = Period(name="new", valid_from=date(2026, 10, 1), valid_to=date(2026, 10, 31),
                 import_gbp_per_kwh=0.5)  # fmt: skip
    prices = import_prices(Tariff(import_gbp_per_kwh=0.2611, periods=(*QUARTERS, cut)))
    np.testing.assert_array_equal(prices == 0.5, CALENDAR.month == 9)
    np.testing.assert_array_equal(prices == 0.2635, CALENDAR.month > 9)


def test_a_leap_day_in_a_period_does_no_harm():
    year = Period(name="y", valid_from=date(2024, 1, 1), valid_to=date(2024, 12, 31),
                  import_gbp_per_kwh=0.3)  # fmt: skip
    tariff = Tariff(periods=(year,), standing_gbp_per_day=1.0)
    assert set(import_prices(tariff)) == {0.3}
    assert standing_gbp(tariff) == 365.0


CLOCKS = [f"{n // 2:02d}:{n % 2 * 30:02d}" for n in range(48)]
bands = st.lists(
    st.builds(
        dict,
        name=st.just("b"),
        start=st.sampled_from(CLOCKS),
        end=st.sampled_from(CLOCKS),
        days=st.sampled_from([None, "weekday", "weekend"]),
        months=st.one_of(st.none(), st.lists(st.sampled_from(MONTHS), min_size=1, max_size=12)),
    ),
    max_size=4,
)


def owners(band, moment):
    """Whether a band holds at a moment of the local clock, told the plain way."""
    clock = f"{moment:%H:%M}"
    start, end = band["start"], band["end"]
    inside = start <= clock < end if start < end else clock >= start or clock < end
    weekend = moment.weekday() >= 5
    day = band["days"] is None or (band["days"] == "weekend") == weekend
    month = band["months"] is None or f"{moment:%b}".lower() in band["months"]
    return inside and day and month


# A Friday and a Saturday of each month of 2025 stand for the year: bands know no more than that.
DAYS = [
    datetime(2025, month, 1) + timedelta(days=(4 - datetime(2025, month, 1).weekday()) % 7 + more)  # noqa: DTZ001
    for month in range(1, 13)
    for more in (0, 1)
]
MOMENTS = [day + timedelta(minutes=30 * n) for day in DAYS for n in range(48)]
BEGIN = np.searchsorted(CALENDAR.day, np.arange(365))
AT = [BEGIN[m.timetuple().tm_yday - 1] + m.hour * 2 + m.minute // 30 for m in MOMENTS]


@settings(max_examples=100, deadline=None)
@given(bands, st.booleans(), st.sampled_from(["import", "export"]))
def test_every_half_hour_has_exactly_one_price_or_the_bands_are_refused(bands, based, side):
    priced = [{k: v for k, v in band.items() if v is not None} | {"gbp_per_kwh": 0.01 * (n + 1)}
              for n, band in enumerate(bands)]  # fmt: skip
    raw = {f"{side}_bands": priced} | ({f"{side}_gbp_per_kwh": 0.5} if based else {})
    here = [[n for n, band in enumerate(bands) if owners(band, moment)] for moment in MOMENTS]
    overlap = any(len(mine) > 1 for mine in here)
    gap = bool(bands) and not based and any(not mine for mine in here)
    if overlap or gap:
        with pytest.raises(InputError) as caught:
            build_site({**SITE, "tariff": raw})
        said = " ".join(fault.found for fault in caught.value.faults)
        assert ("overlap" in said) == overlap
        assert ("no price" in said) == gap
        return
    tariff = build_site({**SITE, "tariff": raw}).tariff
    prices = (import_prices if side == "import" else export_prices)(tariff)
    flat = getattr(tariff, f"{side}_gbp_per_kwh")
    expected = [0.01 * (mine[0] + 1) if mine else flat for mine in here]
    np.testing.assert_array_equal(prices[AT], expected)
