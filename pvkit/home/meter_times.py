"""Dates and times as meter files write them, turned into days and minutes.

Known are 2024-01-31, 31/01/2024, 01/31/2024, 31 Jan 2024 and 20240131, each with a time or without,
in any of the usual separators, and with an offset from UTC or without.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pvkit.errors import Fault, InputError
from pvkit.home.calendar import IntArray
from pvkit.home.meter_text import Sheet
from pvkit.tables import MONTHS

Array = NDArray[np.float64]
Order = Literal["day first", "month first", "year first"]

MINUTES_A_DAY = 24 * 60
MOST_LISTED = 10
OFFSET = r"(?P<offset>[Zz]|[+-]\d{2}:?\d{2})?"
CLOCK = (
    r"(?P<hour>\d{1,2}):(?P<minute>\d{2})(?::(?P<second>\d{2})(?:\.\d+)?)?\s*(?P<half>[AaPp][Mm])?"
)
SPELT = (
    r"^(?P<a>\d{1,4}|[A-Za-z]{3,9})[-/. ](?P<b>\d{1,2}|[A-Za-z]{3,9})[-/., ]+(?P<c>\d{2,4})"
    rf"(?:[T ,]+{CLOCK}\s*{OFFSET})?$"
)
COMPACT = (
    r"^(?P<a>(?:19|20)\d{2})(?P<b>0[1-9]|1[0-2])(?P<c>[0-2]\d|3[01])"
    rf"(?:[T ]?(?P<hour>\d{{2}}):?(?P<minute>\d{{2}})(?::?(?P<second>\d{{2}}))?\s*{OFFSET})?$"
)
# A time by itself may be written as a span, "00:00 - 00:30"; its beginning counts.
TIME_ALONE = rf"^{CLOCK}(?:\s*(?:-|–|to)\s*\d{{1,2}}:\d{{2}}.*)?$"


@dataclass(frozen=True, slots=True, eq=False)
class Stamps:
    """The dates and times of a file's rows as written.

    Parameters
    ----------
    day : (rows,) days since 1 January 1970
    minute : (rows,) minute of the day, 1440 for 24:00; -1 where no time is written
    offset : (rows,) minutes ahead of UTC; NaN where none is written
    order : how the dates are written
    certain : whether the file itself shows the order
    """

    day: IntArray
    minute: IntArray
    offset: Array
    order: Order
    certain: bool


def looks_dated(text: pd.Series) -> tuple[bool, bool]:
    """Tell whether most of a column's cells are dates, and whether they hold a time."""
    filled = text[text != ""]
    if filled.empty:
        return False, False
    parts = _parts(filled)
    return bool(parts["a"].notna().mean() > 0.5), bool(parts["hour"].notna().mean() > 0.5)


def looks_like_times(text: pd.Series) -> bool:
    """Tell whether most of a column's cells are times of day by themselves."""
    filled = text[text != ""]
    return not filled.empty and bool(filled.str.match(TIME_ALONE).mean() > 0.5)


def clock_minutes(text: pd.Series) -> Array:
    """Read times of day by themselves [min], NaN where a cell holds none."""
    parts = text.str.extract(TIME_ALONE)
    return _minutes(parts).to_numpy(np.float64)


def stamps_of(sheet: Sheet, column: int, asked: Order | None, key: str) -> Stamps:
    """Read a column of dates, with or without times.

    Parameters
    ----------
    sheet : the file
    column : where the dates stand
    asked : how dates are written, or None to find out
    key : prefix of the keys that say how to read, for messages

    Raises
    ------
    InputError
        Naming each cell that holds no date, or if day and month cannot be told apart.
    """
    text = sheet.cells[column].astype(str)
    parts = _parts(text)
    order, certain = _order(parts, asked)
    if order is None:
        raise InputError(_two_orders(sheet, column, parts, key))
    first, second, third = (parts[name] for name in "abc")
    year, month, date = {
        "year first": (first, second, third),
        "day first": (third, second, first),
        "month first": (third, first, second),
    }[order]
    days = _days(year, month, date)
    bad = days.isna() | (parts["hour"].notna() & _minutes(parts).isna())
    if bad.any():
        rows = np.flatnonzero(bad.to_numpy())
        faults = [_no_date(sheet, int(row), text.iloc[row], order) for row in rows[:MOST_LISTED]]
        raise InputError(*faults, *more(sheet.file, len(rows) - MOST_LISTED))
    return Stamps(
        day=days.to_numpy(np.int64),
        minute=_minutes(parts).fillna(-1).to_numpy(np.int64),
        offset=_offsets(parts["offset"]),
        order=order,
        certain=certain,
    )


