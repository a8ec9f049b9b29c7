"""Meter and price files are looked for beside the site file that names them."""

import shutil
from pathlib import Path

import pytest

from pvkit.errors import InputError
from pvkit.site.reader import load_site
from pvkit.site.samples import meter_files, price_files

GOOD = Path(__file__).with_name("good_site.toml")


def site_with(folder: Path, home: str = "", tariff: str = "") -> Path:
    text = GOOD.read_text(encoding="utf-8")
    text = text.replace("[hot_water]", f"{home}\n\n[hot_water]", 1)
    if tariff:
        begin, end = text.index("[tariff]"), text.index("[costs]")
        text = f"{text[:begin]}[tariff]\n{tariff}\n\n{text[end:]}"
    (folder / "home.toml").write_text(text, encoding="utf-8")
    return folder / "home.toml"


def test_files_beside_the_site_file_are_found(tmp_path: Path) -> None:
    shutil.copyfile(meter_files()["year_by_day"], tmp_path / "meter.csv")
    shutil.copyfile(price_files()["half_hourly_prices"], tmp_path / "prices.csv")
    site = load_site(site_with(tmp_path, 'meter_file = "meter.csv"', 'import_file = "prices.csv"'))
    assert site.home.meter_file == str(tmp_path / "meter.csv")
    assert site.tariff.import_file == str(tmp_path / "prices.csv")


@pytest.mark.parametrize(
    ("home", "tariff", "key"),
    [
        ('meter_file = "gone.csv"', "", "home.meter_file"),
        ('meter_file = "home.toml"\nmeter_generation_file = "gone.csv"', "",
         "home.meter_generation_file"),
        ("", 'export_file = "gone.csv"', "tariff.export_file"),
    ],
)  # fmt: skip
def test_a_file_that_is_not_there_is_told_before_any_estimate(
    tmp_path: Path, home: str, tariff: str, key: str
) -> None:
    with pytest.raises(InputError) as caught:
        load_site(site_with(tmp_path, home, tariff))
    (fault,) = caught.value.faults
    assert fault.where == f"home.toml, {key}"
    assert "gone.csv" in fault.found
