"""Which clock a file's times are of, told by the two nights on which the clocks change."""

from collections.abc import Iterator

import pandas as pd

from pvkit.errors import Fault, InputError
from pvkit.site.visit_file import Clock

LAST_SUNDAY_FROM = 25


def told_clock(times: pd.DatetimeIndex, file: str) -> tuple[Clock, str]:
    """Tell whether times without an offset are UTC or the clock on the wall.

    The clock on the wall has no 01:30 on the last Sunday of March and two on that of October.
    Between those nights both clocks give the same energy by day, so it does not matter which.

    Parameters
    ----------
    times : as written
    file : for messages

    Returns
    -------
    the clock, and a note for the reader

    Raises
    ------
    InputError
        If one night says UTC and another the wall.

    Examples
    --------
    >>> march = pd.date_range("2026-03-28", "2026-03-30", freq="30min")
    >>> told_clock(march, "a.csv")[0]
    'utc'
    """
    said = set(_said(times))
    if len(said) > 1:
        raise InputError(
            Fault(file, "found nights of the clock change that contradict each other",
                  "all times on one clock", "export it again, and say clock = 'utc' or 'local'")
        )  # fmt: skip
    if not said:
        return "utc", f"{file} does not say its clock; its days are taken as they stand."
    (clock,) = said
    words = {"utc": "UTC all year", "local": "the clock on the wall"}
    return clock, f"{file}: its times are {words[clock]}, told by the night the clocks change."


def _said(times: pd.DatetimeIndex) -> Iterator[Clock]:
    sunday = (times.day_of_week == 6) & (times.day >= LAST_SUNDAY_FROM)
    for month in (3, 10):
        night = times[sunday & (times.month == month) & (times.hour < 3)]
        for _, rows in pd.Series(night, index=night.year).groupby(level=0):
            hours = pd.DatetimeIndex(rows).hour
            if not {0, 2} <= set(hours):
                continue  # a logger that sleeps at night says nothing
            once = (hours == 0).sum()
            again = (hours == 1).sum()
            if month == 3 and again in (0, once):
                yield "utc" if again else "local"
            elif month == 10 and again in (once, 2 * once):
                yield "utc" if again == once else "local"
