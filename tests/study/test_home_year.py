"""One year of a home, tariffs beside it, sizes of battery, and days that stand for a season."""

import numpy as np
import pytest

from pvkit import Study, load_site, sample_sites
from pvkit.home.calendar import local_calendar
from pvkit.home.tariff_bill import yearly_bill
from pvkit.site.samples import meter_files
from pvkit.study.battery_sizes import battery_sizes
from pvkit.study.home_year import home_year
from pvkit.study.metered import BUILT_IN, meter_table, meter_words
from pvkit.study.offers import AS_SURVEYED, OFFERS, offer_changes, offers_table
from pvkit.study.typical_days import DAY_KINDS, MEAN, home_day


@pytest.fixture(scope="module")
def study():
    return Study(load_site("ev_and_battery"))


@pytest.mark.parametrize("name", [sample.name for sample in sample_sites()])
def test_the_first_year_alone_is_that_of_the_whole_estimate(name):
    study = Study(load_site(name))
    year, whole = home_year(study), study.estimate()
    for figure in ("ac_kwh", "import_kwh", "export_kwh", "gas_saved_kwh", "used_at_home_fraction",
                   "self_sufficiency_fraction", "first_year_saving_gbp"):  # fmt: skip
        assert getattr(year, figure) == pytest.approx(getattr(whole, figure), rel=1e-12), figure
    assert year.site == study.site
    assert year.cautions == whole.cautions


def test_the_first_year_of_a_site_with_a_loan_and_prices_by_year_is_the_estimates(study):
    changes = {
        "loan.deposit_gbp": 500.0, "loan.apr": 0.06, "loan.years": 10,
        "prices.import_index_by_year": [1.02, 1.04, 1.05], "finance.output_by_year": [0.97, 0.96],
    }  # fmt: skip
    other = study.change(changes)
    first = home_year(other).first_year_saving_gbp
    assert first == pytest.approx(other.estimate().first_year_saving_gbp, rel=1e-12)


def test_each_offer_is_billed_as_it_reads_and_the_own_tariff_needs_no_following(study):
    table = offers_table(study)
    assert set(table.index) == {AS_SURVEYED, *OFFERS}
    assert table["bill_gbp"].is_monotonic_increasing
    year = home_year(study).stages.year
    for offer in OFFERS:
        tariff = study.change(offer_changes(study.site, offer)).site.tariff
        bill = yearly_bill(year.import_kwh, year.export_kwh, tariff).bill_gbp
        assert table.loc[offer, "bill_gbp"] == pytest.approx(bill)
    own = table.loc[AS_SURVEYED]
    assert own["bill_followed_gbp"] == pytest.approx(own["bill_gbp"])
    assert own["bill_without_gbp"] > own["bill_gbp"]


def test_an_offer_is_the_same_money_whether_the_site_gives_vat_or_not(study):
    bare = study.change({"tariff.vat_included": False})
    for offer in OFFERS:
        with_vat = study.change(offer_changes(study.site, offer)).site.tariff
        without = bare.change(offer_changes(bare.site, offer)).site.tariff
        year = home_year(study).stages.year
        bills = [yearly_bill(year.import_kwh, year.export_kwh, t) for t in (with_vat, without)]
        assert bills[1].import_gbp == pytest.approx(bills[0].import_gbp, rel=1e-5)


def test_more_battery_never_lowers_what_is_used_at_home_without_cheap_hours(study):
    table = battery_sizes(study.change({"battery.grid_charge": False}), (0, 1, 3, 6, 10, 15))
    assert table["used_at_home_fraction"].is_monotonic_increasing


def test_no_battery_is_the_home_without_one():
    family = Study(load_site("south_family_home"))
    none = battery_sizes(family, (0.0,)).iloc[0]
    assert none["import_kwh"] == pytest.approx(home_year(family).import_kwh, abs=1e-9)


def test_sizes_can_be_stopped(study):
    table = battery_sizes(study, (0, 2, 4), watch=lambda progress: progress.done < 1)
    assert list(table.index) == [0]


@pytest.mark.parametrize("kind", DAY_KINDS)
def test_a_day_has_all_its_half_hours_and_is_of_its_season(study, kind):
    year = home_year(study).stages.year
    day = home_day(year, kind, ("solar_kwh", "demand_kwh"))
    assert {len(values) for values in day.flows.values()} == {48}
    assert day.words.startswith(kind)


def test_days_are_ordered_by_their_light_and_the_mean_keeps_the_years_energy(study):
    year = home_year(study).stages.year
    made = {kind: home_day(year, kind, ("solar_kwh",)).flows["solar_kwh"].sum()
            for kind in DAY_KINDS}  # fmt: skip
    assert made["a sunny summer day"] > made["a usual summer day"] > made["a usual winter day"]
    assert made["a usual winter day"] > made["a dull winter day"]
    counts = np.bincount(local_calendar().half_hour)
    mean = home_day(year, MEAN, ("solar_kwh",)).flows["solar_kwh"]
    assert float((mean * counts).sum()) == pytest.approx(float(year.solar_kwh.sum()))


def test_a_meter_file_is_told_as_read_refused_or_filled(study):
    year = {"home.meter_file": str(meter_files()["year_by_day"])}
    winter = {"home.meter_file": str(meter_files()["winter_with_faults"])}
    assert "times follow the clock on the wall" in meter_words(study, year)
    refused = meter_words(study, winter)
    assert refused.startswith("Refused:")
    assert "2024-12-03 18:30" in refused
    filled = meter_words(study, {**winter, "home.meter_fill": True})
    assert filled.startswith("Read:")
    assert "245 days of the year were not metered" in filled


def test_the_meters_table_says_what_the_minutes_change(study):
    year = {"home.meter_file": str(meter_files()["year_by_day"])}
    table = meter_table(study, {"metered": year})
    assert table.loc["metered", "demand_kwh"] == pytest.approx(3453.343, abs=1e-3)
    assert table.loc[BUILT_IN, "demand_kwh"] == pytest.approx(3400.0)
    assert (table["direct_fraction"] < table["direct_if_even_fraction"]).all()
