"""One year of the cylinder, and how a home is handed to the compiled half-hours."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pvkit.home.water import Water

if TYPE_CHECKING:
    from pvkit.home.kernel import Outputs

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class TankYear:
    """One year of the cylinder, which ends as warm as it starts.

    Parameters
    ----------
    start_degc : mixed temperature before the first half-hour [degC]
    temperature_degc : (n,) mixed temperature at the end of each half-hour [degC]
    cylinder_kwh : (n,) solar energy taken [kWh]
    boiler_heat_kwh : (n,) heat from the boiler [kWh]
    """

    start_degc: float
    temperature_degc: Array
    cylinder_kwh: Array
    boiler_heat_kwh: Array


def tank_years(
    solar_kwh: Array, demand_kwh: Array, water: Water, ageing: Array
) -> tuple[TankYear, ...]:
    """Run the cylinder through years that differ in their solar energy alone.

    Parameters
    ----------
    solar_kwh, demand_kwh : (n,) metered a.c. energy and electricity used [kWh]
    water : the cylinder
    ageing : (years,) each year's share of the solar energy; 0 is a year without the system [-]

    Returns
    -------
    For each year: temperature, solar energy taken and boiler heat of every half-hour.

    Raises
    ------
    ValueError
        If the arrays differ in length, or hold a negative or missing value.
    """
    start, out = run_lanes(*checked(solar_kwh, demand_kwh, water), water, ageing, keep=True)
    start_degc = water.temperature_degc(start)
    return tuple(
        TankYear(
            start_degc=float(start_degc[lane]),
            temperature_degc=water.temperature_degc(out.held[:, lane]),
            cylinder_kwh=out.cylinder[:, lane].copy(),
            boiler_heat_kwh=out.boiler_heat[:, lane].copy(),
        )
        for lane in range(len(ageing))
    )


def run_lanes(
    solar: Array, demand: Array, water: Water | None, ageing: Array, *, keep: bool
) -> "tuple[Array, Outputs]":
    """Run the compiled half-hours, one lane for each share in ``ageing``.

    Parameters
    ----------
    solar, demand : (n,) as :func:`checked` gives them [kWh]
    water : the cylinder; without one the house is followed by the grid
    ageing : (lanes,) share of the solar energy [-]
    keep : keep the cylinder's half-hours as well as their sums

    Returns
    -------
    Heat held at the start (lanes,) and what the lanes gave, columns by lane [kWh]
    """
    from pvkit.home.kernel import Inputs, Outputs, Tank, run_years

    n, lanes = len(solar), len(ageing)
    imported, exported = np.empty((2, n, lanes))
    cylinder, boiler_heat, held = np.empty((3, n if keep else 0, lanes))
    out = Outputs(imported, exported, cylinder, boiler_heat, held, np.empty((2, lanes)))
    if water is None:
        none = np.zeros(n)
        inputs, tank = Inputs(solar, demand, none, none), Tank.missing()
    else:
        draw, boiler = writable(water.draw_kwh), writable(water.boiler_kwh)
        inputs = Inputs(solar, demand, draw, boiler)
        tank = Tank(*(getattr(water, name) for name in Tank._fields))
    return run_years(inputs, writable(ageing), tank, out), out


def checked(solar: Array, demand: Array, water: Water | None) -> tuple[Array, Array]:
    """Give solar and demand ready for the compiler, or say why they cannot be run."""
    lengths = {len(solar), len(demand)} | (set() if water is None else {len(water.draw_kwh)})
    if len(lengths) > 1:
        message = f"solar, demand and hot water must be as long as each other, found {lengths}"
        raise ValueError(message)
    for name, values in (("solar", solar), ("demand", demand)):
        if not values.min() >= 0.0:
            message = f"{name} must be zero or more in every half-hour, lowest is {values.min()}"
            raise ValueError(message)
    return writable(solar), writable(demand)


def writable(values: Array) -> Array:
    """Copy a read-only array: to the compiler it is another type and would be compiled anew."""
    return np.require(values, np.float64, ["C", "W"])
