"""The hot-water cylinder: how much heat is drawn and lost, and when the boiler may heat it.

The cylinder is one mixed store. Its heat is counted above the air around it, so that the loss of
each half-hour is a fixed share of what it holds.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from pvkit.home.calendar import local_calendar
from pvkit.site.household import HotWater
from pvkit.tables import constant, numbers, rows

Array = NDArray[np.float64]

HOURS_PER_STEP = 0.5
STEPS_PER_DAY = 48


@dataclass(frozen=True, slots=True, eq=False)
class Water:
    """A cylinder ready to be run through the year; heat is above the air around it.

    Parameters
    ----------
    draw_kwh : (n,) heat taken out with the hot water in each half-hour [kWh]
    boiler_kwh : (n,) most heat the boiler may give in each half-hour by its timer, 0 when it is
        off [kWh]
    capacity_kwh_per_k : heat that warms the whole cylinder by one kelvin [kWh/K]
    loss_fraction : share of the held heat lost in a half-hour [-]
    ambient_degc : air around the cylinder [degC]
    floor_kwh : held heat below which the boiler is called whatever the timer says [kWh]
    boiler_full_kwh : held heat at the boiler's cylinder thermostat [kWh]
    full_kwh : held heat at the immersion thermostat [kWh]
    element_kwh : most electricity the elements take in a half-hour, 0 without a diverter [kWh]
    margin_kwh : export that the diverter leaves in a half-hour [kWh]
    diverter_efficiency : heat for each kWh of solar energy taken [-]
    boiler_efficiency : heat for each kWh of gas [-]
    """

    draw_kwh: Array
    boiler_kwh: Array
    capacity_kwh_per_k: float
    loss_fraction: float
    ambient_degc: float
    floor_kwh: float
    boiler_full_kwh: float
    full_kwh: float
    element_kwh: float
    margin_kwh: float
    diverter_efficiency: float
    boiler_efficiency: float

    def temperature_degc(self, held_kwh: Array) -> Array:
        """Give the mixed temperature of the cylinder from the heat it holds [degC]."""
        return self.ambient_degc + held_kwh / self.capacity_kwh_per_k


def water_year(hot_water: HotWater, occupants: float) -> Water:
    """Work out the cylinder's year: what is drawn, what is lost, when the boiler may run.

    Parameters
    ----------
    hot_water : cylinder, elements and boiler, from the site file
    occupants : people who draw from it

    Returns
    -------
    The cylinder, ready for :func:`pvkit.home.flows.year_flows`.

    Source
    ------
    Draw: SAP 2012 Appendix J. Standing loss: SAP 2012 Tables 2 and 2a. The boiler's hours and
    power are assumptions in ``constants.toml``. All elements together bound the diverter.

    Examples
    --------
    >>> water = water_year(HotWater(cylinder_litres=210.0, diverter=True), occupants=2.0)
    >>> round(water.capacity_kwh_per_k * 50.0, 1)  # from 15 to 65 degC
    12.2
    """
    capacity = hot_water.cylinder_litres * constant("water.kwh_per_litre_kelvin")
    ambient = constant("water.ambient_degc")
    loss_kwh_per_k = standing_loss_kwh_per_day(hot_water) / TEST_DIFFERENCE_K / STEPS_PER_DAY
    element_kw = sum(hot_water.immersion_kw) if hot_water.diverter else 0.0
    return Water(
        draw_kwh=draw_year(occupants),
        boiler_kwh=_timer() * constant("water.boiler_kw") * HOURS_PER_STEP,
        capacity_kwh_per_k=capacity,
        loss_fraction=loss_kwh_per_k / capacity,
        ambient_degc=ambient,
        floor_kwh=capacity * (constant("water.floor_degc") - ambient),
        boiler_full_kwh=capacity * (hot_water.boiler_set_point_degc - ambient),
        full_kwh=capacity * (hot_water.set_point_degc - ambient),
        element_kwh=element_kw * HOURS_PER_STEP,
        margin_kwh=constant("water.diverter_margin_kw") * HOURS_PER_STEP,
        diverter_efficiency=constant("water.diverter_efficiency"),
        boiler_efficiency=hot_water.boiler_efficiency,
    )


# SAP 2012 Table 2, foam: kWh/(litre day) = 0.005 + 0.55 / (mm + 4). Table 2a: (120 / V)^(1/3).
FOAM_LOSS = (0.005, 0.55, 4.0)
REFERENCE_LITRES = 120.0
# Temperature difference of the cylinder makers' standing-loss test, which SAP 2012 refers to.
TEST_DIFFERENCE_K = 45.0


def standing_loss_kwh_per_day(hot_water: HotWater) -> float:
    """Heat a foamed cylinder loses in a day when it stands 45 K above the air around it.

    SAP's temperature factor of 0.6 is left out: it allows for a cylinder that is not hot all day,
    which the half-hourly run already knows.

    Parameters
    ----------
    hot_water : cylinder volume and thickness of its foam

    Returns
    -------
    Standing loss at the test difference [kWh/day]

    Source
    ------
    SAP 2012 Tables 2 and 2a.

    Examples
    --------
    >>> round(standing_loss_kwh_per_day(HotWater(cylinder_litres=210.0, insulation_mm=50.0)), 2)
    2.65
    """
    base, slope, shift = FOAM_LOSS
    per_litre = base + slope / (hot_water.insulation_mm + shift)
    volume_factor = (REFERENCE_LITRES / hot_water.cylinder_litres) ** (1 / 3)
    return float(hot_water.cylinder_litres * per_litre * volume_factor)


def draw_year(occupants: float) -> Array:
    """Heat taken out of the cylinder with the hot water, half-hour by half-hour.

    Parameters
    ----------
    occupants : people who draw from it

    Returns
    -------
    (n,) heat drawn [kWh], the loss of the pipes to the taps included

    Source
    ------
    Litres and temperature rise: SAP 2012 Appendix J, Tables 1c and 1d. Within the day:
    ``hot_water_draw_by_hour.csv``, weekdays and weekends, by the local clock.
    """
    month = local_calendar().month
    table = rows("sap_hot_water_monthly.csv")
    factor, rise_k = (
        np.array([float(row[name]) for row in table]) for name in ("volume_factor", "temp_rise_k")
    )
    litres = constant("water.litres_per_person") * occupants + constant("water.litres_base")
    daily_kwh = litres * factor * rise_k * constant("water.kwh_per_litre_kelvin")
    return np.asarray(daily_kwh[month] * _share_of_day())


@cache
def _share_of_day() -> Array:
    """Share of the local day's hot water drawn in each half-hour, (n,), each day summing to 1."""
    calendar = local_calendar()
    table = rows("hot_water_draw_by_hour.csv")
    weekday, weekend = (
        np.array([float(row[name]) for row in table]) for name in ("weekday", "weekend")
    )
    hour = calendar.half_hour // 2
    share = np.where(calendar.weekend, weekend[hour], weekday[hour])
    # Over the day's own half-hours, so that the 46 and the 50 of the clock changes hold a day too.
    share /= np.bincount(calendar.day, weights=share)[calendar.day]
    share.setflags(write=False)
    return share


def _timer() -> Array:
    """1 in the half-hours when the boiler's timer has the cylinder on, else 0, (n,)."""
    clock_h = local_calendar().half_hour * HOURS_PER_STEP
    windows = numbers("constants.toml")["water.boiler_windows_h"].value
    on = [(clock_h >= start) & (clock_h < end) for start, end in windows]
    return np.asarray(np.any(on, axis=0), dtype=np.float64)
