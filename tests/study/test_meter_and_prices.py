"""Meter and price files in an estimate: remembered, and read again when they are saved again."""

import os
import shutil

import pytest

from pvkit import InputError, Study, load_site
from pvkit.site.samples import meter_files, price_files


@pytest.fixture(scope="module")
def study():
    return Study(load_site("south_family_home"))


@pytest.fixture
def meter(tmp_path):
    return shutil.copyfile(meter_files()["year_by_day"], tmp_path / "meter.csv")


def saved_again(file, old, new):
    file.write_text(file.read_text(encoding="utf-8").replace(old, new, 1), encoding="utf-8")
    os.utime(file, ns=(1, 1))


def test_a_meter_file_takes_the_place_of_the_yearly_use(study, meter):
    metered = study.change({"home.meter_file": str(meter)})
    answer = metered.estimate()
    assert answer.demand_kwh == pytest.approx(3453.343, abs=1e-6)
    assert answer.import_kwh + answer.direct_kwh == pytest.approx(answer.demand_kwh, abs=1e-9)
    said = " ".join(answer.warnings)
    assert "the home's use is metered, 2024-07-01 to 2025-06-30" in said
    assert "of the solar is used as it is made. Were use and sunshine even" in said
    runs = study.store.runs["demand"]
    metered.estimate()
    assert study.store.runs["demand"] == runs
    saved_again(meter, "01/07/2024,0.086", "01/07/2024,1.086")
    assert metered.estimate().demand_kwh == pytest.approx(3454.343, abs=1e-6)
    assert study.store.runs["demand"] == runs + 1


def test_a_price_file_saved_again_changes_the_bill(study, tmp_path):
    prices = shutil.copyfile(price_files()["half_hourly_prices"], tmp_path / "prices.csv")
    by_half_hour = study.change({"tariff.import_file": str(prices)})
    first = by_half_hour.estimate()
    assert any("prices of 2025-01-01 to 2025-12-31 are taken" in note for note in first.warnings)
    year = study.store.runs["years"]
    saved_again(prices, "01/01/2025,11.96", "01/01/2025,211.96")
    again = by_half_hour.estimate()
    assert again.cash["bill_without_gbp"][1] > first.cash["bill_without_gbp"][1] + 0.1
    assert study.store.runs["years"] == year


def test_export_bands_and_vat_reach_the_cash_table(study):
    flat = study.change({"tariff.export_gbp_per_kwh": 0.1}).estimate()
    same = study.change(
        {"tariff.export_gbp_per_kwh": 0.3, "tariff.export_bands": [
            {"name": "all", "start": "00:00", "end": "00:00", "gbp_per_kwh": 0.1}]}
    ).estimate()  # fmt: skip
    assert same.first_year_saving_gbp == pytest.approx(flat.first_year_saving_gbp, abs=1e-9)
    taxed = study.change({"tariff.vat_included": False}).estimate()
    plain = study.change({}).estimate()
    assert taxed.first_year_saving_gbp > plain.first_year_saving_gbp
    assert any("VAT of 5% is added" in note for note in taxed.warnings)


def test_a_broken_meter_file_stops_the_estimate_with_its_dates(study):
    broken = study.change({"home.meter_file": str(meter_files()["winter_with_faults"])})
    with pytest.raises(InputError, match="2025-02-09 07:00 GMT"):
        broken.estimate()
    filled = study.change({"home.meter_file": str(meter_files()["winter_with_faults"]),
                           "home.meter_fill": True}).estimate()  # fmt: skip
    assert any("245 days of the year were not metered" in note for note in filled.warnings)


def test_keys_about_a_meter_file_are_listed_only_with_one(study, meter):
    def names(answer):
        return {number.name for number in answer.assumptions if "meter" in number.name}

    assert names(study.estimate()) == set()
    assert "home.meter_fill" in names(study.change({"home.meter_file": str(meter)}).estimate())
