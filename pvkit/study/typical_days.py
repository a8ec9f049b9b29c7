"""Days of the year that stand for their season: sunny, usual, dull, and the mean of all."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from pvkit.home.calendar import local_calendar
from pvkit.home.paths import Flows
from pvkit.tables import MONTHS, constant

Array = NDArray[np.float64]

SLOTS = 48
DAYS = 365
_SUMMER, _WINTER, _BETWEEN = (5, 6, 7), (11, 0, 1), (2, 3, 4, 8, 9, 10)
# Each kind of day: its months, and its place among their days ordered by the sun's energy.
_PLACES = {
    "a sunny summer day": (_SUMMER, 0.9),
    "a usual summer day": (_SUMMER, 0.5),
    "a usual day of spring or autumn": (_BETWEEN, 0.5),
    "a usual winter day": (_WINTER, 0.5),
    "a dull winter day": (_WINTER, 0.1),
}
MEAN = "the mean of all days"
DAY_KINDS = (*_PLACES, MEAN)


@dataclass(frozen=True, slots=True, eq=False)
class HomeDay:
    """One day's flows.

    Parameters
    ----------
    words : which day it is
    flows : by the names of :class:`pvkit.home.paths.Flows`, each (48,) by the local clock [kWh]
    """

    words: str
    flows: dict[str, Array]


def home_day(year: Flows, kind: str, names: tuple[str, ...]) -> HomeDay:
    """Take a day out of a year.

    Parameters
    ----------
    year : every half-hour's flows
    kind : one of ``DAY_KINDS``
    names : the flows wanted

    Returns
    -------
    the day, never one on which the clocks change
    """
    calendar = local_calendar()
    if kind == MEAN:
        counts = np.bincount(calendar.half_hour, minlength=SLOTS)
        sums = {name: np.bincount(calendar.half_hour, getattr(year, name)) for name in names}
        return HomeDay(kind, {name: values / counts for name, values in sums.items()})
    months, place = _PLACES[kind]
    made = np.bincount(calendar.day, year.solar_kwh, minlength=DAYS)
    whole = np.bincount(calendar.day, minlength=DAYS) == SLOTS
    month = calendar.month[np.searchsorted(calendar.day, np.arange(DAYS))]
    days = np.flatnonzero(np.isin(month, months) & whole)
    rising = days[np.argsort(made[days], kind="stable")]
    chosen = int(rising[round(place * (len(rising) - 1))])
    here = calendar.day == chosen
    on = date(int(constant("calendar.year")), 1, 1) + timedelta(days=chosen)
    words = f"{kind} ({on.day} {MONTHS[on.month - 1].title()})"
    return HomeDay(words, {name: getattr(year, name)[here] for name in names})
