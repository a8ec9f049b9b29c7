"""What flows at the meters for any yield and any demand: run once, then read between the nodes."""

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from pvkit.home.demand import Demand
from pvkit.home.flows import Years, life_flows
from pvkit.ledger.bills import Priced, priced
from pvkit.study.stages import Stages

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

# A battery that fades is run at a few capacities; the years between are read off a straight line.
BATTERY_NODES = 3


@dataclass(frozen=True, slots=True, eq=False)
class YearSums:
    """Sums of years at today's prices, (years, nodes, nodes) or (cases, years).

    Parameters
    ----------
    avoided_kwh, avoided_gbp : electricity not bought
    surplus_kwh : what the house left for the cylinder and the grid
    sold_gbp : electricity exported
    gas_gbp : gas not burnt
    bought_kwh : electricity still bought
    """

    avoided_kwh: Array
    avoided_gbp: Array
    surplus_kwh: Array
    sold_gbp: Array
    gas_gbp: Array
    bought_kwh: Array


SUMS = tuple(field.name for field in fields(YearSums))


@dataclass(frozen=True, slots=True, eq=False)
class FlowTable:
    """Year sums at nodes of demand and yield, for each year's battery.

    Parameters
    ----------
    demand : (rows,) demand over the estimate's, rising
    scale : (columns,) yield over a new system's in an ordinary year, rising, evenly apart
    sums : (years, rows, columns)
    offset : (years,) what makes the table give the estimate itself to the last digit
    """

    demand: Array
    scale: Array
    sums: YearSums
    offset: YearSums

    def at(self, demand: Array, scale: Array) -> YearSums:
        """Read the table between its nodes.

        A cubic through the four nodes around each yield, a polynomial over the logarithm of
        demand.

        Parameters
        ----------
        demand : (cases,)
        scale : (cases, years)
        """
        rows = _lagrange(np.log(self.demand), np.log(demand))
        used = np.flatnonzero(np.abs(rows).max(axis=0) > 0.0)
        first, columns = self._around(scale)
        year = np.arange(scale.shape[1])
        found = {}
        for name in SUMS:
            table = getattr(self.sums, name)
            total = np.tile(getattr(self.offset, name), (len(scale), 1))
            for row in used:
                for step in range(columns.shape[0]):
                    part = table[year, row, first + step]
                    part *= columns[step]
                    part *= rows[:, row, None]
                    total += part
            found[name] = total
        return YearSums(**found)

    def _around(self, scale: Array) -> tuple[IntArray, Array]:
        """Give the first of the four nodes around each yield, and the weight of each of them."""
        count = min(4, len(self.scale))
        step = self.scale[1] - self.scale[0]
        place = (scale - self.scale[0]) / step
        first = np.clip(np.floor(place).astype(np.int64) - (count // 2 - 1), 0,
                        len(self.scale) - count)  # fmt: skip
        weights = _lagrange(np.arange(count, dtype=float), (place - first).ravel())
        return first, weights.T.reshape(count, *scale.shape)


def flow_table(stages: Stages, demand: Array, scale: Array) -> FlowTable:
    """Run the home for every yield and demand of the nodes.

    Parameters
    ----------
    stages : a site taken through every stage
    demand : (rows,) demand over the estimate's; 1 is among them
    scale : (columns,) yield over a new system's, evenly apart

    Returns
    -------
    the table; every node is a full year of half-hours
    """
    left, share = battery_nodes(stages.life.battery_left)
    rows = [_row(stages, each, scale, left) for each in demand]
    sums = {}
    for name in SUMS:
        nodes = np.array([row[name] for row in rows]).swapaxes(0, 1)  # (battery, rows, columns)
        sums[name] = np.einsum("tb,brk->trk", share, nodes)
    zero = YearSums(**{name: np.zeros(len(share)) for name in SUMS})
    table = FlowTable(demand, scale, YearSums(**sums), zero)
    exact = year_sums(stages.years, priced(stages.years, stages.site.tariff))
    read = table.at(np.ones(1), stages.life.ageing[None, :])
    offset = {name: exact[name] - getattr(read, name)[0] for name in SUMS}
    return replace(table, offset=YearSums(**offset))


def battery_nodes(battery_left: Array) -> tuple[Array, Array]:
    """Choose the capacities a battery is run at, and how each year lies between them.

    Parameters
    ----------
    battery_left : (years,) share of its capacity in each year

    Returns
    -------
    (nodes,) shares, and (years, nodes) weights that sum to 1 in each year

    Examples
    --------
    >>> battery_nodes(np.array([1.0, 0.75, 0.5, 0.0]))[0]
    array([0.  , 0.5 , 0.75, 1.  ])
    """
    working = battery_left[battery_left > 0.0]
    nodes = np.unique(battery_left)
    if len(nodes) > BATTERY_NODES + 1:
        between = np.linspace(working.min(), working.max(), BATTERY_NODES)
        nodes = np.unique(np.concatenate((between, nodes[nodes == 0.0])))
    share = np.array([np.interp(battery_left, nodes, unit) for unit in np.eye(len(nodes))])
    return nodes, share.T


def _row(stages: Stages, demand: float, scale: Array, left: Array) -> dict[str, Array]:
    """Run every yield at every battery's capacity: each sum (battery, columns)."""
    home = replace(stages.home, demand=scaled_demand(stages.home.demand, float(demand)))
    lanes, shape = np.tile(scale, len(left)), (len(left), len(scale))
    battery = np.repeat(left, len(scale))
    years = life_flows(stages.solar, home, lanes, stages.steering, battery_left=battery)
    found = year_sums(years, priced(years, stages.site.tariff))
    return {name: found[name].reshape(shape) for name in SUMS}


def year_sums(years: Years, today: Priced) -> dict[str, Array]:
    """Give each year's sums by name, each (years,)."""
    return {
        "avoided_kwh": years.demand_kwh.sum() - years.import_kwh,
        "avoided_gbp": today.bought_without_gbp - today.bought_gbp,
        "surplus_kwh": years.export_kwh + years.cylinder_kwh,
        "sold_gbp": today.sold_gbp,
        "gas_gbp": today.gas_saved_gbp,
        "bought_kwh": years.import_kwh,
    }


def scaled_demand(demand: Demand, factor: float) -> Demand:
    """Take every minute's use times a factor."""
    if factor == 1.0:
        return demand
    return Demand(demand.kwh * factor, demand.minutes_kwh * factor, demand.below_kwh * factor)


def _lagrange(nodes: Array, at: Array) -> Array:
    """Weights of the nodes' values at each point, (points, nodes); exact at the nodes."""
    weights = np.ones((len(at), len(nodes)))
    for one, node in enumerate(nodes):
        for other in np.delete(nodes, one):
            weights[:, one] *= (at - other) / (node - other)
    return weights
