"""Electricity use of the home, half-hour by half-hour.

A published mean day for each month gives the shape, a flat part stands for what never sleeps
(fridge, router, standby), and on weekdays the waking part moves with who is at home.
"""

from functools import cache

import numpy as np
from numpy.typing import NDArray

from pvkit.home.calendar import local_calendar
from pvkit.site.household import Home
from pvkit.tables import MONTHS, constant, rows

Array = NDArray[np.float64]


def demand_year(home: Home) -> Array:
    """Spread the yearly electricity of the bill over the half-hours of the year.

    Parameters
    ----------
    home : yearly kWh and how the day is spent ("out", "half" or "in")

    Returns
    -------
    (n,) electricity used in each half-hour [kWh]; the sum is ``home.yearly_kwh``

    Source
    ------
    Monthly mean days: ``domestic_electricity_half_hour_by_month.csv``. The flat part
    (``demand.flat_share``) and the kinds of day (``day_kinds.csv``) are assumptions. Known
    weakness: every day of a kind is the same smooth mean day, see :func:`demand_notes`.

    Examples
    --------
    >>> round(float(demand_year(Home(yearly_kwh=3100.0)).sum()), 6)
    3100.0
    """
    return home.yearly_kwh * _shape(home.day)


def demand_notes(home: Home) -> tuple[str, ...]:
    """Say what a reader should know about the demand before trusting the share used at home.

    Examples
    --------
    >>> print(demand_notes(Home(day="in"))[1])
    Weekdays follow a home with somebody in all day; weekends are the same for every home.
    """
    kind = {
        "out": "a home left empty for the working day",
        "half": "a mean home, with somebody in for about half of the working day",
        "in": "a home with somebody in all day",
    }[home.day]
    return (
        "Demand is a smooth mean day without the peaks and lulls of a real one, so the share of "
        "the solar energy used at home comes out too high. Against the published self-use formula "
        "(SAP 10.2 Appendix M) it is about 20 points too high where the panels make half of what "
        "the home uses in a year, and about 10 where they make as much as it uses.",
        f"Weekdays follow {kind}; weekends are the same for every home.",
    )


@cache
def _shape(day: str) -> Array:
    """Share of the year's electricity used in each half-hour, (n,), summing to 1."""
    calendar = local_calendar()
    weekend, weekday = _mean_days("half"), _mean_days(day)
    at = (calendar.half_hour, calendar.month)
    shape = np.where(calendar.weekend, weekend[at], weekday[at])
    shape /= shape.sum()
    shape.setflags(write=False)
    return shape


def _mean_days(day: str) -> Array:
    """Mean day of each month for one kind of day, (48, 12), a month's total kept by every kind."""
    table = rows("domestic_electricity_half_hour_by_month.csv")
    published = np.array([[float(row[month]) for month in MONTHS] for row in table])
    waking = published * _use_against_mean(day)[:, None]
    waking *= published.sum(axis=0) / waking.sum(axis=0)
    flat = np.full_like(published, published.mean())
    share = constant("demand.flat_share")
    return (1.0 - share) * waking + share * flat


def _use_against_mean(day: str) -> Array:
    """Waking use of a kind of home against the mean home's, by local half-hour, (48,).

    The published mean mixes homes with somebody in and homes empty at that hour. An empty home
    goes on using ``demand.empty_home_share`` of what it would with somebody in.
    """
    empty = constant("demand.empty_home_share")
    kinds = {
        kind: np.array([float(row[kind]) for row in rows("day_kinds.csv")])
        for kind in (day, "half")
    }
    use = {kind: at_home + (1.0 - at_home) * empty for kind, at_home in kinds.items()}
    return np.repeat(use[day] / use["half"], 2)
