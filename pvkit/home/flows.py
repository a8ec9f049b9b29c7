"""Where every half-hour's solar energy goes: house, battery, car, cylinder, grid."""

import numpy as np
from numpy.typing import NDArray

from pvkit.home.household import Household
from pvkit.home.lanes import Lanes, Run, checked, run_lanes
from pvkit.home.paths import Flows, Life, Years
from pvkit.home.solar import Solar
from pvkit.home.steering import Steering, steering

__all__ = ["Flows", "Life", "Years", "home_flows", "life_flows", "year_flows"]

Array = NDArray[np.float64]


def year_flows(
    solar: Solar | Array, household: Household, steered: Steering | None = None
) -> Flows:
    """Send each half-hour's solar energy down its path, for a year of a new system.

    The house comes first, then battery, car, cylinder and grid in the home's order. The battery
    serves what the house is short of. The boiler keeps the hot water as hot with the system as
    without, so the gas saved is what the sun replaced.

    Parameters
    ----------
    solar : metered a.c. energy; a plain (n,) is even within each half-hour [kWh]
    household : demand, cylinder, battery, car, and their order
    steered : what prices decide; without it the site's order and the clock hold

    Returns
    -------
    The flows, every half-hour.

    Raises
    ------
    ValueError
        If the arrays differ in length, or hold a negative or missing value.

    Examples
    --------
    >>> from pvkit.home.demand import Demand
    >>> kettle = np.where(np.arange(30) < 3, 0.05, 0.0)  # kWh in each minute: 3 kW for 3 minutes
    >>> flows = year_flows(np.array([0.6]), Household(Demand.of_minutes(kettle[None, :])))
    >>> flows.direct_kwh.round(3), flows.import_kwh.round(3), flows.export_kwh.round(3)
    (array([0.06]), array([0.09]), array([0.54]))
    """
    return home_flows(solar, household, Life(np.empty(0), np.empty(0)), steered)[0]


def life_flows(
    solar: Solar | Array,
    household: Household,
    ageing: Array,
    steered: Steering | None = None,
    *,
    battery_left: Array | None = None,
) -> Years:
    """Send the solar energy of every year of the system's life down its path.

    Parameters
    ----------
    solar, household, steered : as for :func:`year_flows`; the same every year
    ageing : (years,) each year's share of the new system's energy [-]
    battery_left : (years,) each year's share of the new battery's capacity; all of it if left
        out [-]

    Returns
    -------
    The sums of each year and the half-hours of import and export.

    Raises
    ------
    ValueError
        If the arrays differ in length, or hold a negative or missing value.

    Examples
    --------
    >>> from pvkit.home.demand import Demand
    >>> home = Household(Demand.even(np.array([0.5, 0.5])))
    >>> life_flows(np.array([0.0, 2.0]), home, np.array([1.0, 0.5])).export_kwh
    array([1.5, 0.5])
    """
    left = np.ones(len(ageing)) if battery_left is None else battery_left
    return home_flows(solar, household, Life(ageing, left), steered)[1]


def home_flows(
    solar: Solar | Array, household: Household, life: Life, steered: Steering | None = None
) -> tuple[Flows, Years]:
    """Give the new system's year and the years of its life in one go.

    Parameters
    ----------
    solar, household, steered : as for :func:`year_flows`
    life : ageing of the system and fade of its battery
    """
    known = checked(solar, household)
    plan = steering(household, None) if steered is None else steered
    # The first lane has neither sun nor battery: its import and gas are those without the system.
    sun, battery = np.append([0.0, 1.0], life.ageing), np.append([0.0, 1.0], life.battery_left)
    run = run_lanes(known, household, plan, Lanes.of(sun, battery, plan), keep=2)
    return _flows(known, household, run), _years(known, household, life, run)


def _flows(solar: Solar, household: Household, run: Run) -> Flows:
    from pvkit.home import house_kernel as row

    without, kept = run.kept
    efficiency, battery = _boiler_efficiency(household), household.battery
    standby = battery.standby_kwh if battery is not None and battery.capacity_kwh > 0.0 else 0.0
    from_grid = kept[row.BATTERY_GRID] + kept[row.CAR_GRID] + kept[row.CYLINDER_GRID]
    short = kept[row.IMPORTED] - from_grid + kept[row.BATTERY_OUT]
    demand = household.demand.kwh
    return Flows(
        solar_kwh=solar.kwh,
        rescued_kwh=kept[row.RESCUED],
        demand_kwh=demand,
        standby_kwh=np.full(len(demand), standby),
        direct_kwh=demand + standby - short,
        battery_in_kwh=kept[row.BATTERY_IN],
        car_kwh=kept[row.CAR_IN],
        cylinder_kwh=kept[row.UPPER_IN] + kept[row.LOWER_IN],
        export_kwh=kept[row.EXPORTED],
        spilled_kwh=kept[row.SPILLED],
        battery_out_kwh=kept[row.BATTERY_OUT],
        import_kwh=kept[row.IMPORTED],
        battery_grid_kwh=kept[row.BATTERY_GRID],
        car_grid_kwh=kept[row.CAR_GRID],
        cylinder_grid_kwh=kept[row.CYLINDER_GRID],
        gas_without_kwh=without[row.BOILER] / efficiency,
        gas_with_kwh=kept[row.BOILER] / efficiency,
        without_kwh=without[row.IMPORTED],
        battery_held_kwh=kept[row.HELD],
        top_degc=kept[row.TOP],
        bottom_degc=kept[row.BOTTOM],
    )


def _years(solar: Solar, household: Household, life: Life, run: Run) -> Years:
    from pvkit.home import house_kernel as row

    yearly, battery = run.sums.sum(axis=1), household.battery
    sums = yearly[2:].T
    gas = yearly[:, row.BOILER] / _boiler_efficiency(household)
    taken = (row.BATTERY_IN, row.CAR_IN, row.UPPER_IN, row.LOWER_IN, row.EXPORTED, row.SPILLED)
    yielded = solar.kwh.sum() * life.ageing + sums[row.RESCUED]
    return Years(
        yield_kwh=yielded,
        direct_kwh=yielded - sum(sums[each] for each in taken),
        battery_in_kwh=sums[row.BATTERY_IN],
        car_solar_kwh=sums[row.CAR_IN],
        cylinder_kwh=sums[row.UPPER_IN] + sums[row.LOWER_IN],
        export_kwh=sums[row.EXPORTED],
        spilled_kwh=sums[row.SPILLED],
        battery_out_kwh=sums[row.BATTERY_OUT],
        battery_grid_kwh=sums[row.BATTERY_GRID],
        car_kwh=sums[row.CAR_IN] + sums[row.CAR_GRID],
        import_kwh=sums[row.IMPORTED],
        gas_saved_kwh=gas[0] - gas[2:],
        gas_without_kwh=float(gas[0]),
        battery_capacity_kwh=life.battery_left * (battery.capacity_kwh if battery else 0.0),
        import_half_hourly_kwh=run.imported[2:],
        export_half_hourly_kwh=run.exported[2:],
        demand_kwh=run.imported[0],
    )


def _boiler_efficiency(household: Household) -> float:
    return 1.0 if household.water is None else household.water.boiler_efficiency
