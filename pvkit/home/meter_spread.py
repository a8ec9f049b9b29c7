"""The minutes inside metered half-hours, which no smart meter shows.

How much solar a home uses as it is made depends on them. They are borrowed from the built-in home
of the same yearly use: each metered half-hour takes the minutes of that half-hour of the built-in
home, at the same time of day, which used most nearly as much, scaled to the metered kWh.
"""

import numpy as np
from numpy.typing import NDArray

from pvkit.home.calendar import local_calendar
from pvkit.home.minutes import minute_year
from pvkit.site.household import Home

Array = NDArray[np.float64]

DAY = 48


def metered_minutes(kwh: Array, home: Home, seed: int) -> Array:
    """Spread metered half-hours over their minutes.

    Parameters
    ----------
    kwh : (n,) metered use of each half-hour of the reference year [kWh]
    home : how the day is spent and the people, for the built-in home that lends its minutes
    seed : which of its many equally likely years

    Returns
    -------
    (n, 30) use of each minute [kWh]; each half-hour keeps its metered sum
    """
    low, high = home_range()
    alike = home.model_copy(update={"yearly_kwh": float(np.clip(kwh.sum(), low, high))})
    lent = minute_year(alike, seed)
    used = lent.sum(axis=1)
    lender = np.empty(len(kwh), dtype=np.int64)
    clock = local_calendar().half_hour
    for slot in range(DAY):
        here = np.flatnonzero(clock == slot)
        rising = here[np.argsort(used[here])]
        between = (used[rising][1:] + used[rising][:-1]) / 2
        lender[here] = rising[np.searchsorted(between, kwh[here])]
    spread: Array = lent[lender] * (kwh / used[lender])[:, None]
    return spread


def home_range() -> tuple[float, float]:
    """Give the yearly use that a built-in home may have [kWh]."""
    facts = Home.model_fields["yearly_kwh"].json_schema_extra
    assert isinstance(facts, dict)
    return float(str(facts["low"])), float(str(facts["high"]))


def spread_note(solar_kwh: Array, demand_kwh: Array, direct_kwh: Array) -> str:
    """Say what the borrowed minutes change in the share of the solar used as it is made.

    Parameters
    ----------
    solar_kwh, demand_kwh : (n,) each half-hour [kWh]
    direct_kwh : (n,) what was used as it was made, minutes counted [kWh]
    """
    made = float(solar_kwh.sum())
    spread = float(direct_kwh.sum()) / made if made > 0.0 else 0.0
    even = even_use_fraction(solar_kwh, demand_kwh)
    return (
        f"{spread:.1%} of the solar is used as it is made. Were use and sunshine even within each "
        f"half-hour it would be {even:.1%}; a real home's use is not."
    )


def even_use_fraction(solar_kwh: Array, demand_kwh: Array) -> float:
    """Share of the solar used as it is made if both were even over each half-hour.

    Parameters
    ----------
    solar_kwh, demand_kwh : (n,) [kWh]

    Examples
    --------
    >>> even_use_fraction(np.array([0.0, 1.0]), np.array([0.5, 0.4]))
    0.4
    """
    made = float(solar_kwh.sum())
    return float(np.minimum(solar_kwh, demand_kwh).sum()) / made if made > 0.0 else 0.0
