"""Weather files that are wrong: every one is met with a message, none with a traceback."""

import numpy as np
import pytest

from pvkit.errors import InputError
from pvkit.site.place import Weather
from pvkit.sky.year import sky_year
from tests.sky.conftest import MIDLANDS, TMY3, clear_means, csv_table, epw_lines


def refused(cast, source, file, **how):
    with pytest.raises(InputError) as caught:
        cast.sky(source, file, **how)
    for fault in caught.value.faults:
        assert fault.where
        assert fault.found.startswith(("found", "and "))
        assert fault.allowed
        assert fault.fix
    return caught.value


def row_at(table, time):
    return int(np.flatnonzero(table["time"].str.endswith(time))[0])


def test_no_file_named(midlands_sun):
    with pytest.raises(InputError, match=r"weather\.file"):
        sky_year(midlands_sun, MIDLANDS, Weather(source="csv"))


@pytest.mark.parametrize("source", ["csv", "epw", "tmy3"])
def test_a_missing_file(midlands, tmp_path, source):
    assert "no such file" in str(refused(midlands, source, tmp_path / "gone.dat"))


@pytest.mark.parametrize("source", ["csv", "epw", "tmy3"])
def test_a_folder(midlands, tmp_path, source):
    assert "found a folder" in str(refused(midlands, source, tmp_path))


@pytest.mark.parametrize("source", ["csv", "epw", "tmy3"])
@pytest.mark.parametrize("content", [b"", b"\n \n", b"\xff\xfet\0i\0", b"PK\x03\x04\0\0", b"hello"])
def test_an_empty_or_foreign_file(midlands, tmp_path, source, content):
    file = tmp_path / "odd.dat"
    file.write_bytes(content)
    assert "odd.dat" in str(refused(midlands, source, file))


@pytest.mark.parametrize(
    ("source", "other"), [("csv", "tmy3"), ("epw", "tmy3"), ("tmy3", "epw"), ("csv", "epw")]
)
def test_a_file_of_another_format(midlands, epw_file, source, other):
    refused(midlands, source, TMY3 if other == "tmy3" else epw_file())


def test_letters_that_are_not_utf8(midlands, tmp_path):
    file = tmp_path / "made.csv"
    file.write_bytes("time,ghi,temp_air,wind_speed\n# Zürich\n".encode("latin-1"))
    assert "not UTF-8 in line 2" in str(refused(midlands, "csv", file))


def test_missing_and_misspelt_columns(midlands, csv_file, clear_table):
    table = clear_table.rename(columns={"temp_air": "tempair"}).drop(columns="wind_speed")
    error = refused(midlands, "csv", csv_file(table.assign(dni=0.0)))
    assert [f.found.split("'")[1] for f in error.faults] == ["temp_air", "wind_speed", "dhi"]
    assert error.faults[0].fix == "rename 'tempair'"


def test_semicolons(midlands, tmp_path, clear_table):
    file = tmp_path / "made.csv"
    clear_table.to_csv(file, index=False, sep=";")
    assert "separated by commas" in str(refused(midlands, "csv", file))


def test_a_row_with_too_many_cells(midlands, csv_file, clear_table):
    file = csv_file(clear_table)
    lines = file.read_text().splitlines()
    lines[100] += ",7,7"
    file.write_text("\n".join(lines))
    refused(midlands, "csv", file)


def test_a_gap_with_its_time(midlands, csv_file, clear_table):
    at = row_at(clear_table, "05-03 14:00")
    (fault,) = refused(midlands, "csv", csv_file(clear_table.drop(index=at))).faults
    assert fault.where == "made.csv, 2023-05-03 14:00"
    assert fault.found == "found no row (1 hour)"
    assert "fill_short_gaps" in fault.fix


def test_a_long_gap_is_not_filled(midlands, csv_file, clear_table):
    at = row_at(clear_table, "05-03 14:00")
    file = csv_file(clear_table.drop(index=range(at, at + 4)))
    (fault,) = refused(midlands, "csv", file, fill_short_gaps=True).faults
    assert fault.where == "made.csv, 2023-05-03 14:00 to 2023-05-03 17:00"
    assert "fill_short_gaps" not in fault.fix


def test_an_empty_cell_is_a_gap_of_its_quantity(midlands, csv_file, clear_table):
    clear_table.loc[row_at(clear_table, "05-03 14:00"), ["ghi", "wind_speed"]] = np.nan
    (fault,) = refused(midlands, "csv", csv_file(clear_table)).faults
    assert "found no ghi, wind_speed" in fault.found


def test_a_time_that_stands_twice(midlands, csv_file, clear_table):
    at = row_at(clear_table, "10-29 01:00")
    clear_table.loc[at + 1, "time"] = clear_table.loc[at, "time"]
    error = refused(midlands, "csv", csv_file(clear_table))
    assert {f.where for f in error.faults} == {
        "made.csv, 2023-10-29 01:00",
        "made.csv, 2023-10-29 02:00",
    }
    assert "a second time" in str(error)


@pytest.mark.parametrize(
    ("column", "value"),
    [("ghi", -50), ("ghi", 1700), ("ghi", "inf"), ("temp_air", -80), ("temp_air", 280),
     ("wind_speed", -1), ("wind_speed", 99), ("ghi", "cloudy"), ("temp_air", "12,5")],
)  # fmt: skip
def test_a_value_that_no_weather_has(midlands, csv_file, clear_table, column, value):
    clear_table[column] = clear_table[column].astype(object)
    clear_table.loc[row_at(clear_table, "06-15 12:00"), column] = value
    (fault,) = refused(midlands, "csv", csv_file(clear_table)).faults
    assert fault.where == "made.csv, 2023-06-15 12:00"
    assert column in fault.found


