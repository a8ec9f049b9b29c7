"""Electricity use of the home, half-hour by half-hour, with the minutes inside each."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.home.appliances import MINUTES_PER_STEP
from pvkit.home.meter import meter_notes, metered
from pvkit.home.meter_spread import metered_minutes
from pvkit.home.minutes import minute_year
from pvkit.site.household import Home
from pvkit.tables import constant

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Demand:
    """A year of electricity use.

    The order of the minutes within a half-hour is given up: solar energy is taken as even over
    it, so only their sizes matter, and sorted they are met in a few steps.

    Parameters
    ----------
    kwh : (n,) electricity used in each half-hour [kWh]
    minutes_kwh : (n, 30) each half-hour's minutes, from low to high [kWh]
    below_kwh : (n, 31) sum of its lowest 0, 1, .. 30 minutes [kWh]
    """

    kwh: Array
    minutes_kwh: Array
    below_kwh: Array

    @classmethod
    def of_minutes(cls, minutes_kwh: Array) -> "Demand":
        """Take a year known by the minute, (n, 30) [kWh].

        Raises
        ------
        ValueError
            If a value is negative or missing.
        """
        from pvkit.home.minute_kernel import sums_from_low

        if not minutes_kwh.min() >= 0.0:
            message = f"demand must be zero or more in every minute, lowest is {minutes_kwh.min()}"
            raise ValueError(message)
        rising = np.sort(minutes_kwh, axis=1)
        below = sums_from_low(rising)
        return cls(below[:, -1].copy(), rising, below)

    @classmethod
    def even(cls, kwh: Array) -> "Demand":
        """Take a year known by the half-hour, (n,) [kWh], as even within each.

        Examples
        --------
        >>> Demand.even(np.array([0.6])).minutes_kwh[0, :2]
        array([0.02, 0.02])
        """
        return cls.of_minutes(np.repeat(kwh[:, None] / MINUTES_PER_STEP, MINUTES_PER_STEP, axis=1))


def demand_year(home: Home, seed: int | None = None) -> Demand:
    """Spread the yearly electricity of the bill over the minutes of the year.

    With a meter file its half-hours are taken, and only the minutes within them are spread.

    Parameters
    ----------
    home : yearly kWh, how the day is spent ("out", "half" or "in"), people; or a meter file
    seed : another of many equally likely years; without it every call gives the same one

    Returns
    -------
    The year's demand; its sum is ``home.yearly_kwh``, or what the meter counted.

    Raises
    ------
    InputError
        If the home names a meter file that cannot be used.

    Source
    ------
    Appliances, their runs and what is always on: ``appliances.csv`` and ``demand.*`` in
    ``constants.toml``, part published, part assumed. When they run: published use by the hour
    (``appliance_propensity_by_hour.csv``, ``lighting_half_hour_by_month.csv``,
    ``hot_water_draw_by_hour.csv``) and who is in (``day_kinds.csv``).

    Examples
    --------
    >>> round(float(demand_year(Home(yearly_kwh=3100.0)).kwh.sum()), 6)
    3100.0
    """
    chosen = int(constant("demand.seed")) if seed is None else seed
    if home.meter_file is not None:
        return Demand.of_minutes(metered_minutes(metered(home).kwh, home, chosen))
    return Demand.of_minutes(minute_year(home, chosen))


def demand_notes(home: Home) -> tuple[str, ...]:
    """Say what a reader should know about the demand before trusting the share used at home.

    Examples
    --------
    >>> print(demand_notes(Home(day="in"))[2])
    Weekdays follow a home with somebody in all day; weekends are the same for every home.
    """
    if home.meter_file is not None:
        return meter_notes(home)
    kind = {
        "out": "a home left empty for the working day",
        "half": "a mean home, with somebody in for about half of the working day",
        "in": "a home with somebody in all day",
    }[home.day]
    return (
        "The share of the solar energy used at home is that of a mean home with this bill, its "
        "appliances switched on minute by minute as published habits have it. Measured UK homes "
        "with 2.9 kW of panels and 4,000 kWh a year used 37 %; worked out this way they use about "
        "40 %. A home of its own habits can be many points away from the mean.",
        "Beside the published self-use formula (SAP 10.2 Appendix M), panels facing south and a "
        "home occupied for half the day: within 5 points where the panels make half of what the "
        "home uses in a year or more, about 8 points higher where they make three tenths: there "
        "the load that is always on takes nearly all. Cloud that comes and goes within the "
        "half-hour is that of a one-minute record from Switzerland; it takes off about a point.",
        f"Weekdays follow {kind}; weekends are the same for every home.",
    )
