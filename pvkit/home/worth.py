"""What a kWh of spare solar energy is worth on each path it may take."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.home.household import Household
from pvkit.home.prices import Prices

Array = NDArray[np.float64]

STEPS_A_DAY = 48


@dataclass(frozen=True, slots=True, eq=False)
class Worth:
    """Worth of the next kWh of surplus in each half-hour, by path, all (n,) [GBP/kWh].

    Parameters
    ----------
    battery : electricity not bought in the day to come, after both ways through the battery
    car : electricity not bought in the car's hours
    cylinder : gas not burnt
    export : what the grid pays
    """

    battery: Array
    car: Array
    cylinder: Array
    export: Array


def worth(household: Household, prices: Prices, window: NDArray[np.bool_]) -> Worth:
    """Say what each path saves or earns for a kWh of surplus, half-hour by half-hour.

    A path the home does not have is worth nothing. The battery is taken to serve the coming day
    at its mean price, each half-hour counted by its demand.

    Parameters
    ----------
    household : the home
    prices : today's
    window : (n,) True while the grid may charge the car
    """
    n = len(prices.import_gbp)
    battery, water, car = household.battery, household.water, household.car
    none = np.zeros(n)
    later, by_night, heat = none, none, none
    if battery is not None and battery.capacity_kwh > 0.0:
        later = coming_day(prices.import_gbp, household.demand.kwh) * battery.into * battery.out
    if car is not None and car.by_sun:
        bought = prices.import_gbp[window & car.here]
        by_night = np.full(n, bought.mean() if bought.size else prices.import_gbp.mean())
    if water is not None and water.diverter:
        heat = np.full(n, prices.gas_gbp * water.diverter_efficiency / water.boiler_efficiency)
    return Worth(battery=later, car=by_night, cylinder=heat, export=prices.export_gbp)


def coming_day(price_gbp: Array, weight: Array) -> Array:
    """Mean price over the 24 hours after each half-hour, by weight; the year runs round.

    Examples
    --------
    >>> coming_day(np.array([0.1, 0.3]), np.array([1.0, 1.0]))
    array([0.2, 0.2])
    """
    span = min(STEPS_A_DAY, len(price_gbp))
    paid, weighed = (_ahead(values, span) for values in (price_gbp * weight, weight))
    plain = _ahead(price_gbp, span) / span
    return np.divide(paid, weighed, out=plain, where=weighed > 0.0)


def _ahead(values: Array, span: int) -> Array:
    """Sum the ``span`` values after each one, coming round at the end."""
    sums = np.concatenate(([0.0], np.cumsum(np.concatenate((values, values[:span])))))
    n = len(values)
    return np.asarray(sums[span + 1 : span + 1 + n] - sums[1 : n + 1])
