"""Which half-hours are cheap enough to charge battery and car from the grid."""

from math import ceil

import numpy as np
from numpy.typing import NDArray

from pvkit.home.battery import BatteryYear
from pvkit.home.calendar import local_calendar
from pvkit.home.car import CarYear

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

FREE, HOLD, FILL = 0, 1, 2
NIGHTS_AT_ONCE = 2  # the car may make up for as many nights in one


def nights() -> IntArray:
    """Give each half-hour the number of its night, from local noon to noon, (n,).

    The last evening of the year belongs to the first night: a year follows one like it.
    """
    calendar = local_calendar()
    days = int(calendar.day.max()) + 1
    return (calendar.day + (calendar.half_hour >= 24)) % days


def cheap_marks(price_gbp: Array, demand_kwh: Array, battery: BatteryYear) -> IntArray:
    """Say for each half-hour whether the battery waits (1), is charged (2) or is free (0).

    From noon to noon the dear price is the mean of what is above the day's mean, by demand. A
    half-hour is cheap if buying in it, with the loss of the way through the battery, costs less
    than the dear price. In cheap half-hours the battery gives nothing; in the cheapest, as many
    as it takes to fill it, it may be charged.

    Parameters
    ----------
    price_gbp : (n,) import price [GBP/kWh]
    demand_kwh : (n,) electricity used [kWh]
    battery : the battery

    Examples
    --------
    >>> pack = BatteryYear(5.0, 0.1, 1.5, 0.94, 0.94, 0.94, 0.0, False, True)
    >>> flat = cheap_marks(np.full(17520, 0.25), np.ones(17520), pack)
    >>> int(flat.max())
    0
    """
    night = nights()
    dear = price_gbp > _mean_by(night, price_gbp, np.ones_like(price_gbp))[night] * (1 + 1e-12)
    weight = np.where(dear, np.maximum(demand_kwh, 1e-9), 0.0)
    dear_gbp = _mean_by(night, price_gbp, weight)[night]
    cheap = ~dear & (price_gbp < dear_gbp * battery.from_grid * battery.out)
    steps = ceil(battery.capacity_kwh / (battery.power_kwh * battery.from_grid)) + 1
    fill = cheap & (_rank(night, price_gbp) < steps)
    return np.where(fill, FILL, np.where(cheap, HOLD, FREE)).astype(np.int64)


def cheapest_at_night(price_gbp: Array, car: CarYear) -> BoolArray:
    """Give the cheapest half-hours of each night in which the car is here, (n,).

    As many as it takes to charge what two days of driving need; the earlier of equal ones.
    """
    daily = car.driven_kwh.max() if car.driven_kwh.size else 0.0
    steps = ceil(NIGHTS_AT_ONCE * daily / car.most_kwh) + 1
    allowed = car.here & car.night
    price = np.where(allowed, price_gbp, np.inf)
    return allowed & (_rank(nights(), price) < steps)


def _mean_by(group: IntArray, values: Array, weight: Array) -> Array:
    """Weighted mean of each group; 0 where nothing weighs."""
    paid, weighed = np.bincount(group, values * weight), np.bincount(group, weight)
    return np.divide(paid, weighed, out=np.zeros(len(weighed)), where=weighed > 0.0)


def _rank(group: IntArray, values: Array) -> IntArray:
    """Rank values from low to high within their group, the earlier of equal ones first."""
    order = np.lexsort((np.arange(len(values)), values, group))
    firsts = np.concatenate(([0], np.cumsum(np.bincount(group))))
    rank = np.empty(len(values), dtype=np.int64)
    rank[order] = np.arange(len(values)) - firsts[group[order]]
    return rank
