"""The same cash in pounds of each year: general inflation put back in."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.ledger.worth import powers
from pvkit.site.money import Finance

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Nominal:
    """Columns (N + 1,) in pounds of each year, year 0 the outlay.

    Parameters
    ----------
    price_level : what a pound of today has become [-]
    saving_gbp, costs_gbp, net_gbp : as in the real table, in pounds of the year [GBP/year]
    cumulative_gbp : running sum of the nets [GBP]
    discount_rate : the real rate and inflation together [1/year]
    irr : rate of return of these flows, None where there is no one rate [1/year]
    """

    price_level: Array
    saving_gbp: Array
    costs_gbp: Array
    net_gbp: Array
    cumulative_gbp: Array
    discount_rate: float
    irr: float | None


def nominal(
    saving_gbp: Array, costs_gbp: Array, net_gbp: Array, irr: float | None, finance: Finance
) -> Nominal:
    """Put general inflation back into real columns.

    Parameters
    ----------
    saving_gbp, costs_gbp, net_gbp : (N + 1,) in today's pounds [GBP/year]
    irr : real rate of return, or None [1/year]
    finance : general inflation and the real discount rate

    Notes
    -----
    (1 + nominal rate) = (1 + real rate)(1 + inflation): the net present value is the same.

    Examples
    --------
    >>> year = np.array([0.0, 100.0])
    >>> terms = Finance(discount_rate=0.03, inflation_per_year=0.02)
    >>> table = nominal(year, 0 * year, year, None, terms)
    >>> table.saving_gbp, round(table.discount_rate, 4)
    (array([  0., 102.]), 0.0506)
    """
    inflation = finance.inflation_per_year
    level = powers(inflation, len(net_gbp))
    return Nominal(
        price_level=level,
        saving_gbp=saving_gbp * level,
        costs_gbp=costs_gbp * level,
        net_gbp=net_gbp * level,
        cumulative_gbp=np.cumsum(net_gbp * level),
        discount_rate=(1.0 + finance.discount_rate) * (1.0 + inflation) - 1.0,
        irr=None if irr is None else (1.0 + irr) * (1.0 + inflation) - 1.0,
    )
