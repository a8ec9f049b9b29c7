"""How prices move over the years, each as a share of today's price in pounds of today."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.ledger.deal import Deal
from pvkit.ledger.worth import powers

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class PricePaths:
    """Price of each year over today's, in real terms, (years,) or (cases, years) [-].

    Parameters
    ----------
    imported : electricity bought
    exported : electricity sold
    gas : gas
    """

    imported: Array
    exported: Array
    gas: Array


def price_paths(deal: Deal) -> PricePaths:
    """Lay out the price of each year, from a list by year or a yearly change.

    Parameters
    ----------
    deal : tariff with its yearly changes, lists by year, and whether inflation is in them

    Returns
    -------
    (years,) paths in real terms. Real changes leave the first year at today's price. Nominal ones
    are in pounds of each year and are brought back to today's by general inflation; flows fall at
    the end of a year, so the first year's price is a year's inflation lower too.

    Examples
    --------
    >>> from pvkit.site.money import Costs, Finance
    >>> from pvkit.site.tariff import Tariff
    >>> offer = Deal(Tariff(import_change_per_year=0.02), Costs(), Finance(years=3), 2.5)
    >>> price_paths(offer).imported
    array([1.    , 1.02  , 1.0404])
    """
    tariff, prices = deal.tariff, deal.prices
    return PricePaths(
        _path(deal, tariff.import_change_per_year, prices.import_index_by_year),
        _path(deal, tariff.export_change_per_year, prices.export_index_by_year),
        _path(deal, tariff.gas_change_per_year, prices.gas_index_by_year),
    )


def _path(deal: Deal, change_per_year: float, by_year: tuple[float, ...] | None) -> Array:
    span = deal.finance.years
    if by_year is None:
        path = powers(change_per_year, span)
    else:
        path = np.array(by_year)[np.minimum(np.arange(span), len(by_year) - 1)]
    if deal.prices.terms == "real":
        return path
    return np.asarray(path / powers(deal.finance.inflation_per_year, span + 1)[1:])
