"""Weather files that are right: clock, labels, routes that must agree, notes."""

import numpy as np
import pandas as pd
import pytest

from pvkit.site.place import Weather
from pvkit.sky.checks import clock_minutes, file_sun
from pvkit.sky.epw_tmy3 import epw_rows
from pvkit.sky.epw_tmy3 import tmy3_rows as read_tmy3_rows
from pvkit.sky.gaps import on_the_year
from tests.sky.conftest import MIDLANDS, TMY3, clear_means, csv_table, epw_lines, tmy3_rows

LIGHT = ("ghi", "dni", "dhi")
NAMES = (*LIGHT, "temp_air", "wind_speed")


@pytest.fixture(scope="module")
def tmy3_sky(sand_point):
    return sand_point.sky("tmy3", TMY3)


# Source: the TMY3 file 703165TY.csv (Sand Point, Alaska), its yearly sums as measured from the
# raw rows: 829.2 kWh/m2 on level ground, 460.9 of it from the sky. Agreement: 0.1 kWh/m2.
def test_a_tmy3_year_keeps_its_energy(tmy3_sky):
    assert tmy3_sky.ghi.sum() / 2000 == pytest.approx(829.2, abs=0.1)
    assert tmy3_sky.dhi.sum() / 2000 == pytest.approx(460.9, abs=0.1)
    assert tmy3_sky.temp_air.mean() == pytest.approx(4.42, abs=0.01)
    assert tmy3_sky.label == "TMY3 file 703165TY.csv"


def test_a_tmy3_hour_lands_on_its_utc_half_hours(tmy3_sky):
    """The row labelled 07/01 13:00 (UTC-9) is the hour 12:00 to 13:00, so 21:00 to 22:00 UTC."""
    row = next(
        r for r in tmy3_rows()
        if r["Date (MM/DD/YYYY)"].startswith("07/01") and r["Time (HH:MM)"] == "13:00"
    )  # fmt: skip
    first = (181 * 24 + 21) * 2
    for name, column in (("ghi", "GHI (W/m^2)"), ("dni", "DNI (W/m^2)"), ("dhi", "DHI (W/m^2)")):
        mean = getattr(tmy3_sky, name)[first : first + 2].mean()
        assert mean == pytest.approx(float(row[column]), abs=1e-9)


def test_the_years_end_wraps_round_to_its_start(tmy3_sky):
    """At UTC-9 the file's last nine hours are the first nine of the UTC year."""
    evening = [float(row["Dry-bulb (C)"]) for row in tmy3_rows()[-9:]]
    assert tmy3_sky.temp_air[:18].reshape(-1, 2).mean(axis=1) == pytest.approx(evening, abs=1e-9)


# Source: the file's own three columns; with the sun at the hour's middle DNI cos z + DHI closes on
# GHI to 0.2 W/m2 in the mean. An hour's slip leaves more than ten times that.
def test_the_three_parts_of_a_tmy3_year_agree_with_our_sun(tmy3_sky):
    cosine = np.maximum(np.cos(np.radians(tmy3_sky.sun.solar_zenith)), 0)
    off = np.abs(tmy3_sky.dhi + tmy3_sky.dni * cosine - tmy3_sky.ghi)
    slipped = np.abs(tmy3_sky.dhi + tmy3_sky.dni * np.roll(cosine, 1) - tmy3_sky.ghi)
    assert off.mean() < 0.3
    assert slipped.mean() > 1.5


def test_epw_and_tmy3_of_the_same_rows_give_the_same_year(sand_point, tmy3_sky, epw_file):
    epw_sky = sand_point.sky("epw", epw_file())
    for name in NAMES:
        assert getattr(epw_sky, name) == pytest.approx(getattr(tmy3_sky, name), abs=1e-9)
    assert epw_sky.label == "EPW file made.epw"


def test_csv_of_the_same_rows_gives_the_same_year(sand_point, tmy3_sky, csv_file):
    source = tmy3_rows()
    table = csv_table(np.zeros(8760))
    table["time"] = pd.to_datetime(table["time"]) + pd.Timedelta(hours=1)
    for name, column in zip(
        NAMES,
        ("GHI (W/m^2)", "DNI (W/m^2)", "DHI (W/m^2)", "Dry-bulb (C)", "Wspd (m/s)"),
        strict=True,
    ):
        table[name] = [row[column] for row in source]
    sky = sand_point.sky("csv", csv_file(table), time_label="end", utc_offset_hours=-9.0)
    for name in NAMES:
        assert getattr(sky, name) == pytest.approx(getattr(tmy3_sky, name), abs=1e-9)


@pytest.mark.parametrize("source", ["epw", "tmy3"])
def test_a_half_hours_slip_of_the_label_would_show_at_noon(sand_point, epw_file, source):
    """The light of a whole year balances about the sun to a few minutes, and not if it slips."""
    file = TMY3 if source == "tmy3" else epw_file()
    read = read_tmy3_rows if source == "tmy3" else epw_rows
    rows = read(Weather(source=source, file=str(file)))
    sun = file_sun(sand_point.sun(), rows)
    halves = np.repeat(on_the_year(rows)["ghi"], 2)
    assert abs(clock_minutes(halves, sun)) < 10
    assert abs(clock_minutes(np.roll(halves, 1), sun)) > 20
    assert abs(clock_minutes(np.roll(halves, -1), sun)) > 20


