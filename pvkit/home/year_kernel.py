"""Years side by side, half-hour by half-hour, each ending as it began, compiled.

The years of a life are run abreast, as lanes. Import this module inside the function that needs
it: it brings numba along.
"""

from typing import NamedTuple

import numpy as np

from pvkit.compiled import compiled, compiled_to_make_arrays
from pvkit.home import house_kernel as row
from pvkit.home.half_hour_kernel import Meeting, charge_from_grid, drive, pass_on, rescue
from pvkit.home.house_kernel import House
from pvkit.home.meet_kernel import Array
from pvkit.home.serve_kernel import by_night, discharge, meet
from pvkit.home.tank_kernel import give_hot_water, heat_up

BUILT_ON = "baa5e2776a09"  # the kernels imported here: see their test

WARM_UP_STEPS = 14 * 48
CLOSED = 1e-9  # kWh, or degC
MOST_ROUNDS = 10


class Inputs(NamedTuple):
    """The tables a year is run on.

    Parameters
    ----------
    series : (14, n) one row for each of the half-hours' rows
    minutes, below : (n, 30) sorted minutes of demand, (n, 31) their sums from low [kWh]
    orders : (k, 5) orders of the stores that ``ORDER`` chooses from
    level : (lanes, 12) how full the cheap hours make the battery, by month; below 0 they leave it
    layers : room to work in
    """

    series: Array
    minutes: Array
    below: Array
    orders: Array
    level: Array
    layers: Array


class Outputs(NamedTuple):
    """What the years give.

    Parameters
    ----------
    imported, exported : (lanes, n) [kWh]
    kept : (n, some, 19) flows [kWh], and states at each half-hour's end, of the first lanes
    sums : (12, 14, lanes) each flow's sum over each local month [kWh]
    """

    imported: Array
    exported: Array
    kept: Array
    sums: Array


@compiled
def _note(i: int, month: int, lanes: Array, kept: Array, sums: Array) -> None:
    """Add up the half-hour's flows, keep those of some lanes, and clear them."""
    for k in range(row.FLOWS):
        for lane in range(lanes.shape[1]):
            sums[month, k, lane] += lanes[k, lane]
    for lane in range(kept.shape[1]):
        for k in range(row.KEPT):
            kept[i, lane, k] = lanes[k, lane]
    for k in range(row.FLOWS):
        for lane in range(lanes.shape[1]):
            lanes[k, lane] = 0.0


@compiled
def _run(first: int, inputs: Inputs, house: House, lanes: Array, out: Outputs) -> None:
    """Fill ``out`` from half-hour ``first`` on, from the state in ``lanes``."""
    series, minutes, sums_below, orders, level, layers = inputs
    imported, exported, kept, sums = out
    store, tank = house.store, house.tank
    sums[:] = 0.0
    lanes[: row.FLOWS] = 0.0
    for i in range(first, series.shape[1]):
        kwh, below = minutes[i], sums_below[i]
        mark, month = series[row.MARK, i], int(series[row.MONTH, i])
        if mark != row.FREE:
            for lane in range(lanes.shape[1]):
                lanes[row.FILL_LEVEL, lane] = level[lane, month]
        if series[row.DRIVEN, i] > 0.0:
            drive(series[row.DRIVEN, i], house.wheels, lanes)
        if tank.fitted:
            give_hot_water(series[row.DRAW, i], series[row.COLD, i], tank, lanes)
        if series[row.SUN, i] > 0.0:
            meet(i, series, store.standby_kwh, lanes, kwh, below)
            if store.power_kwh > 0.0:
                discharge(i, series, store, lanes, kwh, below)
                if series[row.OVER_LIMIT, i] > 0.0:
                    rescue(series[row.OVER_LIMIT, i], store, lanes)
            order = orders[int(series[row.ORDER, i])]
            pass_on(i, series, house, lanes, Meeting(kwh, below, layers, order))
        else:
            by_night(mark != row.FREE, store, lanes, kwh, below)
        if mark == row.FILL or series[row.WINDOW, i] > 0.0:
            charge_from_grid(i, series, house, lanes)
        if tank.fitted:
            heat_up(series[row.BOOST, i], series[row.BOILER_MOST, i], tank, lanes)
        for lane in range(lanes.shape[1]):
            imported[lane, i] = lanes[row.IMPORTED, lane]
            exported[lane, i] = lanes[row.EXPORTED, lane]
        _note(i, month, lanes, kept, sums)


@compiled_to_make_arrays
def run_years(inputs: Inputs, house: House, lanes: Array, out: Outputs) -> Array:
    """Fill ``out`` with one year in each lane; give the state each starts from, (5, lanes).

    A lane's year follows one like it. The last fortnight of December is run first to find its
    start; where the year then does not end with what it began with, it is run from its own end.
    """
    first = max(0, inputs.series.shape[1] - WARM_UP_STEPS)
    lanes[row.HELD] = house.store.reserve_fraction * lanes[row.CAPACITY]
    lanes[row.TOP], lanes[row.BOTTOM] = house.tank.boiler_set_degc, house.tank.boiler_set_degc
    lanes[row.LACK] = house.wheels.kept_kwh
    start = lanes[row.FLOWS : row.KEPT].copy()
    for _ in range(1 + MOST_ROUNDS):
        lanes[row.SINCE] = 0.0  # weeks are counted from the year's first day
        start = lanes[row.FLOWS : row.KEPT].copy()
        _run(first, inputs, house, lanes, out)
        apart = np.abs(lanes[row.FLOWS : row.KEPT] - start)
        apart[row.SINCE - row.FLOWS] = 0.0
        if first == 0 and apart.max() <= CLOSED:
            break
        first = 0
    return start
