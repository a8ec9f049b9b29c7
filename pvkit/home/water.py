"""The hot-water cylinder: how much heat is drawn and lost, and what may heat it when.

The cylinder is two nodes, hot above cold. Hot water leaves at the top while cold comes in below;
heat given below rises, so the lower element and the boiler's timer warm the whole cylinder, the
upper element and a call for the boiler its top.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from pvkit.home.calendar import between, hours, local_calendar
from pvkit.site.household import HotWater
from pvkit.tables import constant, numbers, rows

Array = NDArray[np.float64]

HOURS_PER_STEP = 0.5
STEPS_PER_DAY = 48


@dataclass(frozen=True, slots=True, eq=False)
class Water:
    """A cylinder ready to be run through the year.

    Parameters
    ----------
    draw_kwh : (n,) heat drawn with the hot water in each half-hour, above the cold feed [kWh]
    cold_degc : (n,) cold feed [degC]
    boiler_kwh : (n,) most heat the boiler may give in each half-hour by its timer, 0 when it is
        off [kWh]
    boost_kwh : (n,) most electricity an element takes by the clock, whatever the source [kWh]
    top_kwh_per_k, bottom_kwh_per_k : heat that warms each node by one kelvin [kWh/K]
    loss_fraction : share of its warmth above the air that a node loses in a half-hour [-]
    ambient_degc : air around the cylinder [degC]
    floor_degc : top below which the boiler is called whatever the timer says [degC]
    boiler_set_degc, element_set_degc : thermostats [degC]
    weekly_degc : what the whole cylinder must reach within ``weekly_steps`` half-hours [degC]
    weekly_steps : see above
    weekly_kwh : most heat the boiler gives in a half-hour to reach it [kWh]
    weekly_by_element : the lower element heats for it instead
    lower_kwh, upper_kwh : most electricity each element takes in a half-hour; 0 is none [kWh]
    diverter : whether the elements take surplus
    relay : they do so at full power only, switched on while there is enough
    margin_kwh : export that the diverter leaves in a half-hour [kWh]
    diverter_efficiency : heat for each kWh of solar energy taken [-]
    boiler_efficiency : heat for each kWh of gas [-]
    """

    draw_kwh: Array
    cold_degc: Array
    boiler_kwh: Array
    boost_kwh: Array
    top_kwh_per_k: float
    bottom_kwh_per_k: float
    loss_fraction: float
    ambient_degc: float
    floor_degc: float
    boiler_set_degc: float
    element_set_degc: float
    weekly_degc: float
    weekly_steps: float
    weekly_kwh: float
    weekly_by_element: bool
    lower_kwh: float
    upper_kwh: float
    diverter: bool
    relay: bool
    margin_kwh: float
    diverter_efficiency: float
    boiler_efficiency: float


def water_year(hot_water: HotWater, occupants: float) -> Water:
    """Work out the cylinder's year: what is drawn, what is lost, when it may be heated.

    Parameters
    ----------
    hot_water : cylinder, elements and boiler, from the site file
    occupants : people who draw from it

    Returns
    -------
    The cylinder, ready for :func:`pvkit.home.flows.year_flows`.

    Source
    ------
    Draw: SAP 2012 Appendix J. Cold feed: SAP 10.2 Table J1. Standing loss: SAP 2012 Tables 2 and
    2a. The boiler's hours and power, and where the cylinder is parted, are assumptions in
    ``constants.toml``.

    Examples
    --------
    >>> water = water_year(HotWater(cylinder_litres=210.0, diverter=True), occupants=2.0)
    >>> round((water.top_kwh_per_k + water.bottom_kwh_per_k) * 50.0, 1)  # from 15 to 65 degC
    12.2
    """
    capacity = hot_water.cylinder_litres * constant("water.kwh_per_litre_kelvin")
    loss_kwh_per_k = standing_loss_kwh_per_day(hot_water) / TEST_DIFFERENCE_K / STEPS_PER_DAY
    top = constant("water.top_fraction")
    lower_kw, upper_kw = (*hot_water.immersion_kw, 0.0)[:2]
    return Water(
        draw_kwh=draw_year(occupants),
        cold_degc=cold_feed_year(),
        boiler_kwh=_timer() * constant("water.boiler_kw") * HOURS_PER_STEP,
        boost_kwh=_boosts(hot_water) * (upper_kw or lower_kw) * HOURS_PER_STEP,
        top_kwh_per_k=capacity * top,
        bottom_kwh_per_k=capacity * (1.0 - top),
        loss_fraction=loss_kwh_per_k / capacity,
        ambient_degc=constant("water.ambient_degc"),
        floor_degc=constant("water.floor_degc"),
        boiler_set_degc=hot_water.boiler_set_point_degc,
        element_set_degc=hot_water.set_point_degc,
        weekly_degc=constant("water.weekly_degc"),
        weekly_steps=constant("water.weekly_hours") / HOURS_PER_STEP,
        weekly_kwh=constant("water.boiler_kw") * HOURS_PER_STEP,
        weekly_by_element=hot_water.weekly_heat == "element",
        lower_kwh=lower_kw * HOURS_PER_STEP,
        upper_kwh=upper_kw * HOURS_PER_STEP,
        diverter=hot_water.diverter,
        relay=hot_water.control == "relay",
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


def cold_feed_year() -> Array:
    """Temperature of the cold feed by month, (n,) [degC], water straight from the main.

    Source
    ------
    SAP 10.2 Table J1.
    """
    table = rows("sap_hot_water_monthly.csv")
    return np.array([float(row["cold_mains_degc"]) for row in table])[local_calendar().month]


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
    windows = numbers("constants.toml")["water.boiler_windows_h"].value
    return np.asarray(np.any([between(*span) for span in windows], axis=0), dtype=np.float64)


def _boosts(hot_water: HotWater) -> Array:
    """1 in the half-hours when an element is boosted by the clock, else 0, (n,)."""
    boosted = np.zeros(len(local_calendar().half_hour), dtype=np.bool_)
    for span in hot_water.boost:
        boosted |= between(hours(span.start), hours(span.end))
    return boosted.astype(np.float64)