# Source: true means of a cloudless sky (Haurwitz) over each half-hour, from the sun at every fifth
# minute. Agreement: half-hours exact; halves of hours 12 W/m2 at worst, at low sun, where the air
# gets clearer within the hour. A label half an hour out would be more than 70 W/m2 out.
@pytest.mark.parametrize(
    ("label", "offset", "step"),
    [("start", 0, 60), ("end", 0, 60), ("middle", 0, 60), ("start", 1, 60), ("end", -3, 60),
     ("start", 0, 30), ("middle", 0, 30), ("end", 0.5, 30), ("end", 5.5, 30)],
)  # fmt: skip
def test_every_label_and_clock_leads_to_the_same_half_hours(
    midlands, csv_file, label, offset, step
):
    table = csv_table(clear_means(MIDLANDS, step), step)
    lag = {"start": 0, "middle": step / 2, "end": step}[label] + offset * 60
    table["time"] = pd.to_datetime(table["time"]) + pd.Timedelta(minutes=lag)
    sky = midlands.sky("csv", csv_file(table), time_label=label, utc_offset_hours=float(offset))
    true = clear_means(MIDLANDS, 30)
    assert np.abs(sky.ghi - true).max() < (15 if step == 60 else 1e-3)
    assert np.abs(np.roll(true, 1) - true).max() > 70
    assert sky.ghi.sum() == pytest.approx(true.sum(), rel=1e-6)
    assert not any("against the sun" in note for note in sky.notes)


def test_times_with_their_own_offset_need_no_other(midlands, csv_file, clear_table):
    plain = midlands.sky("csv", csv_file(clear_table))
    times = pd.to_datetime(clear_table["time"]) + pd.Timedelta(hours=2)
    clear_table["time"] = times.dt.strftime("%Y-%m-%dT%H:%M:00+02:00")
    own = midlands.sky("csv", csv_file(clear_table, "own.csv"))
    assert own.ghi == pytest.approx(plain.ghi, abs=1e-9)


def test_dni_and_dhi_are_worked_out_and_said_so(midlands, csv_file, clear_table):
    sky = midlands.sky("csv", csv_file(clear_table))
    assert any("worked out from ghi" in note for note in sky.notes)
    cosine = np.maximum(np.cos(np.radians(sky.sun.solar_zenith)), 0)
    assert sky.dhi + sky.dni * cosine == pytest.approx(sky.ghi, abs=1e-9)
    assert 0.1 < sky.dhi.sum() / sky.ghi.sum() < 0.4


def test_29_february_is_left_out_and_said_so(midlands, csv_file):
    leap = csv_table(np.insert(clear_means(MIDLANDS, 60), 59 * 24, np.full(24, 0.0)), year=2024)
    sky = midlands.sky("csv", csv_file(leap))
    assert any("29 February" in note for note in sky.notes)
    assert sky.ghi == pytest.approx(
        midlands.sky("csv", csv_file(csv_table(clear_means(MIDLANDS, 60)))).ghi, abs=1e-9
    )


def test_a_year_may_begin_in_july(midlands, csv_file, clear_table):
    plain = midlands.sky("csv", csv_file(clear_table))
    half = 181 * 24
    late = pd.concat([clear_table[half:], clear_table[:half].assign(
        time=clear_table["time"][:half].str.replace("2023", "2024"))])  # fmt: skip
    assert midlands.sky("csv", csv_file(late, "late.csv")).ghi == pytest.approx(plain.ghi)


def test_short_gaps_are_filled_where_asked_and_named(midlands, csv_file, clear_table):
    noon = clear_table["time"].str.endswith("06-21 12:00").to_numpy().nonzero()[0][0]
    broken = clear_table.drop(index=[noon, noon + 1])
    broken.loc[noon + 500, "temp_air"] = np.nan
    sky = midlands.sky("csv", csv_file(broken), fill_short_gaps=True)
    (note,) = [note for note in sky.notes if "filled" in note]
    assert "2023-06-21 12:00 to 2023-06-21 13:00 (row)" in note
    assert "(temp_air)" in note
    whole = midlands.sky("csv", csv_file(clear_table, "whole.csv"))
    assert sky.ghi.sum() == pytest.approx(whole.ghi.sum(), rel=1e-3)
    assert sky.temp_air == pytest.approx(10.0)


def test_a_filled_gap_at_dusk_puts_no_light_into_the_night(midlands, csv_file, clear_table):
    dusk = clear_table["time"].str.endswith("12-21 15:00").to_numpy().nonzero()[0][0]
    broken = clear_table.drop(index=[dusk + 1, dusk + 2])
    sky = midlands.sky("csv", csv_file(broken), fill_short_gaps=True)
    assert np.all(sky.ghi[(dusk + 2) * 2 : (dusk + 3) * 2] == 0)


def test_a_pyranometers_small_negative_night_is_taken_as_zero(midlands, csv_file, clear_table):
    dark = clear_table["ghi"] == 0
    clear_table.loc[dark, "ghi"] = -1.5
    clear_table.loc[0:3, "ghi"] = [-1.0, -2.0, -3.0, -4.0]
    sky = midlands.sky("csv", csv_file(clear_table))
    assert sky.ghi.min() == 0
    assert any("below zero at night" in note for note in sky.notes)


def test_a_clock_somewhat_off_is_mentioned(midlands, csv_file):
    sky = midlands.sky("csv", csv_file(csv_table(clear_means(MIDLANDS, 60, 30))))
    assert any("30 minutes late against the sun" in note for note in sky.notes)


def test_a_far_station_is_mentioned(sand_point, epw_file):
    lines = epw_lines()
    lines[0] = lines[0].replace("55.317", "56.317")
    assert any("111 km from the site" in n for n in sand_point.sky("epw", epw_file(lines)).notes)


def test_a_clock_given_beside_an_epw_file_is_not_used_and_said_so(sand_point, epw_file):
    sky = sand_point.sky("epw", epw_file(), time_label="start", utc_offset_hours=0.0)
    assert any("weather.time_label and weather.utc_offset_hours not used" in n for n in sky.notes)
