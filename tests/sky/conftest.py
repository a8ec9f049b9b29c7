"""Places, real and made weather files. The EPW file is written here from the TMY3 file's rows."""

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
import pytest

from pvkit.site.place import Place, Weather
from pvkit.sky.sun import sun_year
from pvkit.sky.year import sky_year

# A real cool and cloudy year at 55 N that ships inside pvlib (open data), TMY3, UTC-9.
TMY3 = Path(pvlib.__file__).parent / "data" / "703165TY.csv"
SAND_POINT = Place(name="test", latitude=55.317, longitude=-160.517, altitude_m=7.0)
MIDLANDS = Place(name="test", latitude=52.6, longitude=-1.7, altitude_m=100.0, region="Midlands")
EPW_BLANKS = ["0"] * 35


@dataclass(frozen=True)
class Cast:
    """Reads one weather file at one place."""

    place: Place

    def sun(self):
        return _sun(self.place.latitude, self.place.longitude, self.place.altitude_m)

    def sky(self, source, file, **how):
        return sky_year(self.sun(), self.place, Weather(source=source, file=str(file), **how))


@cache
def _sun(latitude, longitude, altitude_m):
    return sun_year(latitude, longitude, altitude_m)


@pytest.fixture(scope="session")
def midlands():
    return Cast(MIDLANDS)


@pytest.fixture(scope="session")
def sand_point():
    return Cast(SAND_POINT)


@pytest.fixture(scope="session")
def midlands_sun(midlands):
    return midlands.sun()


def tmy3_rows():
    with TMY3.open(encoding="utf-8") as file:
        next(file)
        return list(csv.DictReader(file))


def epw_lines(rows=None):
    """Write Sand Point's rows in the EPW format: 8 header lines, hours 1 to 24 (hour ending)."""
    lines = ["LOCATION,SAND POINT,AK,USA,TMY3,703165,55.317,-160.517,-9.0,7.0"]
    lines += [f"HEADER {number}" for number in range(2, 9)]
    for row in rows or tmy3_rows():
        month, day, year = row["Date (MM/DD/YYYY)"].split("/")
        cells = EPW_BLANKS.copy()
        cells[0:5] = [year, str(int(month)), str(int(day)), str(int(row["Time (HH:MM)"][:2])), "60"]
        cells[5] = "?9?9"
        cells[6] = row["Dry-bulb (C)"]
        cells[13:16] = [row["GHI (W/m^2)"], row["DNI (W/m^2)"], row["DHI (W/m^2)"]]
        cells[21] = row["Wspd (m/s)"]
        lines.append(",".join(cells))
    return lines


@pytest.fixture
def epw_file(tmp_path):
    def written(lines=None, name="made.epw"):
        path = tmp_path / name
        path.write_text("\n".join(lines or epw_lines()) + "\n", encoding="utf-8")
        return path

    return written


def clear_means(place, step_minutes, shift_minutes=0):
    """Give a cloudless year's true means over each step, from the sun at every fifth minute.

    ``shift_minutes`` sets the clock wrong on purpose: light comes that much later.
    """
    ghi = np.roll(_clear_five_minutes(place), shift_minutes // 5)
    return ghi.reshape(-1, step_minutes // 5).mean(axis=1)


@cache
def _clear_five_minutes(place):
    minutes = pd.date_range("2025-01-01", periods=365 * 288, freq="5min", tz="UTC")
    position = pvlib.solarposition.get_solarposition(
        minutes + pd.Timedelta(minutes=2.5),
        place.latitude,
        place.longitude,
        altitude=place.altitude_m,
    )
    return pvlib.clearsky.haurwitz(position["apparent_zenith"])["ghi"].to_numpy()


def csv_table(ghi, step_minutes=60, year=2023):
    """Give a made weather table whose times are the starts of its rows, UTC."""
    times = pd.date_range(f"{year}-01-01", periods=len(ghi), freq=f"{step_minutes}min")
    return pd.DataFrame(
        {
            "time": times.strftime("%Y-%m-%d %H:%M"),
            "ghi": np.round(ghi, 3),
            "temp_air": 10.0,
            "wind_speed": 4.0,
        }
    )


@pytest.fixture
def csv_file(tmp_path):
    def written(table, name="made.csv"):
        path = tmp_path / name
        table.to_csv(path, index=False)
        return path

    return written


@pytest.fixture(scope="session")
def clear_hours():
    return clear_means(MIDLANDS, 60)


@pytest.fixture
def clear_table(clear_hours):
    return csv_table(clear_hours)
