"""The sun, then the battery, serve the home's demand, compiled.

Import this module inside the function that needs it: it brings numba along.
"""

from pvkit.compiled import compiled, inlined
from pvkit.home import house_kernel as row
from pvkit.home.house_kernel import Store
from pvkit.home.meet_kernel import Array, over

BUILT_ON = "4bb3911e9a75"  # the kernels imported here: see their test


@compiled
def meet(i: int, series: Array, standby: float, lanes: Array, kwh: Array, below: Array) -> None:
    """Let the sun of every lane meet demand, minute by minute."""
    many = len(kwh)
    share, bright = series[row.BRIGHT_SHARE, i], series[row.BRIGHT, i]
    dim = (1.0 - share * bright) / (1.0 - share) if share < 1.0 else 0.0
    for lane in range(lanes.shape[1]):
        solar = series[row.SUN, i] * lanes[row.SUN_SHARE, lane]
        own = standby if lanes[row.CAPACITY, lane] > 0.0 else 0.0
        need, left = below[many] + own, 0.0
        level = (solar * bright - own) / many
        lanes[row.BRIGHT_LEVEL, lane] = level
        lanes[row.BRIGHT_OVER, lane] = over(level, 0, many, kwh, below)
        left = share * lanes[row.BRIGHT_OVER, lane]
        if share < 1.0:
            level = (solar * dim - own) / many
            lanes[row.DIM_LEVEL, lane] = level
            lanes[row.DIM_OVER, lane] = over(level, 0, many, kwh, below)
            left += (1.0 - share) * lanes[row.DIM_OVER, lane]
        direct = min(max(solar - left, 0.0), solar, need)
        lanes[row.IMPORTED, lane], lanes[row.SPILLED, lane] = need - direct, solar - direct


@inlined
def short(level: float, above: float, most: float, kwh: Array, below: Array) -> float:
    """Add up what is short in each minute, up to a power [kWh]."""
    many = len(kwh)
    return max(0.0, many * most - over(level + most, 0, many, kwh, below) + above)


@compiled
def discharge(i: int, series: Array, store: Store, lanes: Array, kwh: Array, below: Array) -> None:
    """Let every lane's battery serve what is short."""
    most, share = store.power_kwh / len(kwh), series[row.BRIGHT_SHARE, i]
    free = series[row.MARK, i] == row.FREE
    for lane in range(lanes.shape[1]):
        spare = spare_of(lane, store, lanes)
        if spare <= 0.0 or not (free or lanes[row.FILL_LEVEL, lane] < 0.0):
            continue
        level, above = lanes[row.BRIGHT_LEVEL, lane], lanes[row.BRIGHT_OVER, lane]
        offer = share * short(level, above, most, kwh, below)
        if share < 1.0:
            level, above = lanes[row.DIM_LEVEL, lane], lanes[row.DIM_OVER, lane]
            offer += (1.0 - share) * short(level, above, most, kwh, below)
        give(min(offer, spare, lanes[row.IMPORTED, lane]), lane, store, lanes)


@inlined
def spare_of(lane: int, store: Store, lanes: Array) -> float:
    """Give what a lane's battery holds above its reserve, as a.c. energy [kWh]."""
    reserve = store.reserve_fraction * lanes[row.CAPACITY, lane]
    return float((lanes[row.HELD, lane] - reserve) * store.out)


@inlined
def give(given: float, lane: int, store: Store, lanes: Array) -> None:
    """Take from a lane's battery what it gives to the home."""
    lanes[row.HELD, lane] -= given / store.out
    lanes[row.BATTERY_OUT, lane] = given
    lanes[row.IMPORTED, lane] -= given


@compiled
def by_night(held_back: bool, store: Store, lanes: Array, kwh: Array, below: Array) -> None:
    """Serve a half-hour without sun from the battery and the grid, every lane."""
    many = len(kwh)
    level, most = -store.standby_kwh / many, store.power_kwh / many
    offer = short(level, 0.0, most, kwh, below) if most > 0.0 else 0.0
    for lane in range(lanes.shape[1]):
        capacity = lanes[row.CAPACITY, lane]
        need = below[many] + (store.standby_kwh if capacity > 0.0 else 0.0)
        lanes[row.IMPORTED, lane] = need
        spare = spare_of(lane, store, lanes)
        if spare > 0.0 and not (held_back and lanes[row.FILL_LEVEL, lane] >= 0.0):
            give(min(offer, spare, need), lane, store, lanes)
