"""How a home is handed to the compiled half-hours."""

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pvkit.home.demand import Demand
from pvkit.home.water import Water

if TYPE_CHECKING:
    from pvkit.home.kernel import Outputs

Array = NDArray[np.float64]


def run_lanes(
    solar: Array, demand: Demand, water: Water | None, ageing: Array, *, keep: bool
) -> "tuple[Array, Outputs]":
    """Run the compiled half-hours, one lane for each share in ``ageing``.

    Parameters
    ----------
    solar : (n,) as :func:`checked` gives it [kWh]
    demand : electricity used
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
    minutes, below = writable(demand.minutes_kwh), writable(demand.below_kwh)
    if water is None:
        none = np.zeros(n)
        inputs, tank = Inputs(solar, minutes, below, none, none), Tank.missing()
    else:
        draw, boiler = writable(water.draw_kwh), writable(water.boiler_kwh)
        inputs = Inputs(solar, minutes, below, draw, boiler)
        tank = Tank(*(getattr(water, name) for name in Tank._fields))
    return run_years(inputs, writable(ageing), tank, out), out


def checked(solar: Array, demand: Demand, water: Water | None) -> Array:
    """Give the solar energy ready for the compiler, or say why it cannot be run."""
    lengths = {len(solar), len(demand.kwh)} | (set() if water is None else {len(water.draw_kwh)})
    if len(lengths) > 1:
        message = f"solar, demand and hot water must be as long as each other, found {lengths}"
        raise ValueError(message)
    if not solar.min() >= 0.0:
        message = f"solar must be zero or more in every half-hour, lowest is {solar.min()}"
        raise ValueError(message)
    return writable(solar)


def writable(values: Array) -> Array:
    """Copy a read-only array: to the compiler it is another type and would be compiled anew."""
    return np.require(values, np.float64, ["C", "W"])