def test_all_faults_come_at_once_and_long_lists_are_cut(midlands, csv_file, clear_table):
    noon = np.flatnonzero(clear_table["time"].str.endswith(" 12:00"))
    clear_table.loc[noon[:30], "ghi"] = 2000.0
    clear_table.loc[5, "temp_air"] = 200.0
    error = refused(midlands, "csv", csv_file(clear_table.drop(index=noon[200])))
    assert len(error.faults) == 11 + 1 + 1
    assert error.faults[10].found == "and 20 more like these from here on"


@pytest.mark.parametrize("hours", [2, -3, 12])
def test_a_wrong_clock_shows_as_light_at_night(midlands, csv_file, clear_table, hours):
    error = refused(midlands, "csv", csv_file(clear_table), utc_offset_hours=float(hours))
    assert any("below the horizon" in fault.found for fault in error.faults)
    assert "weather.utc_offset_hours" in str(error)
    if hours != 12:
        word = "early" if hours > 0 else "late"
        assert f"{abs(hours) * 60} minutes too {word}" in str(error)


def test_a_label_an_hour_out_is_noticed(midlands, csv_file, clear_table):
    error = refused(midlands, "csv", csv_file(clear_table), time_label="end")
    assert "60 minutes too early against the sun" in str(error)
    assert "weather.time_label" in str(error)


def test_one_bright_night_hour(midlands, csv_file, clear_table):
    clear_table.loc[row_at(clear_table, "01-15 23:00"), "ghi"] = 300.0
    (fault,) = refused(midlands, "csv", csv_file(clear_table)).faults
    assert fault.where == "made.csv, 2023-01-15 23:00"


def test_a_year_without_light(midlands, csv_file, clear_table):
    assert "no light" in str(refused(midlands, "csv", csv_file(clear_table.assign(ghi=0.0))))


@pytest.mark.parametrize("rows", [1, 2, 100, 4000])
def test_a_file_far_too_short(midlands, csv_file, clear_table, rows):
    refused(midlands, "csv", csv_file(clear_table[:rows]))


def test_a_file_of_two_years(midlands, csv_file, clear_hours):
    error = refused(midlands, "csv", csv_file(csv_table(np.tile(clear_hours, 2))))
    assert "17,520 rows 60 minutes apart" in str(error)


def test_rows_of_another_length(midlands, csv_file):
    table = csv_table(clear_means(MIDLANDS, 15), 15)
    assert "15 minutes apart" in str(refused(midlands, "csv", csv_file(table)))


def test_times_that_cannot_be_told(midlands, csv_file, clear_table):
    clear_table.loc[3, "time"] = "31/01/2023 13:00"
    (fault,) = refused(midlands, "csv", csv_file(clear_table)).faults
    assert fault.where == "made.csv, row 4"
    assert "31/01/2023" in fault.found


def test_times_off_the_hour(midlands, csv_file, clear_table):
    clear_table["time"] = clear_table["time"].str.replace(":00", ":30")
    error = refused(midlands, "csv", csv_file(clear_table))
    assert "set weather.time_label = 'middle'" in str(error)
    assert len(error.faults) == 11


def test_some_times_with_an_offset_and_some_without(midlands, csv_file, clear_table):
    clear_table.loc[7, "time"] += "+01:00"
    assert "its own offset" in str(refused(midlands, "csv", csv_file(clear_table)))


def test_hourly_rows_on_a_clock_half_an_hour_from_utc(midlands, csv_file, clear_table):
    error = refused(midlands, "csv", csv_file(clear_table), utc_offset_hours=5.5)
    assert "weather.utc_offset_hours" in error.faults[0].where


def test_an_epw_file_cut_short(sand_point, epw_file):
    assert "4,992 rows" in str(refused(sand_point, "epw", epw_file(epw_lines()[:5000])))


@pytest.mark.parametrize(
    ("column", "text", "said"),
    [(13, "9999", "found no ghi"), (6, "99.9", "found no temp_air"),
     (15, "dull", "found dhi 'dull'"), (21, "120", "found wind_speed 120"),
     (14, "-7", "found dni -7"), (3, "25", "EPW")],
)  # fmt: skip
def test_an_epw_cell_that_is_missing_or_nonsense(sand_point, epw_file, column, text, said):
    lines = epw_lines()
    cells = lines[8 + 4000].split(",")
    cells[column] = text
    lines[8 + 4000] = ",".join(cells)
    error = refused(sand_point, "epw", epw_file(lines))
    assert said in str(error)
    assert column == 3 or "-06-16 17:00" in error.faults[0].where


def test_a_tmy3_file_without_a_column(sand_point, tmp_path):
    file = tmp_path / "made.csv"
    file.write_text(TMY3.read_text(encoding="utf-8").replace("GHI (W/m^2)", "Global"))
    assert "no column for ghi" in str(refused(sand_point, "tmy3", file))


def test_a_file_of_another_place(midlands):
    error = refused(midlands, "tmy3", TMY3)
    assert "its header says latitude 55.317, longitude -160.517, UTC-9" in str(error)
