"""Weather files in the EPW and TMY3 formats.

Time labels: both formats label a row by the END of its hour (EPW hour 1 and TMY3 01:00 are the
hour from midnight to one), in the station's standard time all year, whose hours from UTC stand in
the header. The EPW reader of pvlib gives back the START of the hour, its TMY3 reader the END; both
are turned into starts here.
"""

import warnings
from collections.abc import Callable
from io import StringIO
from pathlib import Path
from typing import Any

import pandas as pd

from pvkit.errors import Fault
from pvkit.site.place import Weather
from pvkit.sky.opening import READERS_WORDS, numeric, text_of, unreadable, weather_path
from pvkit.sky.rows import AIR, LIGHT, Rows

HOUR = pd.Timedelta(hours=1)
# Values that mean "missing" in the EPW data dictionary, and TMY3's (Wilcox & Marion 2008).
EPW_MISSING = {"ghi": 9999.0, "dni": 9999.0, "dhi": 9999.0, "temp_air": 99.9, "wind_speed": 999.0}
TMY3_MISSING = dict.fromkeys((*LIGHT, *AIR), -9900.0)
Read = tuple[pd.DataFrame, dict[str, Any]]


def epw_rows(weather: Weather) -> Rows:
    """Read a file in the EPW format.

    Raises
    ------
    InputError
        If the file cannot be opened or is no EPW file.
    """
    import pvlib

    path = weather_path(weather)
    text = text_of(path, any_letters=True)
    if not text.upper().startswith("LOCATION"):
        raise unreadable(path, "EPW", "its first line does not begin with LOCATION")
    table, header = _read(path, "EPW", lambda: pvlib.iotools.read_epw(StringIO(text)))
    return _rows(path, weather, table, header, EPW_MISSING)


def tmy3_rows(weather: Weather) -> Rows:
    """Read a file in the TMY3 format.

    Raises
    ------
    InputError
        If the file cannot be opened or is no TMY3 file.
    """
    import pvlib

    path = weather_path(weather)
    text = text_of(path, any_letters=True)
    table, header = _read(
        path, "TMY3", lambda: pvlib.iotools.read_tmy3(StringIO(text), map_variables=True)
    )
    starts = pd.DatetimeIndex(table.index) - HOUR
    # A TMY3 year has no 29 February; the reader puts 28 February 24:00 of a leap year a day late.
    late = (starts.month == 2) & (starts.day == 29)
    table.index = starts.where(~late, starts - pd.Timedelta(days=1))
    return _rows(path, weather, table, header, TMY3_MISSING)


def _read(path: Path, kind: str, reader: Callable[[], Read]) -> Read:
    """Run a reader; whatever it trips over becomes one plain message."""
    with warnings.catch_warnings():
        # A word among numbers is found and reported by us, with its time.
        warnings.simplefilter("ignore", pd.errors.DtypeWarning)
        try:
            return reader()
        except READERS_WORDS as error:
            raise unreadable(path, kind, error) from error


def _rows(
    path: Path,
    weather: Weather,
    table: pd.DataFrame,
    header: dict[str, Any],
    missing: dict[str, float],
) -> Rows:
    starts = pd.DatetimeIndex(table.index).tz_localize(None)
    shown = list((starts + HOUR).strftime("%Y-%m-%d %H:%M"))
    where = [f"{path.name}, {time}" for time in shown]
    columns: dict[str, pd.Series] = {}
    faults: list[Fault] = []
    for name, code in missing.items():
        if name not in table:
            raise unreadable(path, weather.source.upper(), f"it has no column for {name}")
        numbers, wrong = numeric(table[name].reset_index(drop=True), name, where)
        columns[name] = numbers.mask(numbers == code)
        faults += wrong
    return Rows(
        file=path.name,
        table=pd.DataFrame(columns),
        starts=starts,
        shown=shown,
        step_minutes=60,
        label_minutes=60,
        utc_offset_hours=float(header["TZ"]),
        station=(float(header["latitude"]), float(header["longitude"])),
        clock_advice="check that the file is of this place: its header says latitude"
        f" {header['latitude']:g}, longitude {header['longitude']:g}, UTC{header['TZ']:+g}",
        faults=tuple(faults),
        notes=_unused(weather),
    )


def _unused(weather: Weather) -> tuple[str, ...]:
    """Say so when the site file tells a clock that the format itself fixes."""
    given = [k for k in ("time_label", "utc_offset_hours") if getattr(weather, k) is not None]
    if not given:
        return ()
    keys = " and ".join(f"weather.{key}" for key in given)
    return (f"{keys} not used: the {weather.source.upper()} format fixes its own clock",)
