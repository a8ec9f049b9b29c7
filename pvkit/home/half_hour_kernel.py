"""What the home leaves of the sun goes to each store in turn, then to the grid, compiled.

Import this module inside the function that needs it: it brings numba along.
"""

from typing import NamedTuple

from pvkit.compiled import compiled, inlined
from pvkit.home import house_kernel as row
from pvkit.home.house_kernel import House, Store, Wheels
from pvkit.home.meet_kernel import FIRST, LAST, LEVEL, OVER, SHARE, Array, offered, take
from pvkit.home.tank_kernel import heated_below, room_below

BUILT_ON = "aa9b03053780"  # the kernels imported here: see their test


class Meeting(NamedTuple):
    """One half-hour's sorted minutes, their sums from low, layers, and the order of the stores."""

    kwh: Array
    below: Array
    layers: Array
    order: Array


@compiled
def drive(driven: float, wheels: Wheels, lanes: Array) -> None:
    """Let every lane's car drive."""
    for lane in range(lanes.shape[1]):
        lack = lanes[row.LACK, lane] + driven
        lanes[row.CAR_AWAY, lane] = max(0.0, lack - wheels.battery_kwh)
        lanes[row.LACK, lane] = min(lack, wheels.battery_kwh)


@compiled
def rescue(over_limit: float, store: Store, lanes: Array) -> None:
    """Let a battery on the d.c. side take what is over the inverter's limit."""
    for lane in range(lanes.shape[1]):
        room = (lanes[row.CAPACITY, lane] - lanes[row.HELD, lane]) / store.into
        taken = max(0.0, min(over_limit * lanes[row.SUN_SHARE, lane], room, store.power_kwh))
        lanes[row.HELD, lane] += taken * store.into
        lanes[row.RESCUED, lane], lanes[row.BATTERY_IN, lane] = taken, taken


@inlined
def wants(
    sink: int, lane: int, here: float, house: House, lanes: Array
) -> tuple[float, float, float]:
    """Give what a store can take this half-hour, and its least and most power [kWh]."""
    tank, wheels = house.tank, house.wheels
    if sink == row.EXPORT:
        return row.NO_LIMIT, 0.0, house.export_limit
    if sink == row.BATTERY:
        room = (lanes[row.CAPACITY, lane] - lanes[row.HELD, lane]) / house.store.into
        return room, 0.0, house.store.power_kwh - lanes[row.BATTERY_IN, lane]
    if sink == row.CAR:
        by_sun = wheels.by_sun and here > 0.0
        return (lanes[row.LACK, lane] if by_sun else 0.0), wheels.least_kwh, wheels.most_kwh
    most = tank.upper_kwh if sink == row.UPPER else tank.lower_kwh
    if not tank.diverter:
        return 0.0, 0.0, 0.0
    top, full = lanes[row.TOP, lane], tank.element_set_degc
    if sink == row.UPPER:
        heat = tank.top_kwh_per_k * (full - top)
    else:
        heat = room_below(top, lanes[row.BOTTOM, lane], full, tank)
    return heat / tank.diverter_efficiency, (most if tank.relay else 0.0), most


@inlined
def keep(sink: int, taken: float, lane: int, house: House, lanes: Array) -> None:
    """Put what has been taken where it goes."""
    tank = house.tank
    lanes[row.SPILLED, lane] -= taken
    if sink == row.EXPORT:
        lanes[row.EXPORTED, lane] += taken
    elif sink == row.BATTERY:
        lanes[row.HELD, lane] += taken * house.store.into
        lanes[row.BATTERY_IN, lane] += taken
    elif sink == row.CAR:
        lanes[row.LACK, lane] -= taken
        lanes[row.CAR_IN, lane] += taken
    elif sink == row.UPPER:
        lanes[row.TOP, lane] += taken * tank.diverter_efficiency / tank.top_kwh_per_k
        lanes[row.UPPER_IN, lane] += taken
    else:
        heat = taken * tank.diverter_efficiency
        top, bottom = heated_below(lanes[row.TOP, lane], lanes[row.BOTTOM, lane], heat, tank)
        lanes[row.TOP, lane], lanes[row.BOTTOM, lane] = top, bottom
        lanes[row.LOWER_IN, lane] += taken


