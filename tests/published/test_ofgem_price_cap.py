"""Bills at the price cap come to the yearly bills announced with it."""

from datetime import date

import numpy as np
import pytest

from pvkit.home.demand import demand_year
from pvkit.home.tariff import gas_gbp_per_kwh, import_prices, standing_gbp
from pvkit.home.tariff_bill import yearly_bill
from pvkit.site.household import Home
from pvkit.site.tariff import Period, Tariff
from pvkit.tables import default, rows

# Source: Ofgem price cap announcements, Great Britain mean, Direct Debit, 5 % VAT included, as
# quoted in secondary pages (ofgem_price_cap.csv). The yearly bills are those of the typical home
# of the time, 2,700 kWh of electricity and 11,500 kWh of gas (Ofgem, until 30 June 2026).
# Agreement: to the pound they are rounded to, for every quarter with all figures.
TYPICAL_KWH, TYPICAL_GAS_KWH = 2700.0, 11500.0
ROUNDED_TO_GBP = 0.5
TABLE = rows("ofgem_price_cap.csv")
WHOLE = [row for row in TABLE if all(row.values())]


def pounds(row, key):
    return float(row[key]) / 100


@pytest.mark.parametrize("row", WHOLE, ids=[row["period_start"] for row in WHOLE])
def test_the_typical_bill_of_a_quarter_comes_out(row, published):
    tariff = Tariff(
        import_gbp_per_kwh=pounds(row, "electricity_p_per_kwh"),
        standing_gbp_per_day=pounds(row, "electricity_standing_p_per_day"),
        gas_gbp_per_kwh=pounds(row, "gas_p_per_kwh"),
    )
    used = demand_year(Home(yearly_kwh=TYPICAL_KWH)).kwh
    bill = yearly_bill(used, np.zeros_like(used), tariff).bill_gbp
    bill += TYPICAL_GAS_KWH * gas_gbp_per_kwh(tariff)
    bill += 365 * pounds(row, "gas_standing_p_per_day")
    published("yearly bill of a typical home, quarter by quarter",
              "Ofgem price cap (secondary copy); announcements", bill,
              float(row["typical_bill_gbp"]), "GBP", "published", ROUNDED_TO_GBP)  # fmt: skip


def test_enough_quarters_are_whole_to_be_checked():
    assert len(WHOLE) >= 5


def test_the_default_prices_are_the_last_quarter_of_the_table():
    last = TABLE[-1]
    for key, column in (
        ("tariff.import_gbp_per_kwh", "electricity_p_per_kwh"),
        ("tariff.standing_gbp_per_day", "electricity_standing_p_per_day"),
        ("tariff.gas_gbp_per_kwh", "gas_p_per_kwh"),
    ):
        assert default(key) == pytest.approx(pounds(last, column), abs=1e-12)


def test_a_year_of_quarters_costs_the_mean_of_them_by_their_days():
    """Four quarters in a row, October 2025 to September 2026, all four prices published."""
    year = [row for row in TABLE if row["period_start"] >= "2025-10-01"]
    assert len(year) == 4
    periods = [
        Period(
            name=row["period_start"],
            valid_from=date.fromisoformat(row["period_start"]),
            valid_to=date.fromisoformat(row["period_end"]),
            import_gbp_per_kwh=pounds(row, "electricity_p_per_kwh"),
        )
        for row in year
    ]
    tariff = Tariff(periods=tuple(periods), standing_gbp_per_day=0.5)
    days = [(p.valid_to - p.valid_from).days + 1 for p in periods]
    assert sum(days) == 365
    mean = sum(n * p.import_gbp_per_kwh for n, p in zip(days, periods, strict=True)) / 365
    # The clocks give the second quarter an hour less and the last an hour more.
    assert import_prices(tariff).mean() == pytest.approx(mean, abs=1e-5)
    assert standing_gbp(tariff) == pytest.approx(182.5)
