"""Where every half-hour's solar energy goes: house, then cylinder, then grid."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.home.demand import Demand
from pvkit.home.lanes import checked, run_lanes
from pvkit.home.water import Water

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Flows:
    """One year of a home with a new system, all (n,) [kWh].

    In every half-hour solar = direct + cylinder + export + spilled, demand = direct + import.
    Solar and demand meet minute by minute, so a half-hour may both export and import.

    Parameters
    ----------
    solar_kwh : metered a.c. energy of the system
    demand_kwh : electricity the home uses, the cylinder's elements apart
    direct_kwh : solar energy used in the house
    cylinder_kwh : solar energy taken by the cylinder
    export_kwh, import_kwh : to and from the grid
    spilled_kwh : solar energy that nothing could take; zero as long as the grid takes all
    gas_without_kwh, gas_with_kwh : gas burnt for hot water, without and with the solar system;
        zeros without a cylinder
    """

    solar_kwh: Array
    demand_kwh: Array
    direct_kwh: Array
    cylinder_kwh: Array
    export_kwh: Array
    spilled_kwh: Array
    import_kwh: Array
    gas_without_kwh: Array
    gas_with_kwh: Array


@dataclass(frozen=True, slots=True, eq=False)
class Years:
    """The years of the system's life, ageing applied to its metered a.c. energy.

    Parameters
    ----------
    yield_kwh, direct_kwh, cylinder_kwh, export_kwh, import_kwh : (years,) sums of each year [kWh]
    gas_saved_kwh : (years,) gas not burnt because the sun heated the cylinder [kWh]
    gas_without_kwh : gas burnt for hot water in a year without the system [kWh]
    import_half_hourly_kwh, export_half_hourly_kwh : (years, n) [kWh]
    demand_kwh : (n,) the same in every year [kWh]
    """

    yield_kwh: Array
    direct_kwh: Array
    cylinder_kwh: Array
    export_kwh: Array
    import_kwh: Array
    gas_saved_kwh: Array
    gas_without_kwh: float
    import_half_hourly_kwh: Array
    export_half_hourly_kwh: Array
    demand_kwh: Array


def year_flows(solar_kwh: Array, demand: Demand, water: Water | None) -> Flows:
    """Send each half-hour's solar energy down its path, for a year of a new system.

    The house comes first. With a diverter the cylinder takes what is left of each minute, less a
    small margin, as far as its elements and its thermostat allow. The rest is exported. The
    boiler keeps the hot water as hot with the system as without, so the gas saved is what the
    sun replaced.

    Parameters
    ----------
    solar_kwh : (n,) metered a.c. energy [kWh]
    demand : electricity used, of :func:`pvkit.home.demand.demand_year`
    water : the cylinder of :func:`pvkit.home.water.water_year`, or None

    Returns
    -------
    The flows, every half-hour.

    Raises
    ------
    ValueError
        If the arrays differ in length, or hold a negative or missing value.

    Notes
    -----
    Demand is known by the minute, solar energy is even over its half-hour: cloud that comes and
    goes within it is left out, and makes the share used at home a little lower still.

    Examples
    --------
    >>> kettle = np.where(np.arange(30) < 3, 0.05, 0.0)  # kWh in each minute: 3 kW for 3 minutes
    >>> flows = year_flows(np.array([0.6]), Demand.of_minutes(kettle[None, :]), None)
    >>> flows.direct_kwh.round(3), flows.import_kwh.round(3), flows.export_kwh.round(3)
    (array([0.06]), array([0.09]), array([0.54]))
    """
    solar = checked(solar_kwh, demand, water)
    # The first lane has no sun: its gas is the gas without the system.
    _, out = run_lanes(solar, demand, water, np.array([0.0, 1.0]), keep=True)
    imported, exported, cylinder = (
        flow[:, 1].copy() for flow in (out.imported, out.exported, out.cylinder)
    )
    gas = out.boiler_heat.T / (1.0 if water is None else water.boiler_efficiency)
    return Flows(
        solar_kwh=solar,
        demand_kwh=demand.kwh,
        direct_kwh=demand.kwh - imported,
        cylinder_kwh=cylinder,
        export_kwh=exported,
        spilled_kwh=np.zeros_like(solar),
        import_kwh=imported,
        gas_without_kwh=gas[0].copy(),
        gas_with_kwh=gas[1].copy(),
    )


def life_flows(solar_kwh: Array, demand: Demand, water: Water | None, ageing: Array) -> Years:
    """Send the solar energy of every year of the system's life down its path.

    Parameters
    ----------
    solar_kwh : (n,) metered a.c. energy of a new system [kWh]
    demand : electricity used, the same every year
    water : the cylinder, or None
    ageing : (years,) each year's share of the new system's energy [-]

    Returns
    -------
    The sums of each year and the half-hours of import and export.

    Raises
    ------
    ValueError
        If the arrays differ in length, or hold a negative or missing value.

    Examples
    --------
    >>> even = Demand.even(np.array([0.5, 0.5]))
    >>> years = life_flows(np.array([0.0, 2.0]), even, None, np.array([1.0, 0.5]))
    >>> years.export_kwh
    array([1.5, 0.5])
    """
    solar = checked(solar_kwh, demand, water)
    # The first lane has no sun here too.
    _, out = run_lanes(solar, demand, water, np.concatenate(([0.0], ageing)), keep=False)
    imported, exported = out.imported[:, 1:].T, out.exported[:, 1:].T
    cylinder, boiler_heat = out.sums
    gas = boiler_heat / (1.0 if water is None else water.boiler_efficiency)
    import_kwh = imported.sum(axis=1)
    return Years(
        yield_kwh=solar.sum() * ageing,
        direct_kwh=demand.kwh.sum() - import_kwh,
        cylinder_kwh=cylinder[1:],
        export_kwh=exported.sum(axis=1),
        import_kwh=import_kwh,
        gas_saved_kwh=gas[0] - gas[1:],
        gas_without_kwh=float(gas[0]),
        import_half_hourly_kwh=imported,
        export_half_hourly_kwh=exported,
        demand_kwh=demand.kwh,
    )