@inlined
def laid(lane: int, share: float, lanes: Array, layers: Array, many: int) -> int:
    """Lay a lane's surplus down as layers; give their number."""
    layers[SHARE, 0], layers[LEVEL, 0] = share, lanes[row.BRIGHT_LEVEL, lane]
    layers[FIRST, 0], layers[LAST, 0], layers[OVER, 0] = 0.0, many, lanes[row.BRIGHT_OVER, lane]
    if share >= 1.0 or lanes[row.DIM_OVER, lane] <= 0.0:
        return 1
    layers[SHARE, 1], layers[LEVEL, 1] = 1.0 - share, lanes[row.DIM_LEVEL, lane]
    layers[FIRST, 1], layers[LAST, 1], layers[OVER, 1] = 0.0, many, lanes[row.DIM_OVER, lane]
    return 2


@compiled
def pass_on(i: int, series: Array, house: House, lanes: Array, meeting: Meeting) -> None:
    """Offer every lane's surplus to each in turn; what nobody takes stays in ``SPILLED``."""
    kwh, below, layers, order = meeting
    many, here, share = len(kwh), series[row.HERE, i], series[row.BRIGHT_SHARE, i]
    margin, most_sold = house.tank.margin_kwh, house.export_limit
    for lane in range(lanes.shape[1]):
        size, aside = 0, -1.0
        limited = lanes[row.BRIGHT_LEVEL, lane] - kwh[0] > most_sold / many
        for place in range(len(order)):
            sink, left = int(order[place]), lanes[row.SPILLED, lane]
            if left <= 0.0:
                break
            if sink == row.EXPORT and not limited:
                keep(sink, left, lane, house, lanes)
                break
            room, least, most = wants(sink, lane, here, house, lanes)
            if room <= 0.0 or most <= 0.0:
                aside = max(aside, 0.0) if sink == row.EXPORT else aside
                continue
            if size == 0:
                size = laid(lane, share, lanes, layers, many)
            if sink in (row.UPPER, row.LOWER) and aside < 0.0:
                aside = offered(0.0, margin / many, size, layers, kwh, below)
                size = take(1.0, margin / many, size, layers, below)
            if sink == row.EXPORT and aside > 0.0:
                sold = aside * min(1.0, most / margin)
                keep(sink, sold, lane, house, lanes)
                most = max(0.0, most - margin)
            offer = offered(least / many, most / many, size, layers, kwh, below)
            taken = min(offer, room, lanes[row.SPILLED, lane])
            if taken > 0.0:
                size = take(taken / offer, most / many, size, layers, below)
                keep(sink, taken, lane, house, lanes)
            if sink == row.EXPORT:
                aside = max(aside, 0.0)


@compiled
def charge_from_grid(i: int, series: Array, house: House, lanes: Array) -> None:
    """Charge battery and car from the grid in their hours."""
    store, wheels = house.store, house.wheels
    fill, window = series[row.MARK, i] == row.FILL, series[row.WINDOW, i] > 0.0
    for lane in range(lanes.shape[1]):
        if fill:
            lack = lanes[row.FILL_LEVEL, lane] * lanes[row.CAPACITY, lane] - lanes[row.HELD, lane]
            most = store.power_kwh - lanes[row.BATTERY_IN, lane]
            given = max(0.0, min(lack / store.from_grid, most))
            lanes[row.HELD, lane] += given * store.from_grid
            lanes[row.BATTERY_GRID, lane] = given
            lanes[row.IMPORTED, lane] += given
        if window:
            lack = lanes[row.LACK, lane] - wheels.kept_kwh
            given = max(0.0, min(lack, wheels.most_kwh - lanes[row.CAR_IN, lane]))
            lanes[row.LACK, lane] -= given
            lanes[row.CAR_GRID, lane] = given
            lanes[row.IMPORTED, lane] += given
