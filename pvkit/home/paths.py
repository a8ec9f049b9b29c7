"""What the half-hours give: a year's flows by path, the years' sums, and what a life is."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Flows:
    """One year of a home with a new system, all (n,), energies in kWh.

    In every half-hour

    - solar + rescued = direct + battery in + car + cylinder + export + spilled,
    - demand + standby = direct + battery out + import, less what battery, car and cylinder took
      from the grid.

    Solar and demand meet minute by minute, so a half-hour may both export and import.

    Parameters
    ----------
    solar_kwh : metered a.c. energy of the system
    rescued_kwh : what the inverter's limit would have cut off and a battery on the d.c. side took,
        as a.c. energy
    demand_kwh : electricity the home uses; car, cylinder and the battery's standby apart
    standby_kwh : what the battery's electronics draw
    direct_kwh : solar energy used in the house as it is made
    battery_in_kwh, car_kwh, cylinder_kwh : solar energy taken by each
    export_kwh : sold to the grid
    spilled_kwh : solar energy that nothing could take
    battery_out_kwh : given to the house by the battery
    import_kwh : all that is bought from the grid
    battery_grid_kwh, car_grid_kwh, cylinder_grid_kwh : what each took of it
    gas_without_kwh, gas_with_kwh : gas burnt for hot water, without and with the system; zeros
        without a cylinder
    without_kwh : electricity bought without the system: the home, its car and its boosts
    battery_held_kwh : in the battery at the half-hour's end, reserve included
    top_degc, bottom_degc : the cylinder's upper and lower half at its end; zeros without one
    """

    solar_kwh: Array
    rescued_kwh: Array
    demand_kwh: Array
    standby_kwh: Array
    direct_kwh: Array
    battery_in_kwh: Array
    car_kwh: Array
    cylinder_kwh: Array
    export_kwh: Array
    spilled_kwh: Array
    battery_out_kwh: Array
    import_kwh: Array
    battery_grid_kwh: Array
    car_grid_kwh: Array
    cylinder_grid_kwh: Array
    gas_without_kwh: Array
    gas_with_kwh: Array
    without_kwh: Array
    battery_held_kwh: Array
    top_degc: Array
    bottom_degc: Array


@dataclass(frozen=True, slots=True, eq=False)
class Years:
    """The years of the system's life: ageing of its energy, fade of its battery.

    Parameters
    ----------
    yield_kwh : (years,) metered a.c. energy, with what a d.c. battery took over the limit [kWh]
    direct_kwh, battery_in_kwh, car_solar_kwh, cylinder_kwh, export_kwh, spilled_kwh : (years,)
        where it went [kWh]
    battery_out_kwh : (years,) given to the house by the battery, sun and cheap hours alike [kWh]
    battery_grid_kwh : (years,) charged from the grid [kWh]
    car_kwh : (years,) what the car was charged with at home, sun and grid [kWh]
    import_kwh : (years,) bought [kWh]
    gas_saved_kwh : (years,) gas not burnt because of the system [kWh]
    gas_without_kwh : gas burnt for hot water in a year without the system [kWh]
    battery_capacity_kwh : (years,) what the battery still holds; zeros without one [kWh]
    import_half_hourly_kwh, export_half_hourly_kwh : (years, n) [kWh]
    demand_kwh : (n,) electricity bought without the system, car and boosts included, the same in
        every year [kWh]
    """

    yield_kwh: Array
    direct_kwh: Array
    battery_in_kwh: Array
    car_solar_kwh: Array
    cylinder_kwh: Array
    export_kwh: Array
    spilled_kwh: Array
    battery_out_kwh: Array
    battery_grid_kwh: Array
    car_kwh: Array
    import_kwh: Array
    gas_saved_kwh: Array
    gas_without_kwh: float
    battery_capacity_kwh: Array
    import_half_hourly_kwh: Array
    export_half_hourly_kwh: Array
    demand_kwh: Array


@dataclass(frozen=True, slots=True, eq=False)
class Life:
    """The years counted.

    Parameters
    ----------
    ageing : (years,) each year's share of the new system's energy [-]
    battery_left : (years,) each year's share of the new battery's capacity [-]
    """

    ageing: Array
    battery_left: Array
