"""Half-hourly generation files: clocks, the nights they change, gaps, nonsense."""

import datetime
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from pvkit import InputError, load_site
from pvkit.site.visit_readings import build_visit, load_visit
from pvkit.study.stages import run_stages
from pvkit.study.store import Store
from pvkit.study.visit import judge
from pvkit.study.visit_period import period_of
from pvkit.study.visit_site import day_of_year, half_hour_of_year, site_year

LONDON = "Europe/London"


@pytest.fixture(scope="module")
def site():
    return load_site("south_family_home")


@pytest.fixture(scope="module")
def store():
    return Store()


@pytest.fixture(scope="module")
def year(site, store):
    return site_year(site, store)


@pytest.fixture(scope="module")
def model(site, store):
    return run_stages(site, store).output.ac_kwh


def series(model, first, days):
    """Give what the model makes in the half-hours of some local days."""
    start = pd.Timestamp(first, tz=LONDON)
    end = start + pd.DateOffset(days=days)
    utc = pd.date_range(start, end, freq="30min", inclusive="left").tz_convert("UTC")
    kwh = model[half_hour_of_year(utc.tz_localize(None).to_numpy())]
    return pd.Series(kwh, index=utc)


def written(made, folder, *, clock="utc", shift_minutes=0, step="30min"):
    made = made.resample(step).sum() if step != "30min" else made
    index = made.index + pd.Timedelta(minutes=shift_minutes)
    if clock == "local":
        index = index.tz_convert(LONDON)
    form = "%Y-%m-%dT%H:%M:%SZ" if clock == "own" else "%Y-%m-%d %H:%M"
    lines = [f"{stamp:{form}},{kwh:.6f}" for stamp, kwh in zip(index, made, strict=True)]
    (folder / "made.csv").write_text("\n".join(["timestamp,kWh", *lines]), encoding="utf-8")


def readings(folder, **how):
    raw = {
        "visit": {"date": datetime.date(2027, 4, 9), "installed": datetime.date(2025, 4, 1)},
        "half_hourly": {"file": "made.csv", **how},
    }
    return build_visit(raw, "visit.toml", folder)


@pytest.mark.parametrize("first", ["2026-03-20", "2026-10-20"])
@pytest.mark.parametrize(
    ("clock", "how"),
    [("utc", {"clock": "utc"}), ("local", {"clock": "local"}), ("own", {}), ("utc", {}),
     ("local", {})],
)  # fmt: skip
def test_both_clocks_give_the_same_days_over_a_change(first, clock, how, model, year, tmp_path):
    made = series(model, first, 14)
    written(made, tmp_path, clock=clock)
    period = period_of(readings(tmp_path, **how), year)
    assert len(period.days) == 14
    assert period.kwh.sum() == pytest.approx(made.sum(), abs=1e-4)


def test_clock_change_days_have_46_and_50_half_hours(model, tmp_path):
    for first, rows in (("2026-03-29", 46), ("2026-10-25", 50)):
        written(series(model, first, 1), tmp_path, clock="local")
        assert len((tmp_path / "made.csv").read_text().splitlines()) == 1 + rows
        brought = readings(tmp_path, clock="local")
        assert brought.half_hours is not None
        assert len(brought.half_hours.kwh) == rows
        assert not np.isnan(brought.half_hours.kwh).any()


def test_a_time_the_wall_clock_skipped_is_refused(model, tmp_path):
    written(series(model, "2026-03-20", 14), tmp_path, clock="utc")
    with pytest.raises(InputError, match="the file is on UTC"):
        readings(tmp_path, clock="local")


def test_rows_labelled_by_their_end_give_the_same_energy(model, year, tmp_path):
    made = series(model, "2026-10-20", 14)
    written(made, tmp_path, clock="local", shift_minutes=30)
    period = period_of(readings(tmp_path, clock="local", label="end"), year)
    assert period.kwh.sum() == pytest.approx(made.sum(), abs=1e-4)
    assert len(period.days) == 14


@pytest.mark.parametrize("step", ["30min", "60min"])
def test_hours_do_as_well_as_half_hours(step, model, year, tmp_path):
    made = series(model, "2026-06-01", 10)
    written(made, tmp_path, step=step)
    assert period_of(readings(tmp_path, clock="utc"), year).kwh.sum() == pytest.approx(
        made.sum(), abs=1e-4
    )


