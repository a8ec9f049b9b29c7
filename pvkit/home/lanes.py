"""How a home is handed to the compiled half-hours, one lane for each year."""

import os
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pvkit.home.calendar import local_calendar
from pvkit.home.household import Household
from pvkit.home.solar import Solar
from pvkit.home.steering import Steering
from pvkit.roof.threads import in_parts

if TYPE_CHECKING:
    from pvkit.home.house_kernel import House
    from pvkit.home.year_kernel import Inputs

Array = NDArray[np.float64]
Floats = Sequence[float] | Array

# With fewer, starting a thread costs more than it saves; the lanes kept are all in the first.
LANES_A_THREAD = 3


@dataclass(frozen=True, slots=True, eq=False)
class Lanes:
    """What differs between years run abreast.

    Parameters
    ----------
    sun : (lanes,) share of the new system's energy [-]
    battery : (lanes,) share of the new battery's capacity [-]
    level : (lanes, 12) how full cheap hours make it, by month; below 0 they leave it alone [-]
    """

    sun: Array
    battery: Array
    level: Array

    @classmethod
    def of(cls, sun: Floats, battery: Floats, steering: Steering) -> "Lanes":
        """Take years that are all steered alike."""
        shares, capacity = (np.asarray(given, dtype=np.float64) for given in (sun, battery))
        return cls(shares, capacity, np.tile(steering.level, (len(shares), 1)))


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """What the lanes gave.

    Parameters
    ----------
    imported, exported : (lanes, n) [kWh]
    kept : (some, 19, n) every flow [kWh] and state of the first lanes, by the rows of the
        compiled tables
    sums : (lanes, 12, 14) of the flows in each local month [kWh]
    start : (lanes, 5) state at the start of the year
    """

    imported: Array
    exported: Array
    kept: Array
    sums: Array
    start: Array


def run_lanes(
    solar: Solar, household: Household, steering: Steering, lanes: Lanes, *, keep: int
) -> Run:
    """Run the compiled half-hours.

    Parameters
    ----------
    solar : as :func:`checked` gives it
    household : the home
    steering : how its devices are steered; its level of the battery is that of ``lanes`` instead
    lanes : the years
    keep : of so many lanes, the first ones, every half-hour's flows are kept as well
    """
    from pvkit.home.house_kernel import FLOWS, KEPT
    from pvkit.home.meet_kernel import room_for_layers
    from pvkit.home.year_kernel import Outputs, run_years

    n, many = len(solar.kwh), len(lanes.sun)
    imported, exported = np.empty((2, many, n))
    kept, none = np.empty((n, keep, KEPT)), np.empty((n, 0, KEPT))
    sums, start = np.empty((many, 12, FLOWS)), np.empty((many, KEPT - FLOWS))
    inputs, house = _inputs(solar, household, steering, lanes), _house(household)
    table = _lane_table(household, lanes)
    blocks = max(1, min(os.cpu_count() or 1, many // LANES_A_THREAD))
    ends = [many * block // blocks for block in range(blocks + 1)]

    def run_block(first: int, last: int) -> None:
        here = slice(ends[first], ends[last])
        added = np.empty((12, FLOWS, ends[last] - ends[first]))
        noted = kept if first == 0 else none
        out = Outputs(imported[here], exported[here], noted, added)
        own = inputs._replace(level=inputs.level[here], layers=room_for_layers())
        start[here] = run_years(own, house, np.ascontiguousarray(table[:, here]), out).T
        sums[here] = added.transpose(2, 0, 1)

    if blocks == 1:
        run_block(0, 1)
    else:
        in_parts(blocks, run_block)
    # Written half-hour by half-hour, read row by row.
    return Run(imported, exported, np.ascontiguousarray(kept.transpose(1, 2, 0)), sums, start)


def _lane_table(household: Household, lanes: Lanes) -> Array:
    from pvkit.home.house_kernel import CAPACITY, ROWS, SUN_SHARE

    table = np.zeros((ROWS, len(lanes.sun)))
    table[SUN_SHARE] = lanes.sun
    if household.battery is not None:
        table[CAPACITY] = lanes.battery * household.battery.capacity_kwh
    return table


def _inputs(solar: Solar, household: Household, steering: Steering, lanes: Lanes) -> "Inputs":
    from pvkit.home import house_kernel as row
    from pvkit.home.year_kernel import Inputs

    n, water, car = len(solar.kwh), household.water, household.car
    series = np.zeros((row.SERIES, n))
    series[row.SUN], series[row.BRIGHT] = solar.kwh, solar.bright
    series[row.BRIGHT_SHARE] = solar.bright_share
    series[row.ORDER], series[row.MARK] = steering.order, steering.mark
    series[row.MONTH] = local_calendar().month[:n]
    series[row.WINDOW] = steering.window
    if household.battery is not None and household.battery.over_limit:
        series[row.OVER_LIMIT] = solar.over_limit_kwh
    if water is not None:
        series[row.DRAW], series[row.COLD] = water.draw_kwh, water.cold_degc
        series[row.BOILER_MOST], series[row.BOOST] = water.boiler_kwh, water.boost_kwh
    if car is not None:
        series[row.DRIVEN], series[row.HERE] = car.driven_kwh, car.here
    sinks = {
        "battery": (row.BATTERY,), "car": (row.CAR,), "cylinder": (row.UPPER, row.LOWER),
        "export": (row.EXPORT,),
    }  # fmt: skip
    orders = np.array(
        [[sink for path in order for sink in sinks[path]] for order in steering.orders],
        dtype=np.float64,
    )
    minutes, below = writable(household.demand.minutes_kwh), writable(household.demand.below_kwh)
    level, layers = np.ascontiguousarray(lanes.level), np.empty((0, 0))
    return Inputs(series, minutes, below, orders, level, layers)


def _house(household: Household) -> "House":
    from pvkit.home.house_kernel import NO_LIMIT, House, Store, Tank, Wheels

    water, battery, car = household.water, household.battery, household.car
    tank, store, wheels = Tank.missing(), Store.missing(), Wheels.missing()
    if water is not None:
        tank = Tank(True, *(getattr(water, name) for name in Tank._fields[1:]))
    if battery is not None:
        store = Store(*(getattr(battery, name) for name in Store._fields))
    if car is not None:
        wheels = Wheels(*(getattr(car, name) for name in Wheels._fields))
    limit = household.export_limit_kwh
    return House(tank, store, wheels, NO_LIMIT if limit is None else float(limit))


def checked(solar: Solar | Array, household: Household) -> Solar:
    """Give the solar energy ready to be run, or say why it cannot be.

    Raises
    ------
    ValueError
        If what belongs together differs in length, or is negative or missing.
    """
    known = solar if isinstance(solar, Solar) else Solar.even(np.asarray(solar, dtype=np.float64))
    lengths = {len(known.kwh), len(household.demand.kwh)}
    lengths |= set() if household.water is None else {len(household.water.draw_kwh)}
    lengths |= set() if household.car is None else {len(household.car.driven_kwh)}
    if len(lengths) > 1:
        message = f"solar, demand, hot water and car must be equally long, found {lengths}"
        raise ValueError(message)
    if not known.kwh.min() >= 0.0:
        message = f"solar must be zero or more in every half-hour, lowest is {known.kwh.min()}"
        raise ValueError(message)
    return known


def writable(values: Array) -> Array:
    """Copy a read-only array: to the compiler it is another type and would be compiled anew."""
    return np.require(values, np.float64, ["C", "W"])
