"""Clock-change days in meter files follow the settlement body's numbering of half-hours."""

from datetime import date

import numpy as np
import pandas as pd
import pytest

from pvkit.home.meter_asked import asked_of
from pvkit.home.meter_clock import said
from pvkit.home.meter_readings import read_half_hours
from pvkit.site.household import Home

# Source: the settlement body's glossary and clock-change notice (conf. A): a settlement day has 48
# half-hours from 00:00 local time, 46 on the last Sunday of March and 50 on the last Sunday of
# October. Long day: periods 1 to 4 are 00:00 to 01:30 BST, 5 and 6 are 01:00 and 01:30 GMT. Short
# day: after 00:30 (period 2) comes 02:00 (period 3).
SOURCE = "Settlement body's glossary and clock-change notice; settlement day"
SHORT, LONG = date(2025, 3, 30), date(2025, 10, 26)


def read_day(tmp_path, day, count, form):
    rows = []
    for one, periods in ((day - pd.Timedelta(days=1), 48), (day, count),
                         (day + pd.Timedelta(days=1), 48)):  # fmt: skip
        values = [f"{n / 1000:g}" for n in range(1, periods + 1)]
        if form == "row for each day":
            rows.append(",".join([str(one), *values, *[""] * (50 - periods)]))
        else:
            rows += [f"{one},{n},{value}" for n, value in enumerate(values, 1)]
    heads = {"row for each day": ",".join(["Settlement Date", *(f"P{n}" for n in range(1, 51))]),
             "row for each period": "Settlement Date,Settlement Period,kWh"}[form]  # fmt: skip
    file = tmp_path / "day.csv"
    file.write_text("\n".join([heads, *rows]), encoding="utf-8")
    home = Home(meter_file=str(file), meter_unit="kWh")
    found = read_half_hours(str(file), asked_of(home))
    starts = [said(int(start)) for start in found.start]
    numbers = np.round(found.numbers["import"] * 1000).astype(int)
    return {n: start for n, start in zip(numbers, starts, strict=True) if start[:10] == str(day)}


@pytest.mark.parametrize("form", ["row for each day", "row for each period"])
def test_the_long_day_has_50_half_hours_and_repeats_one_o_clock(tmp_path, form, published):
    day = read_day(tmp_path, LONG, 50, form)
    published("half-hours of the day the clocks go back", SOURCE, len(day), 50, "", "published")
    assert sorted(day) == list(range(1, 51))
    assert [day[n][11:] for n in range(1, 8)] == [
        "00:00 BST", "00:30 BST", "01:00 BST", "01:30 BST", "01:00 GMT", "01:30 GMT", "02:00 GMT",
    ]  # fmt: skip
    assert day[50].endswith("23:30 GMT")


@pytest.mark.parametrize("form", ["row for each day", "row for each period"])
def test_the_short_day_has_46_half_hours_and_skips_one_o_clock(tmp_path, form, published):
    day = read_day(tmp_path, SHORT, 46, form)
    published("half-hours of the day the clocks go forward", SOURCE, len(day), 46, "", "published")
    assert sorted(day) == list(range(1, 47))
    assert [day[n][11:] for n in (1, 2, 3)] == ["00:00 GMT", "00:30 GMT", "02:00 BST"]
    assert day[46].endswith("23:30 BST")
