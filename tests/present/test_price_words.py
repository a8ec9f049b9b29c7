from datetime import date

from pvkit.present.price_words import price_words
from pvkit.site.tariff import Band, Period, Tariff

NIGHT = Band(name="night", start="00:30", end="07:30", gbp_per_kwh=0.15)
NOON = Band(name="noon", start="11:00", end="14:00", gbp_per_kwh=0.04, days="weekend",
            months=("jun", "jul"))  # fmt: skip


def test_bands_are_said_with_their_hours_days_and_months():
    said = price_words(
        Tariff(import_gbp_per_kwh=0.31, import_bands=(NIGHT,), export_gbp_per_kwh=0.12,
               export_bands=(NOON,), gas_gbp_per_kwh=0.07), gas=True)  # fmt: skip
    assert said == (
        "bought 31.0 p/kWh, night 15.0 p/kWh from 00:30 to 07:30; sold 12.0 p/kWh, noon 4.0 p/kWh "
        "from 11:00 to 14:00 at weekends in Jun, Jul; gas 7.0 p/kWh"
    )


def test_files_periods_and_missing_vat_are_said():
    half = Period(name="spring", valid_from=date(2026, 1, 1), valid_to=date(2026, 6, 30))
    said = price_words(
        Tariff(import_file="/a/b/prices.csv", export_file="sold.csv", periods=(half,),
               vat_included=False), gas=False)  # fmt: skip
    assert "bought at the half-hourly prices of prices.csv; sold at the half-hourly prices" in said
    assert "prices differ by date: spring (2026-01-01 to 2026-06-30)" in said
    assert said.endswith("VAT of 5% is added to what is bought")
