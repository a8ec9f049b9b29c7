"""What the next kWh of solar energy is worth, where it would go, and whether diverting pays."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.home.household import Household
from pvkit.home.lanes import Lanes, checked, run_lanes
from pvkit.home.paths import Flows
from pvkit.home.prices import Prices
from pvkit.home.solar import Solar
from pvkit.home.steering import Steering
from pvkit.home.worth import worth

Array = NDArray[np.float64]

MORE_SUN = 0.01  # of the year's energy, to see where the next kWh goes


@dataclass(frozen=True, slots=True)
class PathWorth:
    """What a kWh of solar energy saves or earns on one path.

    Parameters
    ----------
    path : house, battery, car, cylinder or export
    gbp_per_kwh : mean over the half-hours of the year in which there is sun, by its energy
    next_share : share of the next kWh that would go there [-]
    """

    path: str
    gbp_per_kwh: float
    next_share: float


@dataclass(frozen=True, slots=True)
class NextKwh:
    """The next kWh of solar energy over the year, as a slightly larger system would make it.

    Parameters
    ----------
    paths : each path the home has, the best paid first
    gbp_per_kwh : what that kWh takes off the bills altogether [GBP/kWh]
    spilled_share : share of it that nothing could take [-]
    """

    paths: tuple[PathWorth, ...]
    gbp_per_kwh: float
    spilled_share: float


def next_kwh(
    solar: Solar | Array, household: Household, prices: Prices, steered: Steering
) -> NextKwh:
    """Say where the next kWh would go and what it would be worth.

    The year is run once more with one part in a hundred more sun; what differs is the next kWh.
    What it is worth altogether is the difference of the bills, so it counts that a store filled
    earlier has less room later.

    Parameters
    ----------
    solar : metered a.c. energy of the new system
    household : the home
    prices : today's
    steered : as the year is run
    """
    from pvkit.home import house_kernel as row

    known = checked(solar, household)
    lanes = Lanes.of([1.0, 1.0 + MORE_SUN], [1.0, 1.0], steered)
    run = run_lanes(known, household, steered, lanes, keep=2)
    more_kwh, sums = MORE_SUN * float(known.kwh.sum()), run.sums.sum(axis=1)
    bill = run.imported @ prices.import_gbp - run.exported @ prices.export_gbp
    if household.water is not None:
        burnt = sums[:, row.BOILER] / household.water.boiler_efficiency
        bill = bill + burnt * prices.gas_gbp
    rows = {
        "battery": (row.BATTERY_IN,), "car": (row.CAR_IN,),
        "cylinder": (row.UPPER_IN, row.LOWER_IN), "export": (row.EXPORTED,),
    }  # fmt: skip
    change = (sums[1] - sums[0]) / more_kwh
    share = {path: float(sum(change[at] for at in parts)) for path, parts in rows.items()}
    spilled = float(change[row.SPILLED])
    share["house"] = 1.0 + float(change[row.RESCUED]) - sum(share.values()) - spilled
    means = _means(known, household, prices, steered)
    paths = [PathWorth(path, means[path], share[path]) for path in means]
    return NextKwh(
        paths=tuple(sorted(paths, key=lambda path: -path.gbp_per_kwh)),
        gbp_per_kwh=float(bill[0] - bill[1]) / more_kwh,
        spilled_share=spilled,
    )


def _means(
    solar: Solar, household: Household, prices: Prices, steered: Steering
) -> dict[str, float]:
    """Mean worth of a kWh on each path the home has, by the sun's energy [GBP/kWh]."""
    found = worth(household, prices, steered.window)
    fitted = {
        "battery": household.battery is not None and household.battery.capacity_kwh > 0.0,
        "car": household.car is not None and household.car.by_sun,
        "cylinder": household.water is not None and household.water.diverter,
        "export": True,
    }
    weight = solar.kwh if solar.kwh.any() else np.ones(len(solar.kwh))
    mean = {"house": float(np.average(prices.import_gbp, weights=weight))}
    for path, has in fitted.items():
        if has:
            mean[path] = float(np.average(getattr(found, path), weights=weight))
    return mean


def diverting_pays_below_gbp(household: Household, prices: Prices) -> float | None:
    """Give the export price below which heating water beats exporting; None without a diverter.

    A kWh of surplus heats by the diverter's efficiency, which spares the boiler that heat over
    its own efficiency in gas.

    Parameters
    ----------
    household : the home
    prices : today's; only gas counts

    Returns
    -------
    [GBP/kWh]
    """
    water = household.water
    if water is None or not water.diverter:
        return None
    return prices.gas_gbp * water.diverter_efficiency / water.boiler_efficiency


def diverter_words(household: Household, prices: Prices, flows: Flows | None = None) -> str:
    """Say in plain words whether diverting beats exporting at today's prices.

    Parameters
    ----------
    household : the home
    prices : today's
    flows : a year of this home; then what its diverter saved is said as well

    Returns
    -------
    one or two sentences, or none without a diverter

    Examples
    --------
    >>> from pvkit.home.demand import Demand
    >>> from pvkit.home.water import water_year
    >>> from pvkit.site.household import HotWater
    >>> water = water_year(HotWater(diverter=True, boiler_efficiency=0.84), 2.4)
    >>> home = Household(Demand.even(np.full(17520, 0.2)), water)
    >>> print(diverter_words(home, Prices(np.full(17520, 0.26), np.full(17520, 0.12), 0.06)))
    Heating water pays below an export price of 7.0 p/kWh: that is the gas a spare kWh saves. \
Export pays 12.0 p/kWh, so at these prices exporting earns more than diverting.
    """
    limit = diverting_pays_below_gbp(household, prices)
    if limit is None:
        return ""
    low, high = float(prices.export_gbp.min()), float(prices.export_gbp.max())
    paid = f"{100 * low:.1f} p/kWh" if low == high else f"{100 * low:.1f} to {100 * high:.1f} p/kWh"
    if high < limit:
        verdict = "diverting saves more than exporting earns"
    elif low < limit:
        verdict = "each wins in some hours"
    else:
        verdict = "exporting earns more than diverting"
    words = (
        f"Heating water pays below an export price of {100 * limit:.1f} p/kWh: that is the gas a "
        f"spare kWh saves. Export pays {paid}, so at these prices {verdict}."
    )
    return words + _in_this_year(prices, flows)


def _in_this_year(prices: Prices, flows: Flows | None) -> str:
    """Say what each diverted kWh saved, the hotter cylinder's loss counted."""
    diverted = 0.0 if flows is None else float(flows.cylinder_kwh.sum())
    if flows is None or diverted <= 0.0:
        return ""
    saved = float((flows.gas_without_kwh - flows.gas_with_kwh).sum()) * prices.gas_gbp
    return (
        f" In this home's year each diverted kWh saved {100 * saved / diverted:.1f} p of gas, as a "
        "hotter cylinder loses more."
    )
