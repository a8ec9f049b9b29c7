"""The battery: what it holds, what goes in and comes out, and what the years leave of it."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from pvkit.site.kit import InverterSheet
from pvkit.site.money import Replacement
from pvkit.site.storage import Battery
from pvkit.tables import constant

Array = NDArray[np.float64]

HOURS_PER_STEP = 0.5


@dataclass(frozen=True, slots=True)
class BatteryYear:
    """A battery ready to be run through the year.

    What it holds is d.c. energy inside it; all else is a.c. energy at the home, or what would
    become it.

    Parameters
    ----------
    capacity_kwh : what a new one holds [kWh]
    reserve_fraction : share that is never used [-]
    power_kwh : most that goes in, and that comes out, in a half-hour [kWh]
    into : held for each kWh of the sun's a.c. energy taken [-]; above 1 on the d.c. side, where
        the inverter's loss is spared
    from_grid : held for each kWh taken from the grid [-]
    out : a.c. energy for each kWh held [-]
    standby_kwh : what its electronics draw in each half-hour [kWh]
    over_limit : takes what the inverter's limit would cut off
    grid_charge : may be charged at cheap hours
    """

    capacity_kwh: float
    reserve_fraction: float
    power_kwh: float
    into: float
    from_grid: float
    out: float
    standby_kwh: float
    over_limit: bool
    grid_charge: bool


def battery_year(battery: Battery, inverter: InverterSheet) -> BatteryYear:
    """Work out how a battery is run.

    The stated round trip is from the home's a.c. and back, half of it (its square root) each way.
    On the d.c. side the battery's own part of it remains, without its converter's; the sun's
    energy goes in before the inverter, and all that comes out goes through the inverter.

    Parameters
    ----------
    battery : from the site file
    inverter : the solar system's inverter, for a battery on its d.c. side

    Returns
    -------
    The battery, ready for :func:`pvkit.home.flows.year_flows`.

    Examples
    --------
    >>> from pvkit.site.parts import inverter_sheet
    >>> sheet = inverter_sheet("single-phase-2500")
    >>> battery_year(Battery(capacity_kwh=5.0, round_trip_efficiency=0.81), sheet).out
    0.9
    """
    one_way = sqrt(battery.round_trip_efficiency)
    power_kw, into, out = battery.power_kw, one_way, one_way
    if battery.coupling == "dc":
        own = min(1.0, one_way / constant("battery.converter_efficiency"))
        into, out = own / inverter.efficiency_50, own * inverter.efficiency_50
        power_kw = min(power_kw, inverter.ac_w / 1000.0)
    return BatteryYear(
        capacity_kwh=battery.capacity_kwh,
        reserve_fraction=battery.reserve_fraction,
        power_kwh=power_kw * HOURS_PER_STEP,
        into=into,
        from_grid=out,
        out=out,
        standby_kwh=battery.standby_w / 1000.0 * HOURS_PER_STEP,
        over_limit=battery.coupling == "dc",
        grid_charge=battery.grid_charge,
    )


def battery_left(battery: Battery, bought: Iterable[Replacement], years: int) -> Array:
    """Say what the years leave of a battery's capacity.

    Parameters
    ----------
    battery : its fade and life
    bought : what is bought again in a later year; a name with "battery" in it is a new one
    years : span counted

    Returns
    -------
    (years,) share of the capacity in each year; 0 once it is worn out [-]

    Examples
    --------
    >>> pack = Battery(capacity_kwh=5.0, fade_per_year=0.1, life_years=3)
    >>> battery_left(pack, [Replacement(name="battery", year=5, gbp=2000.0)], 6)
    array([1.  , 0.9 , 0.81, 0.  , 1.  , 0.9 ])
    """
    new = [1, *sorted(part.year for part in bought if "battery" in part.name.lower())]
    left = np.zeros(years)
    for year in range(1, years + 1):
        age = year - max(first for first in new if first <= year)
        if age < battery.life_years:
            left[year - 1] = (1.0 - battery.fade_per_year) ** age
    return left
