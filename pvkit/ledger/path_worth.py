"""What a kWh of a new system's year was worth on each path it took; the paths add up."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.home.flows import Flows
from pvkit.home.tariff import export_prices, gas_gbp_per_kwh, import_prices
from pvkit.site.tariff import Tariff

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class PathSum:
    """One path in a year.

    Parameters
    ----------
    path : house, battery, car, cylinder or export
    kwh : solar energy that took it [kWh]
    gbp : what it saved or earned at today's prices [GBP]
    gbp_per_kwh : the one over the other, None where nothing took it
    """

    path: str
    kwh: float
    gbp: float
    gbp_per_kwh: float | None


def path_sums(year: Flows, tariff: Tariff) -> tuple[PathSum, ...]:
    """Share a year's saving among the paths of the solar energy.

    In the house a kWh saves the price of its half-hour. The battery saves the price of the
    half-hours it serves, less what it takes from the grid and its own standby; what it saves with
    cheap hours is counted with its sun. The car and boosts of the cylinder save what they need
    not be given by the grid, the cylinder gas, and export earns its price.

    Parameters
    ----------
    year : every half-hour of a year with a new system
    tariff : today's prices

    Returns
    -------
    house, then battery, car, cylinder and export as far as the year has them; their pounds add up
    to the saving of that year
    """
    bought, sold = import_prices(tariff), export_prices(tariff)
    gas = gas_gbp_per_kwh(tariff)
    house = _paid(year.direct_kwh, bought)
    battery = _paid(year.battery_out_kwh - year.battery_grid_kwh - year.standby_kwh, bought)
    burnt = float(year.gas_with_kwh.sum())
    every = _paid(year.without_kwh - year.import_kwh, bought)
    found = {
        "house": (year.direct_kwh, house),
        "battery": (year.battery_in_kwh, battery),
        "car": (year.car_kwh, every - house - battery),
        "cylinder": (year.cylinder_kwh, gas * (float(year.gas_without_kwh.sum()) - burnt)),
        "export": (year.export_kwh, _paid(year.export_kwh, sold)),
    }
    sums = [_sum(path, float(kwh.sum()), gbp) for path, (kwh, gbp) in found.items()]
    return tuple(each for each in sums if each.path == "house" or _counts(each))


def _paid(kwh: Array, gbp_per_kwh: Array) -> float:
    return float(np.einsum("i,i", kwh, gbp_per_kwh))


# Sums of half-hours carry noise of this size.
_NOISE = 1e-6


def _counts(each: PathSum) -> bool:
    return each.kwh > _NOISE or abs(each.gbp) > _NOISE


def _sum(path: str, kwh: float, gbp: float) -> PathSum:
    return PathSum(path, kwh, gbp, gbp / kwh if kwh > _NOISE else None)
