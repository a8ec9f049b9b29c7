"""The bills with and without the system, each half-hour at its own price."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.home.flows import Years
from pvkit.home.tariff import export_prices, gas_gbp_per_kwh, import_prices, standing_gbp
from pvkit.ledger.deal import Deal
from pvkit.ledger.price_paths import price_paths
from pvkit.site.tariff import Tariff

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Priced:
    """What flows at the meters in each year, at today's prices.

    Parameters
    ----------
    bought_without_gbp : electricity bought in a year without the system [GBP]
    bought_gbp, sold_gbp : (years,) electricity bought and sold with it [GBP]
    gas_without_gbp : gas burnt in a year without it [GBP]
    gas_saved_gbp : (years,) gas not burnt [GBP]
    """

    bought_without_gbp: float
    bought_gbp: Array
    sold_gbp: Array
    gas_without_gbp: float
    gas_saved_gbp: Array


def priced(years: Years, tariff: Tariff) -> Priced:
    """Put today's price on every half-hour.

    Parameters
    ----------
    years : energy of every year
    tariff : today's prices

    Returns
    -------
    Sums of each year; they are sums of half-hours, not an average price.
    """
    bought, sold, gas = import_prices(tariff), export_prices(tariff), gas_gbp_per_kwh(tariff)
    # einsum rather than @, whose threads wait whenever something else holds a processor.
    return Priced(
        bought_without_gbp=float(np.einsum("i,i", years.demand_kwh, bought)),
        bought_gbp=np.einsum("ti,i->t", years.import_half_hourly_kwh, bought),
        sold_gbp=np.einsum("ti,i->t", years.export_half_hourly_kwh, sold),
        gas_without_gbp=years.gas_without_kwh * gas,
        gas_saved_gbp=years.gas_saved_kwh * gas,
    )


def bills(years: Years, deal: Deal) -> tuple[Array, Array]:
    """Give the bill of every year without and with the system.

    Parameters
    ----------
    years : energy of every year
    deal : tariff and price paths; the standing charge is held

    Returns
    -------
    Two (years,) arrays [GBP/year, today's pounds]: electricity, standing charge and gas for hot
    water, less the income from export
    """
    today, paths = priced(years, deal.tariff), price_paths(deal)
    standing = standing_gbp(deal.tariff)
    without = (
        today.bought_without_gbp * paths.imported + standing + today.gas_without_gbp * paths.gas
    )
    with_solar = (
        today.bought_gbp * paths.imported
        + standing
        + (today.gas_without_gbp - today.gas_saved_gbp) * paths.gas
        - today.sold_gbp * paths.exported
    )
    return without, with_solar
