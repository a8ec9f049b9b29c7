"""How the home's devices are steered: who is given surplus first, when the grid charges what."""

from collections.abc import Hashable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.home.cheap_hours import cheap_marks, cheapest_at_night
from pvkit.home.household import Household
from pvkit.home.prices import Prices
from pvkit.home.worth import worth

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

PATHS = ("battery", "car", "cylinder", "export")


@dataclass(frozen=True, slots=True, eq=False)
class Steering:
    """What prices decide in a home, laid out over the year.

    Parameters
    ----------
    orders : orders of the paths that occur, each of all four
    order : (n,) which of them holds
    mark : (n,) what a cheap hour is for: 0 nothing, 1 the battery waits, 2 it is charged
    level : (12,) how full it is charged, by local month; below 0 the marks are left aside [-]
    window : (n,) True while the grid may charge the car
    """

    orders: tuple[tuple[str, ...], ...]
    order: IntArray
    mark: IntArray
    level: Array
    window: BoolArray

    @property
    def key(self) -> Hashable:
        """All of it in a form that can be remembered by."""
        arrays = (self.order, self.mark, self.level, self.window)
        return (self.orders, *(values.tobytes() for values in arrays))


def steering(household: Household, prices: Prices | None) -> Steering:
    """Decide all but how full the battery is charged at cheap hours.

    Parameters
    ----------
    household : the home
    prices : today's; without them the site's order holds, the car charges by its clock and the
        battery leaves the grid alone

    Raises
    ------
    ValueError
        If the prices are to decide and there are none.
    """
    n = len(household.demand.kwh)
    if household.by_value and prices is None:
        message = "an order by value needs prices"
        raise ValueError(message)
    window = _window(household, prices, n)
    orders: tuple[tuple[str, ...], ...] = (whole(household.order),)
    order = np.zeros(n, dtype=np.int64)
    if household.by_value and prices is not None:
        orders, order = _by_value(household, prices, window)
    mark = np.zeros(n, dtype=np.int64)
    battery = household.battery
    if battery is not None and battery.grid_charge and prices is not None:
        mark = cheap_marks(prices.import_gbp, household.demand.kwh, battery)
    return Steering(orders, order, mark, np.full(12, -1.0), window)


def whole(order: tuple[str, ...]) -> tuple[str, ...]:
    """Give an order with every path in it; those left out come last.

    Examples
    --------
    >>> whole(("cylinder", "export"))
    ('cylinder', 'export', 'battery', 'car')
    """
    return (*order, *(path for path in PATHS if path not in order))


def _window(household: Household, prices: Prices | None, n: int) -> BoolArray:
    car = household.car
    if car is None:
        return np.zeros(n, dtype=np.bool_)
    if prices is None or np.ptp(prices.import_gbp) == 0.0:
        return car.window & car.here
    return cheapest_at_night(prices.import_gbp, car)


def _by_value(
    household: Household, prices: Prices, window: BoolArray
) -> tuple[tuple[tuple[str, ...], ...], IntArray]:
    """Rank the paths in each half-hour; on a draw the site's usual order holds."""
    found = worth(household, prices, window)
    values = np.stack([getattr(found, path) for path in PATHS], axis=1)
    ranks = np.argsort(-values, axis=1, kind="stable")
    codes = ranks @ len(PATHS) ** np.arange(len(PATHS))
    _, first, order = np.unique(codes, return_index=True, return_inverse=True)
    return tuple(tuple(PATHS[k] for k in ranks[at]) for at in first), order.astype(np.int64)
