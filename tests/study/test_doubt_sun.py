"""The year-to-year spread from a file of many years, and what a broken one is told."""

import numpy as np
import pandas as pd
import pytest

from pvkit import InputError, load_site
from pvkit.sky.online import Years
from pvkit.study.doubt_sizes import doubts
from pvkit.study.doubt_sun import sun_spread
from pvkit.study.study import Study

YEARLY = [985, 1010, 1042, 1060, 1075, 1088, 1100, 1120, 1135, 1030]


@pytest.fixture
def file(tmp_path):
    def write(text):
        path = tmp_path / "sun.csv"
        path.write_text(text, encoding="utf-8")
        return str(path)

    return write


def yearly(values):
    rows = "".join(f"{2000 + n},{value}\n" for n, value in enumerate(values))
    return "year,ghi_kwh_per_m2\n" + rows


def hourly(values, drop=0):
    """Write hours of a square day so that each year sums to its value [kWh/m2]."""
    times = pd.date_range("2000-01-01", f"{2000 + len(values)}-01-01", freq="1h", inclusive="left")
    day = (times.hour >= 6) & (times.hour < 18)
    hours = day.astype(float) * np.array(values)[times.year - 2000] * 1000 / 4380
    table = pd.DataFrame({"time": times.strftime("%Y-%m-%d %H:%M"), "ghi": hours.round(3)})
    return table.iloc[drop:].to_csv(index=False)


def test_yearly_sums_give_their_own_spread(file):
    spread, words = sun_spread(file(yearly(YEARLY)))
    assert spread == pytest.approx(np.std(YEARLY, ddof=1) / np.mean(YEARLY))
    assert words == "sun.csv: 10 whole years, 2000 to 2009"


def test_hourly_readings_give_the_spread_of_their_years_and_a_year_with_a_gap_is_left_out(file):
    spread, words = sun_spread(file(hourly(YEARLY, drop=24 * 30)))
    assert spread == pytest.approx(np.std(YEARLY[1:], ddof=1) / np.mean(YEARLY[1:]), rel=0.01)
    assert words.endswith("9 whole years, 2001 to 2009")


def test_a_file_in_the_site_takes_the_place_of_the_table_and_one_saved_again_is_read_again(file):
    site = Study(load_site("bungalow_extension")).change({"doubt.sun_file": file(yearly(YEARLY))})
    first = doubts(site.site)["sun"]
    assert first.kind == "given"
    assert first.spread == pytest.approx(np.std(YEARLY, ddof=1) / np.mean(YEARLY))


def test_online_weather_brings_the_spread_of_its_own_years(monkeypatch):
    hours = tuple(pd.DataFrame({"ghi": [1000.0 * value]}) for value in YEARLY)
    years = Years(tuple(range(2015, 2025)), hours)
    monkeypatch.setattr("pvkit.sky.online.online_years", lambda *_: years)
    site = load_site("bungalow_extension")
    weather = site.weather.model_copy(update={"source": "online", "last_year": 2024})
    sun = doubts(site.model_copy(update={"weather": weather}))["sun"]
    assert sun.spread == pytest.approx(np.std(YEARLY, ddof=1) / np.mean(YEARLY))
    assert "2015 to 2024" in sun.source


@pytest.mark.parametrize(
    ("text", "found"),
    [
        (yearly(YEARLY[:7]), "found 7 whole years"),
        (yearly(YEARLY).replace("1042", "lots"), "found 'lots'"),
        (yearly(YEARLY).replace("1042", "-5"), "found '-5'"),
        (yearly(YEARLY).replace("1042", "104200"), "found '104200'"),
        (yearly([0] * 10), "found 0 whole years"),
        (yearly(YEARLY).replace("2003", "2002"), "whole years"),
        ("year,light\n2000,1\n", "found columns year, light"),
        ("time,ghi\nyesterday,5\n", "found time 'yesterday'"),
        ("time,ghi\n2000-01-01 00:00,1e9\n", "found '1000000000.0'"),
        ("", "found no table to read"),
        ('time,ghi\n"2000', "found"),
    ],
)
def test_a_broken_file_is_told_what_is_wrong(file, text, found):
    with pytest.raises(InputError) as caught:
        sun_spread(file(text))
    assert "sun.csv" in str(caught.value)
    assert found in str(caught.value)


def test_a_missing_file_is_told_too(tmp_path):
    with pytest.raises(InputError, match=r"nowhere\.csv"):
        sun_spread(str(tmp_path / "nowhere.csv"))
