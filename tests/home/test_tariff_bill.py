"""Yearly bills, price files, and what is said about a tariff."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvkit.errors import InputError
from pvkit.home.calendar import local_calendar
from pvkit.home.demand import demand_year
from pvkit.home.tariff import export_prices, import_prices, prices_file_state
from pvkit.home.tariff_bill import compare_tariffs, tariff_notes, yearly_bill
from pvkit.home.tariff_file import price_file_notes
from pvkit.site.household import Home
from pvkit.site.samples import price_files
from pvkit.site.tariff import Band, Period, Tariff
from tests.home.meter_samples import day_text, half_hours, long_text, prices

CALENDAR = local_calendar()
NIGHT = Band(name="night", start="00:30", end="05:30", gbp_per_kwh=0.08)
YEAR = half_hours(date(2025, 1, 1), date(2025, 12, 31))
TODAY = date(2026, 8, 1)
USED = demand_year(Home()).kwh
SOLD = np.where((CALENDAR.half_hour > 20) & (CALENDAR.half_hour < 30), 0.2, 0.0)


def write(folder, text):
    file = folder / "prices.csv"
    file.write_text(text, encoding="utf-8")
    return str(file)


def test_the_bill_is_the_sum_of_its_half_hours():
    noon = Band(name="noon", start="11:00", end="14:00", gbp_per_kwh=0.02)
    tariff = Tariff(import_gbp_per_kwh=0.3, import_bands=(NIGHT,), standing_gbp_per_day=0.6,
                    export_gbp_per_kwh=0.12, export_bands=(noon,))  # fmt: skip
    bought = earned = 0.0
    for n in range(17520):
        hour = CALENDAR.half_hour[n] / 2
        bought += USED[n] * (0.08 if 0.5 <= hour < 5.5 else 0.3)
        earned += SOLD[n] * (0.02 if 11 <= hour < 14 else 0.12)
    bill = yearly_bill(USED, SOLD, tariff)
    assert bill.import_gbp == pytest.approx(bought, abs=1e-9)
    assert bill.export_gbp == pytest.approx(earned, abs=1e-9)
    assert bill.standing_gbp == pytest.approx(219.0, abs=1e-9)
    assert bill.bill_gbp == pytest.approx(bought + 219.0 - earned, abs=1e-9)


@settings(max_examples=30, deadline=None)
@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_a_flat_price_is_two_bands_of_that_price_and_a_bill_grows_with_prices(flat, low, more):
    halves = tuple(
        Band(name=name, start=start, end=end, gbp_per_kwh=flat)
        for name, start, end in (("a", "07:00", "21:30"), ("b", "21:30", "07:00"))
    )
    banded = yearly_bill(USED, SOLD, Tariff(import_bands=halves))
    plain = yearly_bill(USED, SOLD, Tariff(import_gbp_per_kwh=flat))
    assert banded.bill_gbp == pytest.approx(plain.bill_gbp, abs=1e-9)
    cheap = yearly_bill(USED, SOLD, Tariff(import_gbp_per_kwh=low))
    dear = yearly_bill(USED, SOLD, Tariff(import_gbp_per_kwh=low + more))
    assert dear.bill_gbp >= cheap.bill_gbp


def test_tariffs_are_set_side_by_side_on_the_same_year_the_cheapest_first():
    offers = {
        "flat": Tariff(import_gbp_per_kwh=0.26, standing_gbp_per_day=0.55),
        "night": Tariff(import_gbp_per_kwh=0.31, import_bands=(NIGHT,), standing_gbp_per_day=0.5),
        "no export": Tariff(import_gbp_per_kwh=0.26, export_gbp_per_kwh=0.0),
    }
    table = compare_tariffs(USED, SOLD, offers)
    assert table["bill_gbp"].is_monotonic_increasing
    assert set(table.index) == set(offers)
    for name, tariff in offers.items():
        bill = yearly_bill(USED, SOLD, tariff)
        assert table.loc[name, "bill_gbp"] == bill.bill_gbp
        assert table.loc[name, "mean_import_gbp_per_kwh"] * USED.sum() == pytest.approx(
            bill.import_gbp
        )
    assert np.isnan(compare_tariffs(0 * USED, SOLD, offers)["mean_import_gbp_per_kwh"]).all()


def test_arrays_that_are_no_year_are_refused():
    with pytest.raises(ValueError, match="a year has 17520 half-hours"):
        yearly_bill(USED[:48], SOLD, Tariff())


def test_a_file_of_half_hourly_prices_prices_each_half_hour(tmp_path):
    pence = prices(YEAR)
    assert pence.min() < 0.0
    file = write(tmp_path, long_text(YEAR.tz_convert("UTC"), pence, "From,Unit rate p/kWh"))
    tariff = Tariff(import_file=file)
    np.testing.assert_allclose(import_prices(tariff), pence / 100, rtol=0, atol=1e-12)
    assert set(export_prices(tariff)) == {0.12}
    by_day = write(tmp_path, day_text(YEAR, pence / 100, heading="Day", width=50))
    sold = Tariff(export_file=by_day)
    np.testing.assert_allclose(export_prices(sold), pence / 100, rtol=0, atol=1e-6)
    bill = yearly_bill(USED, SOLD, sold)
    assert bill.export_gbp == pytest.approx(float(SOLD @ (pence / 100)), abs=1e-4)


def test_the_sample_prices_are_in_utc_and_in_pence():
    tariff = Tariff(import_file=str(price_files()["half_hourly_prices"]))
    np.testing.assert_allclose(import_prices(tariff), prices(YEAR) / 100, rtol=0, atol=1e-12)
    said = " ".join(price_file_notes(tariff))
    assert "times follow UTC, to go by 2025-03-30" in said
    assert "numbers are p/kWh, as a heading says" in said
    assert "prices of 2025-01-01 to 2025-12-31 are taken" in said
    evening = (CALENDAR.half_hour >= 32) & (CALENDAR.half_hour < 38)
    assert import_prices(tariff)[evening].mean() > 0.1 + import_prices(tariff)[~evening].mean()


def test_pounds_and_pence_are_told_by_size_or_by_the_site_file(tmp_path):
    pence = np.abs(prices(YEAR)) + 5.0
    file = write(tmp_path, long_text(YEAR, pence, "From,Value"))
    np.testing.assert_allclose(import_prices(Tariff(import_file=file)), pence / 100)
    with pytest.raises(InputError, match="GBP/kWh"):
        import_prices(Tariff(import_file=file, price_unit="GBP/kWh"))
    pounds = write(tmp_path, long_text(YEAR, pence / 100, "From,Value"))
    np.testing.assert_allclose(
        import_prices(Tariff(import_file=pounds)), pence / 100, rtol=0, atol=1e-6
    )


def test_vat_is_added_to_import_prices_of_a_file_but_not_to_export(tmp_path):
    pence = np.abs(prices(YEAR)) + 5.0
    file = write(tmp_path, long_text(YEAR, pence, "From,p/kWh"))
    both = Tariff(import_file=file, export_file=file, vat_included=False)
    np.testing.assert_allclose(import_prices(both), 1.05 * export_prices(both))


def test_of_two_years_of_prices_the_last_is_taken(tmp_path):
    times = half_hours(date(2024, 1, 1), date(2025, 12, 31))
    pence = np.where(times.year == 2024, 50.0, 10.0)
    file = write(tmp_path, day_text(times, pence, heading="Day p/kWh"))
    assert set(import_prices(Tariff(import_file=file))) == {0.1}


@pytest.mark.parametrize(
    ("broken", "message"),
    [
        (lambda t, p: long_text(t[:9000], p[:9000]), "found prices from 2025-01-01 to 2025-07-06"),
        (lambda t, p: long_text(t.delete(500), np.delete(p, 500)), "no price reading for 1 half-"
         "hour: 2025-01-11 10:00 GMT"),
        (lambda t, p: long_text(t.insert(500, t[500]), np.insert(p, 500, 9.0)),
         "more than one price reading for 1 half-hour: 2025-01-11 10:00 GMT"),
        (lambda t, p: long_text(t, 1000 * p), "GBP/kWh"),
        (lambda t, p: long_text(t, p).replace(",21.", ",x", 1), "where a reading should stand"),
    ],
)  # fmt: skip
def test_a_broken_price_file_is_refused_with_its_dates(tmp_path, broken, message):
    file = write(tmp_path, broken(YEAR, np.abs(prices(YEAR))))
    with pytest.raises(InputError) as caught:
        import_prices(Tariff(import_file=file))
    assert message in str(caught.value)


def test_a_price_file_saved_again_has_another_state(tmp_path):
    file = write(tmp_path, "a")
    first = prices_file_state(Tariff(import_file=file))
    write(tmp_path, "ab")
    assert prices_file_state(Tariff(import_file=file)) != first
    assert prices_file_state(Tariff()) == (None, None)


def test_prices_out_of_date_or_not_yet_in_force_are_pointed_out():
    given_prices = Tariff(import_gbp_per_kwh=0.25)
    assert tariff_notes(given_prices, TODAY) == ()
    until = given_prices.model_copy(update={"valid_to": date(2026, 7, 31)})
    assert tariff_notes(until, date(2026, 7, 31)) == ()
    assert "held until 2026-07-31 and are out of date" in tariff_notes(until, TODAY)[0]
    later = given_prices.model_copy(update={"valid_from": date(2026, 9, 1)})
    assert "hold from 2026-09-01 on only" in tariff_notes(later, TODAY)[0]
    year = Period(name="y", valid_from=date(2025, 7, 1), valid_to=date(2026, 6, 30))
    old = given_prices.model_copy(update={"periods": (year,)})
    assert "held until 2026-06-30" in tariff_notes(old, TODAY)[0]


def test_a_default_price_is_pointed_out_once_its_price_cap_has_ended():
    assert tariff_notes(Tariff(), date(2026, 9, 30)) == ()
    assert "price cap until 2026-09-30" in tariff_notes(Tariff(), date(2026, 10, 1))[0]


def test_vat_added_is_said():
    bare = Tariff(import_gbp_per_kwh=0.25, vat_included=False)
    assert "VAT of 5% is added" in tariff_notes(bare, TODAY)[0]
