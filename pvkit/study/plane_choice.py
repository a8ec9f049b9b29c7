"""Two ways for an array to lie: half to the east and half to the west, or all to the south."""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from pvkit.home.calendar import local_calendar
from pvkit.roof.light import Array
from pvkit.study.plane_map import SKYLINE, pair_year_kwh, plane_year_kwh
from pvkit.study.plane_worth import PlaneWorth, plane_worth
from pvkit.study.study import Study

EAST_DEG, SOUTH_DEG, WEST_DEG = 90.0, 180.0, 270.0
PAIR, SOUTH = "half east, half west", "all south"


@dataclass(frozen=True, slots=True, eq=False)
class WayToFace:
    """One way for the array's panels to face.

    Parameters
    ----------
    name : in words
    worth : what it makes and is worth
    ac_kwh : (n,) metered energy [kWh]
    """

    name: str
    worth: PlaneWorth
    ac_kwh: Array

    @property
    def monthly_kwh(self) -> Array:
        """Energy of each month of the local calendar, (12,) [kWh]."""
        return by_month(self.ac_kwh)

    @property
    def mean_day_kw(self) -> Array:
        """Mean power at each half-hour of the local clock, (48,) [kW]."""
        return mean_day_kw(self.ac_kwh)


def east_west_or_south(
    study: Study, tilt_deg: float, array: str = "", shade: str = SKYLINE
) -> tuple[WayToFace, WayToFace]:
    """Set half east and half west beside all south, at one tilt, for the home as it stands.

    Parameters
    ----------
    study, array, shade : as in :func:`pvkit.study.plane_map.plane_map`
    tilt_deg : of every panel [deg]

    Returns
    -------
    the pair, and the south

    Raises
    ------
    InputError
        If there is no such array or shade, or it has one panel alone.
    """
    both = ((tilt_deg, EAST_DEG), (tilt_deg, WEST_DEG))
    pair = pair_year_kwh(study, both, array, shade)
    south = plane_year_kwh(study, (tilt_deg, SOUTH_DEG), array, shade)
    first, second = (
        WayToFace(name, plane_worth(study, year), year)
        for name, year in ((PAIR, pair), (SOUTH, south))
    )
    return first, second


def east_west_table(study: Study, tilt_deg: float, array: str = "") -> pd.DataFrame:
    """Give both ways as a table: what they make, how much is used at home, the first saving."""
    ways = east_west_or_south(study, tilt_deg, array)
    rows = [
        {"ac_kwh": way.worth.ac_kwh, "used_at_home_percent": 100 * way.worth.used_at_home_fraction,
         "saving_gbp": way.worth.saving_gbp}
        for way in ways
    ]  # fmt: skip
    return pd.DataFrame(rows, index=[way.name for way in ways])


def by_month(half_hours_kwh: Array) -> Array:
    """Add half-hours up by month of the local calendar, (12,) [kWh]."""
    sums = np.bincount(local_calendar().month, half_hours_kwh, minlength=12)
    return sums.astype(np.float64)


def mean_day_kw(half_hours_kwh: Array) -> Array:
    """Give the mean power at each half-hour of the local clock, (48,) [kW]."""
    clock = local_calendar().half_hour
    return 2 * np.bincount(clock, half_hours_kwh, minlength=48) / np.bincount(clock, minlength=48)
