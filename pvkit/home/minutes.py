"""A year of a home's electricity, minute by minute, made of runs of its appliances.

Every appliance has an endless list of runs, each with a moment in the year and a length, drawn
once. A home that uses more takes more of each list, and the last run it takes is cut to measure.
So the same home always has the same year, and a little more use is the same year with a few
runs more: figures under a slider move without jumps.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from pvkit.home.appliances import (
    MINUTES_PER_STEP,
    Appliance,
    appliances,
    chance_so_far,
)
from pvkit.home.calendar import IntArray, local_calendar
from pvkit.home.occupancy import stream
from pvkit.site.household import Home
from pvkit.tables import constant

Array = NDArray[np.float64]

HOURS_PER_YEAR = 8760.0
# Runs drawn for each run wanted, and a few more: lengths of mean 1 and at most 1 from it fall
# short of what is wanted less than once in 1e20 draws.
MORE_RUNS, FEW_RUNS = 1.15, 30


@dataclass(frozen=True, slots=True, eq=False)
class Spans:
    """Stretches of steady power: start and length [minutes of the year], power [kW], (spans,)."""

    start: Array
    length: Array
    kw: Array


def minute_year(home: Home, seed: int) -> Array:
    """Draw a year of a home's electricity.

    Parameters
    ----------
    home : yearly kWh, how the day is spent ("out", "half" or "in"), people
    seed : which of many equally likely years

    Returns
    -------
    (n, 30) electricity of each minute [kWh], a row for each half-hour; the sum is
    ``home.yearly_kwh``

    Notes
    -----
    The mean home's year is taken times yearly kWh over mean kWh: what is always on and the
    fridge by their power, all else by the number of runs. People beyond the mean home's add runs
    by SAP's exponent, and leave the rest.
    """
    runs = (home.occupants / constant("demand.people")) ** constant("demand.people_exponent")
    always_kwh = constant("demand.always_on_w") / 1000.0 * HOURS_PER_YEAR
    fridge_kwh = constant("demand.fridge_kwh")
    mean_kwh = always_kwh + fridge_kwh + runs * sum(item.kwh_per_year for item in appliances())
    size = home.yearly_kwh / mean_kwh
    spans = [_taken(item, item.kwh_per_year * runs * size, home.day, seed) for item in appliances()]
    minutes = _added_up([*spans, _fridge(size, seed)], size * always_kwh / HOURS_PER_YEAR)
    minutes *= home.yearly_kwh / minutes.sum()  # kW to kWh, and rounding put right
    return minutes.reshape(-1, MINUTES_PER_STEP)


@dataclass(frozen=True, slots=True, eq=False)
class Draws:
    """The first runs of an appliance's list, (runs,).

    Parameters
    ----------
    middle : middle of each run [minutes of the year]
    length : length against a run of mean length [-]
    length_so_far : the lengths added up [-]
    """

    middle: Array
    length: Array
    length_so_far: Array


def _taken(item: Appliance, wanted_kwh: float, day: str, seed: int) -> Spans:
    """Take an appliance's runs until they have used what is wanted."""
    wanted = wanted_kwh / item.run_kwh
    draws = _draws(item, day, seed, _power_of_two(MORE_RUNS * wanted + FEW_RUNS))
    count = int(np.searchsorted(draws.length_so_far, wanted)) + 1
    middle, length = draws.middle[:count], draws.length[:count].copy()
    length[-1] -= draws.length_so_far[count - 1] - wanted
    whole_min = length * item.phase_min.sum()
    start = middle - whole_min / 2
    if item.one_at_a_time:
        start = _one_after_another(start, whole_min, np.argsort(middle))
    return _phases(item, start, length)


def _power_of_two(count: float) -> int:
    """Give the power of two not below ``count``, so that homes of like size share one list."""
    return 1 << int(np.ceil(np.log2(count)))


@lru_cache(maxsize=64)
def _draws(item: Appliance, day: str, seed: int, runs: int) -> Draws:
    """Draw the first ``runs`` of an appliance's list; a longer draw begins with a shorter one."""
    moment, long = stream(seed, item.name).random((runs, 2)).T
    so_far = chance_so_far(item, day, seed)
    step = np.searchsorted(so_far, moment, side="right")
    before = np.concatenate(([0.0], so_far))[step]
    middle = MINUTES_PER_STEP * (step + (moment - before) / (so_far[step] - before))
    length = 1.0 + constant("demand.run_spread") * (2.0 * long - 1.0)
    return Draws(middle, length, np.cumsum(length))


def _one_after_another(start: Array, length: Array, order: IntArray) -> Array:
    """Let each run wait until those with an earlier middle have ended."""
    before = np.concatenate(([0.0], np.cumsum(length[order])[:-1]))
    later = np.empty_like(start)
    later[order] = np.maximum.accumulate(start[order] - before) + before
    return later


def _phases(item: Appliance, start: Array, length: Array) -> Spans:
    """Lay out the phases of each run, stretched to its length."""
    on = item.phase_kw > 0.0
    offset = (np.cumsum(item.phase_min) - item.phase_min)[on]
    return Spans(
        start=(start[:, None] + length[:, None] * offset).ravel(),
        length=(length[:, None] * item.phase_min[on]).ravel(),
        kw=np.tile(item.phase_kw[on], len(start)),
    )


def _fridge(size: float, seed: int) -> Spans:
    """Lay out the fridge's compressor: on for a part of each cycle, cycles of uneven length."""
    kw, cycle_min = constant("demand.fridge_w") / 1000.0, constant("demand.fridge_cycle_min")
    on = constant("demand.fridge_kwh") / (kw * HOURS_PER_YEAR)
    spread = constant("demand.run_spread")
    minutes = _minutes_of_year()
    draws = stream(seed, "fridge").random(int(minutes / cycle_min))
    cycles = cycle_min * (1.0 + spread * (2.0 * draws - 1.0))
    cycles *= minutes / cycles.sum()
    return Spans(np.cumsum(cycles) - cycles, cycles * on, np.full(len(cycles), kw * size))


def _minutes_of_year() -> int:
    return len(local_calendar().half_hour) * MINUTES_PER_STEP


def _added_up(spans: list[Spans], steady_kw: float) -> Array:
    """Add up spans of steady power, (minutes,) mean of each minute [kW]."""
    from pvkit.home.minute_kernel import added_up

    start = np.concatenate([part.start for part in spans])
    length = np.concatenate([part.length for part in spans])
    kw = np.concatenate([part.kw for part in spans])
    return added_up(start, length, kw, steady_kw, _minutes_of_year())