def more(file: str, count: int) -> list[Fault]:
    """Make the fault that stands for those not listed one by one."""
    found = f"found {count:,} more of the same"
    return [Fault(file, found, "none", "put those above right first")] if count > 0 else []


def _parts(text: pd.Series) -> pd.DataFrame:
    spelt = text.str.extract(SPELT)
    compact = text.str.extract(COMPACT)
    return spelt.where(spelt["a"].notna(), compact.reindex(columns=spelt.columns))


def _order(parts: pd.DataFrame, asked: Order | None) -> tuple[Order | None, bool]:
    """Find how dates are written, and whether the file shows it; None if both ways are there."""
    if (parts["a"].dropna().str.len() == 4).mean() > 0.5:
        return "year first", True
    if asked is not None:
        return asked, True
    if parts["a"].str.contains("[A-Za-z]", na=False).any():
        return "month first", True
    first, second = (pd.to_numeric(parts[name], errors="coerce") for name in "ab")
    day_first, month_first = bool((first > 12).any()), bool((second > 12).any())
    if day_first and month_first:
        return None, True
    if day_first or month_first or parts["b"].str.contains("[A-Za-z]", na=False).any():
        return ("month first" if month_first else "day first"), True
    in_rows = [_days_in_a_row(*(parts[name] for name in names)) for names in ("cba", "cab")]
    return ("month first" if in_rows[1] > in_rows[0] else "day first"), in_rows[0] != in_rows[1]


def _days_in_a_row(year: pd.Series, month: pd.Series, date: pd.Series) -> int:
    """Count the steps from a day to the next that a way of reading dates gives."""
    return int((np.abs(np.diff(_days(year, month, date).to_numpy(np.float64))) == 1.0).sum())


def _two_orders(sheet: Sheet, column: int, parts: pd.DataFrame, key: str) -> Fault:
    row = int(np.flatnonzero((pd.to_numeric(parts["b"], errors="coerce") > 12).to_numpy())[0])
    return Fault(
        sheet.at(row),
        f"found '{sheet.cells[column].iloc[row]}' and other dates that put the day first",
        "dates all written one way",
        f"write all dates as 2024-01-31, or set {key}_date_order",
    )


def _days(year: pd.Series, month: pd.Series, date: pd.Series) -> pd.Series:
    """Give days since 1970, missing where there is no such date."""
    named = month.str.lower().str[:3].map({name: n for n, name in enumerate(MONTHS, 1)})
    years = pd.to_numeric(year, errors="coerce")
    columns = {
        "year": years.where(years >= 100, years + 2000),
        "month": pd.to_numeric(month, errors="coerce").fillna(named),
        "day": pd.to_numeric(date, errors="coerce"),
    }
    found = pd.to_datetime(pd.DataFrame(columns), errors="coerce")
    return (found - pd.Timestamp("1970-01-01")) / pd.Timedelta(days=1)


def _minutes(parts: pd.DataFrame) -> pd.Series:
    """Give minutes of the day; 23:59:59 is taken as the end of its half-hour."""
    hour, minute, second = (
        pd.to_numeric(parts[name], errors="coerce") for name in ("hour", "minute", "second")
    )
    if "half" in parts:
        half = parts["half"].str.lower()
        hour = hour.where(half.isna(), hour % 12 + 12.0 * (half == "pm"))
    total = hour * 60 + minute + (second.fillna(0) == 59)
    sound = (minute < 60) & (total <= MINUTES_A_DAY) & second.fillna(0).isin([0, 59])
    return total.where(sound)


def _offsets(text: pd.Series) -> Array:
    """Give minutes ahead of UTC, NaN where no offset is written."""
    plain = text.str.replace(":", "").str.replace("[Zz]", "+0000", regex=True)
    number = pd.to_numeric(plain, errors="coerce")
    minutes = np.sign(number) * (number.abs() // 100 * 60 + number.abs() % 100)
    return np.asarray(minutes, dtype=np.float64)


def _no_date(sheet: Sheet, row: int, text: str, order: Order) -> Fault:
    return Fault(
        sheet.at(row),
        f"found '{text[:40]}' where the date should stand ({order})",
        "a date that exists, like 2024-01-31, and a time from 00:00 to 24:00",
        "mend or take out this line",
    )