def test_rows_missing_by_night_are_no_gap(model, year, tmp_path):
    made = series(model, "2026-06-01", 10)
    written(made[made > 0], tmp_path)
    assert period_of(readings(tmp_path, clock="utc"), year).kwh.sum() == pytest.approx(
        made.sum(), abs=1e-4
    )


def test_a_gap_by_day_is_refused_or_left_out_on_both_sides(site, model, year, tmp_path):
    made = series(model, "2026-06-01", 30)
    noon = (made.index >= "2026-06-10 11:00") & (made.index < "2026-06-10 13:00")
    written(made[~noon], tmp_path)
    with pytest.raises(InputError, match="2026-06-10 12:00 to 2026-06-10 13:30 on the local clock"):
        period_of(readings(tmp_path, clock="utc"), year)
    left = judge(site, year, readings(tmp_path, clock="utc", gaps="leave out"))
    whole_days = made.groupby(made.index.tz_convert(LONDON).date).sum()
    kept = whole_days.drop(datetime.date(2026, 6, 10)).sum()
    assert left.made_kwh == pytest.approx(kept, abs=1e-3)
    assert left.period.cover.sum() == 29
    assert any(note.startswith("1 day with gaps") for note in left.facts()["notes"])


def test_energy_by_night_is_no_solar_meter(model, year, tmp_path):
    made = series(model, "2026-06-01", 10)
    written(made + 0.1, tmp_path)
    with pytest.raises(InputError, match="with the sun down"):
        period_of(readings(tmp_path, clock="utc"), year)


def test_days_of_nothing_are_told(site, model, year, tmp_path):
    made = series(model, "2026-06-01", 30)
    made[(made.index >= "2026-06-10") & (made.index < "2026-06-14")] = 0.0
    written(made, tmp_path)
    found = judge(site, year, readings(tmp_path, clock="utc"))
    assert any(row.what == "Days it stood still" for row in found.failing)
    assert found.level == "a little low"


def test_kilowatts_read_as_energy_are_suspected(site, model, year, tmp_path):
    written(2.0 * series(model, "2026-04-01", 365), tmp_path)
    found = judge(site, year, readings(tmp_path, clock="utc"))
    assert found.level == "higher than expected"
    assert "kW" in found.look_at[0]


def test_a_csv_alone_will_do(model, tmp_path):
    written(series(model, "2026-06-01", 30), tmp_path, clock="own")
    alone = load_visit(tmp_path / "made.csv", datetime.date(2025, 6, 1))
    assert alone.half_hours is not None
    assert alone.file.visit.date == datetime.date(2026, 6, 30)
    assert "switched on" in load_visit(tmp_path / "made.csv").notes[0]


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("2026-06-01 10:00,1\n2026-06-01 10:30,x\n2026-06-01 11:00,1", "row 2"),
        ("2026-06-01 10:00,1\n2026-06-01 10:30,-1\n2026-06-01 11:00,1", "none below 0"),
        ("2026-06-01 10:00,1\n2026-06-01 10:00,1\n2026-06-01 10:30,1\n2026-06-01 11:00,1",
         "a second time"),
        ("2026-06-01 10:00,1\n2026-06-01 10:30,1\n2026-06-01 11:00,1\n2026-06-01 10:30,1",
         "sort the rows"),
        ("01/06/2026 10:00,1\n01/06/2026 10:30,1", "day and month cannot be told apart"),
        ("2026-06-01 10:00,1\n2026-06-02 10:00,1\n2026-06-03 10:00,1", "1440 minutes apart"),
        ("2026-06-01 10:00,1\n2026-06-01 10:30Z,1\n2026-06-01 11:00,1", "among times of the other"),
        ("2026-06-01 10:00,1", "a single row"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_row_is_told(rows, said, tmp_path):
    (tmp_path / "made.csv").write_text("timestamp,kWh\n" + rows, encoding="utf-8")
    with pytest.raises(InputError, match=said):
        readings(tmp_path, clock="utc")


def test_the_reference_year_takes_a_leap_day_for_the_day_before():
    days = np.array(["2028-02-28", "2028-02-29", "2028-03-01", "2028-12-31"], "datetime64[D]")
    assert day_of_year(days).tolist() == [58, 58, 59, 364]


def test_the_sample_of_an_october_has_its_night_of_50_half_hours():
    sample = Path(__file__).parents[2] / "sample_sites" / "readings" / "family_home_october.toml"
    half_hours = load_visit(sample).half_hours
    assert half_hours is not None
    assert len(half_hours.kwh) == 31 * 48 + 2
