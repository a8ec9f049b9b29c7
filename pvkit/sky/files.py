"""A year of weather from a file the user brings, or from the online archive."""

import numpy as np

from pvkit.errors import Fault
from pvkit.site.place import Place, Weather
from pvkit.sky.checks import (
    FileSun,
    clock_faults,
    clock_minutes,
    clock_note,
    file_sun,
    night_faults,
    no_light_fault,
    range_faults,
)
from pvkit.sky.csv_file import csv_rows
from pvkit.sky.diffuse import split_global
from pvkit.sky.distance import great_circle_km
from pvkit.sky.epw_tmy3 import epw_rows, tmy3_rows
from pvkit.sky.gaps import (
    duplicate_faults,
    fill_note,
    filled,
    gap_faults,
    gaps_of,
    length_fault,
    on_the_year,
    refuse,
)
from pvkit.sky.half_hours import half_hourly
from pvkit.sky.online import online_rows
from pvkit.sky.record import Readings, Sky, sky_of
from pvkit.sky.rows import LIGHT, Rows, without_leap_day
from pvkit.sky.sun import Array, Sun, above
from pvkit.tables import constant

READERS = {"epw": epw_rows, "tmy3": tmy3_rows, "csv": csv_rows}
ONLINE = "online"


def file_year(sun: Sun, place: Place, weather: Weather) -> Sky:
    """Read a weather file onto the reference year.

    The file's rows are put on a year of 365 days by month, day and hour, turned to UTC (what falls
    off one end of the year comes in at the other), and hours are split into half-hours.

    Parameters
    ----------
    sun : the sun over the place
    place : where the home stands
    weather : source, file and how to read it

    Raises
    ------
    InputError
        With everything that is wrong with the file: gaps, repeated times, nonsense, light at
        night, a wrong clock.
    """
    online = weather.source == ONLINE
    rows = online_rows(place, weather) if online else READERS[weather.source](weather)
    _refuse_length_and_clock(rows)
    rows = without_leap_day(rows)
    clock = file_sun(sun, rows)
    columns = on_the_year(rows)
    gaps = gaps_of(rows, columns)
    late = clock_minutes(columns["ghi"], clock)
    faults = [*rows.faults, *range_faults(rows, clock)]
    faults += duplicate_faults(rows) + no_light_fault(rows)
    faults += gap_faults(rows, gaps, fill=weather.fill_short_gaps)
    refuse(faults + night_faults(rows, clock) + clock_faults(rows, late))
    readings, notes = _readings(sun, rows, clock, columns)
    return sky_of(
        sun,
        half_hourly(sun, readings) if rows.halves > 1 else readings,
        rows.file if online else f"{weather.source.upper()} file {rows.file}",
        (*rows.notes, *fill_note(rows, gaps), *notes, *clock_note(rows, late), *_far(rows, place)),
    )


def _refuse_length_and_clock(rows: Rows) -> None:
    """Stop where the rest could not even be looked at."""
    length = length_fault(rows)
    faults = [length] if length else []
    if rows.shift * rows.step_minutes != rows.utc_offset_hours * 60.0:
        faults.append(
            Fault(
                f"{rows.file}, weather.utc_offset_hours",
                f"found {rows.utc_offset_hours:g} hours beside rows of {rows.step_minutes} minutes",
                f"a whole number of rows: steps of {rows.step_minutes / 60:g} hours",
                "bring the file on a clock a whole number of hours from UTC, or half-hourly rows",
            )
        )
    refuse(faults)


def _readings(
    sun: Sun, rows: Rows, clock: FileSun, columns: dict[str, Array]
) -> tuple[Readings, tuple[str, ...]]:
    """Fill, turn to UTC, and work out what light the file leaves out."""
    made = filled(columns, clock.dark)
    notes: tuple[str, ...] = ()
    below = sum(int((made[name] < 0.0).sum()) for name in LIGHT if name in made)
    if below:
        notes += (f"{rows.file}: {below:,} readings a little below zero at night taken as zero",)
    utc = {
        name: np.roll(np.maximum(column, 0.0) if name in LIGHT else column, -rows.shift)
        for name, column in made.items()
    }
    if "dni" not in utc:
        utc["dni"], utc["dhi"] = split_global(utc["ghi"], above(sun, rows.halves))
        notes += (
            f"{rows.file}: dni and dhi worked out from ghi (Erbs, Klein & Duffie 1982), which adds"
            " a few per cent of doubt on a tilted roof",
        )
    return Readings(**utc), notes


def _far(rows: Rows, place: Place) -> tuple[str, ...]:
    """Mention a station that is far from the home."""
    if rows.station is None:
        return ()
    away = great_circle_km(rows.station, (place.latitude, place.longitude))
    if away <= constant("weather.far_station_km"):
        return ()
    return (f"{rows.file}: its station is {away:,.0f} km from the site",)
