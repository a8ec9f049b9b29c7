"""The half-hours, compiled: solar meets demand minute by minute, then the cylinder's year.

The years of a life are run abreast, as lanes: within a half-hour each lane is its own sum, so the
processor takes several at once. No threads are used.

Import this module inside the function that needs it: it brings numba along.
"""

from collections.abc import Callable
from typing import NamedTuple, TypeVar, cast

import numba  # noqa: TID253  (this module is the compiled one, imported only where it runs)
import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

WARM_UP_STEPS = 14 * 48
CLOSED_KWH = 1e-9
MOST_ROUNDS = 10

Function = TypeVar("Function", bound=Callable[..., object])


def compiled(function: Function) -> Function:
    """Compile, keeping the result on disk where there is a place to keep it."""
    try:
        return cast(Function, numba.njit(cache=True)(function))
    except RuntimeError:  # neither the package's folder nor the user's can be written to
        return cast(Function, numba.njit(function))


class Tank(NamedTuple):
    """The scalars of a :class:`pvkit.home.water.Water`, in a form the compiler takes."""

    loss_fraction: float
    floor_kwh: float
    boiler_full_kwh: float
    full_kwh: float
    element_kwh: float
    margin_kwh: float
    diverter_efficiency: float

    @classmethod
    def missing(cls) -> "Tank":
        """Give the tank of a home without one: it holds and takes nothing."""
        return cls(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0)


class Inputs(NamedTuple):
    """What a year is run on [kWh]: a new system's solar energy, demand, hot water.

    All are (n,) but ``minutes`` (n, 30), each half-hour's minutes of demand from low to high, and
    ``below`` (n, 31), the sum of its lowest 0, 1, .. 30 minutes.
    """

    solar: Array
    minutes: Array
    below: Array
    draw: Array
    boiler: Array


class Outputs(NamedTuple):
    """What the years give [kWh]: flows (n, lanes) and ``sums`` (2, lanes), cylinder and boiler.

    ``held`` is the cylinder's heat at each half-hour's end. ``cylinder``, ``boiler_heat`` and
    ``held`` may have no rows: then only their sums are kept.
    """

    imported: Array
    exported: Array
    cylinder: Array
    boiler_heat: Array
    held: Array
    sums: Array


@compiled
def _lower(minutes: Array, level: float, guess: int) -> int:
    """Count the minutes below a level, from a guess that is often near."""
    count = guess
    while count < len(minutes) and minutes[count] < level:
        count += 1
    while count > 0 and minutes[count - 1] >= level:
        count -= 1
    return count


@compiled
def _meet(minutes: Array, below: Array, solar: Array, tank: Tank, met: Array) -> None:
    """Let the lanes' solar energy meet one half-hour's demand: fill ``met`` (2, lanes).

    Solar energy is even over the half-hour. Minutes of demand below it are met in full and leave
    the difference, the others take all of it: ``met[0]`` is what is used. The elements see what
    is left of each minute, less the margin, up to their power: ``met[1]`` is what they could take.
    """
    many = len(minutes)
    margin, element = tank.margin_kwh / many, tank.element_kwh / many
    full, some, most = many, many, many
    for lane in range(len(solar)):
        minute = solar[lane] / many
        full = _lower(minutes, minute, full)
        direct = min(below[full] + (many - full) / many * solar[lane], solar[lane], below[many])
        met[0, lane], met[1, lane] = direct, 0.0
        if element > 0.0:
            over, past = minute - margin, minute - margin - element
            some, most = _lower(minutes, over, some), _lower(minutes, past, most)
            offer = (some * over - below[some]) - (most * past - below[most])
            met[1, lane] = max(0.0, min(offer, solar[lane] - direct, tank.element_kwh))


@compiled
def _run(
    first: int, inputs: Inputs, ageing: Array, tank: Tank, start: Array, out: Outputs
) -> Array:
    """Fill ``out`` from half-hour ``first`` on; give the heat held at the end by each lane.

    House, then cylinder, then grid; then the boiler. Choices are written out as a comparison
    each, the form in which lanes run abreast.
    """
    held, sums, keep = start.copy(), out.sums, len(out.held) > 0
    sums[:] = 0.0
    into, heat, solar = np.zeros_like(held), np.zeros_like(held), np.zeros_like(held)
    met = np.zeros((2, len(ageing)))
    for i in range(first, len(inputs.solar)):
        below = inputs.below[i]
        demand, draw, timer = below[len(below) - 1], inputs.draw[i], inputs.boiler[i]
        if inputs.solar[i] > 0.0:
            solar[:] = inputs.solar[i] * ageing
            _meet(inputs.minutes[i], below, solar, tank, met)
        else:
            solar[:], met[:] = 0.0, 0.0
        for lane in range(len(ageing)):
            direct, offer = met[0, lane], met[1, lane]
            warm = held[lane] - (held[lane] * tank.loss_fraction + draw)
            room = (tank.full_kwh - warm) / tank.diverter_efficiency
            taken = offer if offer < room else room
            taken = taken if taken > 0.0 else 0.0
            warm += taken * tank.diverter_efficiency
            wanted = tank.boiler_full_kwh - warm
            wanted = wanted if wanted < timer else timer
            at_once = tank.floor_kwh - warm
            wanted = wanted if wanted > at_once else at_once
            wanted = wanted if wanted > 0.0 else 0.0
            held[lane], into[lane], heat[lane] = warm + wanted, taken, wanted
            sums[0, lane] += taken
            sums[1, lane] += wanted
            out.imported[i, lane] = demand - direct
            out.exported[i, lane] = solar[lane] - direct - taken
        if keep:
            for lane in range(len(ageing)):
                out.cylinder[i, lane] = into[lane]
                out.boiler_heat[i, lane] = heat[lane]
                out.held[i, lane] = held[lane]
    return held


@compiled
def run_years(inputs: Inputs, ageing: Array, tank: Tank, out: Outputs) -> Array:
    """Fill ``out`` with one year in each lane; give the heat each holds at its start, (lanes,).

    A lane's year follows one like it. The last fortnight of December is run first to find its
    start; where the year then does not end with what it began with, it is run from its own end.
    """
    first = max(0, len(inputs.solar) - WARM_UP_STEPS)
    start = np.full(len(ageing), tank.boiler_full_kwh)
    end = start
    for _ in range(1 + MOST_ROUNDS):
        start = end
        end = _run(first, inputs, ageing, tank, start, out)
        apart = 0.0
        for lane in range(len(ageing)):
            apart = max(apart, abs(end[lane] - start[lane]))
        if first == 0 and apart <= CLOSED_KWH:
            break
        first = 0
    return start
