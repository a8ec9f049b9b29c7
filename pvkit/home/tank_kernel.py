"""The cylinder as two nodes, hot above cold: draw, loss, heat from below and from above, compiled.

Import this module inside the function that needs it: it brings numba along.
"""

from pvkit.compiled import compiled, inlined
from pvkit.home import house_kernel as row
from pvkit.home.house_kernel import Tank
from pvkit.home.meet_kernel import Array

BUILT_ON = "4bb3911e9a75"  # the kernels imported here: see their test

ROUNDING_K = 1e-6  # a node this little below a temperature counts as having reached it


@inlined
def drawn(
    top: float, bottom: float, cold: float, kwh: float, tank: Tank
) -> tuple[float, float, float]:
    """Draw heat off the top while cold water comes in below.

    Gives both temperatures and the heat that the cylinder gave; what is short of ``kwh`` the
    boiler must heat on its way.
    """
    sizes = tank.top_kwh_per_k / tank.bottom_kwh_per_k
    warmth = tank.top_kwh_per_k * (top - cold)
    if kwh <= 0.0 or warmth <= 0.0:
        return top, bottom, 0.0
    part = min(1.0, 1.0 / sizes, kwh / warmth)
    colder = bottom - part * sizes * (bottom - cold)
    return top - part * (top - bottom), colder, part * warmth


@inlined
def room_below(top: float, bottom: float, degc: float, tank: Tank) -> float:
    """Give the heat that brings the whole cylinder to a temperature [kWh]."""
    above, below = max(degc - top, 0.0), max(degc - bottom, 0.0)
    return tank.top_kwh_per_k * above + tank.bottom_kwh_per_k * below


@inlined
def heated_below(top: float, bottom: float, kwh: float, tank: Tank) -> tuple[float, float]:
    """Heat from below: what becomes hotter than the water above it rises and mixes."""
    bottom += kwh / tank.bottom_kwh_per_k
    if bottom > top:
        upper, lower = tank.top_kwh_per_k, tank.bottom_kwh_per_k
        mixed = (upper * top + lower * bottom) / (upper + lower)
        return mixed, mixed
    return top, bottom


@compiled
def give_hot_water(draw: float, cold: float, tank: Tank, lanes: Array) -> None:
    """Let every lane's cylinder cool and give hot water."""
    for lane in range(lanes.shape[1]):
        top, bottom = lanes[row.TOP, lane], lanes[row.BOTTOM, lane]
        top -= tank.loss_fraction * (top - tank.ambient_degc)
        bottom -= tank.loss_fraction * (bottom - tank.ambient_degc)
        top, bottom, given = drawn(top, bottom, cold, draw, tank)
        lanes[row.TOP, lane], lanes[row.BOTTOM, lane] = top, bottom
        lanes[row.BOILER, lane] = max(0.0, draw - given)


@inlined
def boosted(most: float, top: float, bottom: float, tank: Tank) -> float:
    """Give what the element takes from the grid by the clock [kWh]."""
    if tank.upper_kwh > 0.0:
        room = tank.top_kwh_per_k * max(0.0, tank.element_set_degc - top)
    else:
        room = room_below(top, bottom, tank.element_set_degc, tank)
    return max(0.0, min(most, room))


@compiled
def heat_up(boost_most: float, boiler_most: float, tank: Tank, lanes: Array) -> None:
    """Boost by the clock, then the boiler, then the weekly heat against legionella."""
    two = tank.upper_kwh > 0.0
    for lane in range(lanes.shape[1]):
        top, bottom, boost = lanes[row.TOP, lane], lanes[row.BOTTOM, lane], 0.0
        if boost_most > 0.0:
            used = lanes[row.UPPER_IN, lane] if two else lanes[row.LOWER_IN, lane]
            boost = boosted(boost_most - used, top, bottom, tank)
            if two:
                top += boost / tank.top_kwh_per_k
            else:
                top, bottom = heated_below(top, bottom, boost, tank)
        at_once = tank.top_kwh_per_k * max(0.0, tank.floor_degc - top)
        top += at_once / tank.top_kwh_per_k
        room = room_below(top, bottom, tank.boiler_set_degc, tank)
        timed = max(0.0, min(room, boiler_most - at_once))
        top, bottom = heated_below(top, bottom, timed, tank)
        lanes[row.BOILER, lane] += at_once + timed
        lanes[row.TOP, lane], lanes[row.BOTTOM, lane] = top, bottom
        lanes[row.CYLINDER_GRID, lane] = boost
        if lanes[row.SINCE, lane] >= tank.weekly_steps:
            make_safe(lane, timed, tank, lanes)
        coldest = min(lanes[row.TOP, lane], lanes[row.BOTTOM, lane])
        reached = coldest >= tank.weekly_degc - ROUNDING_K
        lanes[row.SINCE, lane] = 0.0 if reached else lanes[row.SINCE, lane] + 1.0
        lanes[row.IMPORTED, lane] += lanes[row.CYLINDER_GRID, lane]


@compiled
def make_safe(lane: int, timed: float, tank: Tank, lanes: Array) -> None:
    """Heat the whole cylinder until it has been hot enough against legionella."""
    top, bottom = lanes[row.TOP, lane], lanes[row.BOTTOM, lane]
    room = room_below(top, bottom, tank.weekly_degc, tank)
    if tank.weekly_by_element:
        used = lanes[row.LOWER_IN, lane]
        if tank.upper_kwh == 0.0:
            used += lanes[row.CYLINDER_GRID, lane]
        given = max(0.0, min(room, tank.lower_kwh - used))
        lanes[row.CYLINDER_GRID, lane] += given
    else:
        given = max(0.0, min(room, tank.weekly_kwh - timed))
        lanes[row.BOILER, lane] += given
    lanes[row.TOP, lane], lanes[row.BOTTOM, lane] = heated_below(top, bottom, given, tank)
