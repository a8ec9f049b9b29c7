"""Weather files the user made: comma-separated, with pvlib's column names.

Columns ``time, ghi, dni, dhi, temp_air, wind_speed`` in any order; others are left alone. Times
are ISO 8601 (2023-01-31 13:00), hourly or half-hourly, all on one clock. ``weather.time_label``
says whether a time is the start (default), middle or end of its row, ``weather.utc_offset_hours``
how far the clock is ahead of UTC (default 0), unless each time carries its own offset.
"""

import difflib
import warnings
from io import StringIO
from pathlib import Path

import numpy as np
import pandas as pd

from pvkit.errors import Fault, InputError
from pvkit.site.place import Weather
from pvkit.sky.opening import numeric, text_of, unreadable, weather_path
from pvkit.sky.rows import AIR, LIGHT, Rows, listed

NEEDED = ("time", "ghi", *AIR)
STEPS = (60, 30)
OFFSET = r":\d\d.*(?:Z|[+-]\d\d:?\d\d)$"
CLOCK_ADVICE = (
    "check weather.time_label (start, middle or end of the hour) and weather.utc_offset_hours,"
    " and that latitude and longitude are those of the file"
)


def csv_rows(weather: Weather) -> Rows:
    """Read a comma-separated weather file.

    Raises
    ------
    InputError
        With what is wrong with the file, its columns, times and numbers.
    """
    path = weather_path(weather)
    table = _table(path)
    times, shown = _times(path, table["time"], weather)
    where = [f"{path.name}, {time}" for time in shown]
    columns: dict[str, pd.Series] = {}
    faults: list[Fault] = []
    for name in (*LIGHT, *AIR):
        if name in table:
            columns[name], wrong = numeric(table[name], name, where)
            faults += wrong
    step = _step(path, times)
    label = {"start": 0, "middle": step // 2, "end": step}[weather.time_label or "start"]
    starts = times - pd.Timedelta(minutes=label)
    off = _off_the_clock(starts, step, where, weather)
    if off:
        raise InputError(*faults, *off)
    return Rows(
        file=path.name,
        table=pd.DataFrame(columns),
        starts=starts,
        shown=shown,
        step_minutes=step,
        label_minutes=label,
        utc_offset_hours=weather.utc_offset_hours or 0.0,
        station=None,
        clock_advice=CLOCK_ADVICE,
        faults=tuple(faults),
        notes=(),
    )


def _table(path: Path) -> pd.DataFrame:
    """Read the cells as text and check the columns."""
    text = text_of(path, any_letters=False)
    with warnings.catch_warnings():
        # pandas only warns of a row longer than the first line, and drops what is too much.
        warnings.simplefilter("error", pd.errors.ParserWarning)
        try:
            table = pd.read_csv(
                StringIO(text), dtype=str, keep_default_na=False, comment="#", index_col=False
            )
        except (pd.errors.ParserWarning, ValueError) as error:
            raise unreadable(path, "CSV", error) from error
    table.columns = [str(name).strip().lower() for name in table.columns]
    faults = [_missing(path, name, list(table.columns)) for name in NEEDED if name not in table]
    if ("dni" in table) != ("dhi" in table):
        lacking = "dhi" if "dni" in table else "dni"
        faults.append(_missing(path, lacking, list(table.columns)))
    if table.columns.has_duplicates:
        twice = table.columns[table.columns.duplicated()][0]
        faults.append(Fault(path.name, f"found two columns '{twice}'", "one", "take one away"))
    if faults:
        raise InputError(*faults)
    return pd.DataFrame({name: table[name].str.strip() for name in table})


def _missing(path: Path, name: str, columns: list[str]) -> Fault:
    near = difflib.get_close_matches(name, columns, n=1)
    fix = f"rename '{near[0]}'" if near else f"add it, with '{name}' in the first line"
    if name in ("dni", "dhi"):
        fix = "give both dni and dhi, or neither: both are then worked out from ghi"
    found = f"found no column '{name}' among {', '.join(columns)[:120]}"
    allowed = "time, ghi, temp_air, wind_speed, and dni with dhi, separated by commas"
    return Fault(path.name, found, allowed, fix)


def _times(path: Path, text: pd.Series, weather: Weather) -> tuple[pd.DatetimeIndex, list[str]]:
    """Read the times, as written where they carry no offset from UTC, else as UTC."""
    times = pd.to_datetime(text, format="ISO8601", errors="coerce", utc=True)
    own_offset = text.str.contains(OFFSET)
    faults = [
        Fault(
            f"{path.name}, row {row + 1}",
            f"found time '{text.iloc[row][:40]}'",
            "year-month-day and time, like 2023-01-31 13:00",
            "write the times that way (day and month cannot be told apart otherwise)",
        )
        for row in np.flatnonzero(times.isna()).tolist()
    ]
    if own_offset.any() and (not own_offset.all() or weather.utc_offset_hours):
        row = int(np.flatnonzero(own_offset)[0])
        faults.append(
            Fault(
                f"{path.name}, {text.iloc[row]}",
                "found a time with its own offset from UTC",
                "either an offset in every time, or none and weather.utc_offset_hours",
                "use one of the two",
            )
        )
    if faults:
        raise InputError(*listed(faults))
    return pd.DatetimeIndex(times).tz_localize(None), list(text)


def _step(path: Path, times: pd.DatetimeIndex) -> int:
    """Find how far apart the rows are [min]."""
    apart = np.diff(np.unique(times.to_numpy("datetime64[s]"))).astype(np.int64)
    usual = int(np.bincount(apart[apart <= 86400]).argmax()) if (apart <= 86400).any() else 0
    if usual in (60 * STEPS[0], 60 * STEPS[1]):
        return usual // 60
    found = f"found rows {usual / 60:g} minutes apart" if usual else "found no run of times"
    raise InputError(
        Fault(
            path.name,
            found,
            "rows 60 or 30 minutes apart, for a whole year",
            "average the readings to hours or half-hours",
        )
    )


def _off_the_clock(
    starts: pd.DatetimeIndex, step: int, where: list[str], weather: Weather
) -> list[Fault]:
    """Report rows that do not start on the hour or half-hour."""
    off = np.flatnonzero((starts.minute % step != 0) | (starts.second != 0))
    label = weather.time_label or "start"
    other = "start" if label == "middle" else "middle"
    return listed(
        [
            Fault(
                where[row],
                f"found a row that begins at {starts[row]:%H:%M:%S} (time_label = '{label}')",
                f"rows that begin on the {'hour' if step == STEPS[0] else 'hour or half-hour'}",
                f"if the time is the {other} of the row, set weather.time_label = '{other}'",
            )
            for row in off.tolist()
        ]
    )
