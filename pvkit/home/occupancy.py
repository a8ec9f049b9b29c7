"""Who is in, half-hour by half-hour, day by day."""

import zlib
from functools import cache

import numpy as np
from numpy.typing import NDArray

from pvkit.home.calendar import BoolArray, local_calendar
from pvkit.tables import numbers, rows

Array = NDArray[np.float64]


def stream(seed: int, subject: str) -> np.random.Generator:
    """Give the chance numbers of one subject, which no other subject's numbers disturb.

    Parameters
    ----------
    seed : which of many equally likely years
    subject : what the numbers decide

    Examples
    --------
    >>> stream(1, "kettle").random(2)[0] == stream(1, "kettle").random(9)[0]
    np.True_
    """
    return np.random.default_rng([seed, zlib.crc32(subject.encode())])


@cache
def chance_at_home(day: str) -> Array:
    """Chance that somebody is in, for one kind of day, (n,) by the local clock.

    Weekends are those of the mean home for every kind.

    Source
    ------
    ``day_kinds.csv``

    Examples
    --------
    >>> float(chance_at_home("out")[12 * 48 + 24])  # noon on a Monday in January
    0.05
    """
    calendar = local_calendar()
    weekday, weekend = (
        np.array([float(row[kind]) for row in rows("day_kinds.csv")]) for kind in (day, "half")
    )
    hour = calendar.half_hour // 2
    chance = np.where(calendar.weekend, weekend[hour], weekday[hour])
    chance.setflags(write=False)
    return chance


@cache
def at_home_year(day: str, seed: int) -> BoolArray:
    """Draw a year of comings and goings.

    One number is drawn for each day: how busy it is. The home is empty while the published
    chance that somebody is in lies below it, so that a busy day is one absence, with one leaving
    and one coming back, and the mean of many days is the published chance. Two weeks are spent
    away.

    Parameters
    ----------
    day : "out", "half" or "in"
    seed : which of many equally likely years

    Returns
    -------
    (n,) True while somebody is in; its array cannot be written to.

    Examples
    --------
    >>> busy, idle = at_home_year("out", 1), at_home_year("in", 1)
    >>> bool(busy.mean() < idle.mean()), bool((busy <= idle).all())
    (True, True)
    """
    calendar = local_calendar()
    busy = stream(seed, "how busy a day is").random(int(calendar.day.max()) + 1)
    at_home = busy[calendar.day] < chance_at_home(day)
    for first, last in _absences(seed):
        at_home &= ~((calendar.day >= first) & (calendar.day < last))
    at_home.setflags(write=False)
    return at_home


def _absences(seed: int) -> list[tuple[int, int]]:
    """First day of each absence, and the day of coming back."""
    table = numbers("constants.toml")
    days = table["demand.away_days"].value
    draw = stream(seed, "absences").random
    firsts = (
        int(first + draw() * (last - first))
        for first, last in table["demand.away_first_days"].value
    )
    return [(first, first + days) for first in firsts]
