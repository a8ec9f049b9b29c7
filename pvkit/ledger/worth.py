"""What a row of yearly flows is worth: present value and internal rate of return."""

import numpy as np
import numpy_financial as npf
from numpy.typing import NDArray

from pvkit.site.money import Finance
from pvkit.tables import constant

Array = NDArray[np.float64]

# A rate counts as found when the flows' present value at it is this small a part of the outlay.
RATE_CLOSES = 1e-6


def powers(rate: float, count: int) -> Array:
    """Give powers 0, 1, 2, … of one plus a yearly rate.

    Examples
    --------
    >>> powers(0.1, 3).round(2)
    array([1.  , 1.1 , 1.21])
    """
    return np.power(1.0 + rate, np.arange(count))


def later_rate(finance: Finance) -> float:
    """Give the real discount rate of the years after the thirtieth [1/year]."""
    if finance.discount_rate_after_30_years is not None:
        return finance.discount_rate_after_30_years
    given = "discount_rate" in finance.model_fields_set
    return finance.discount_rate if given else constant("discount.later_rate")


def weights(finance: Finance, count: int) -> Array:
    """Give what a pound of each year is worth today.

    Parameters
    ----------
    finance : the real discount rate, and that of the years after the thirtieth
    count : years, the first one today

    Returns
    -------
    (count,) 1 for today, less for each later year [-]

    Source
    ------
    HM Treasury Green Book for the default rates and the year in which they change.

    Examples
    --------
    >>> weights(Finance(), 32)[[1, 30, 31]].round(4)
    array([0.9662, 0.3563, 0.3459])
    """
    turn = int(constant("discount.later_from_year"))
    rate = np.where(np.arange(1, count) <= turn, finance.discount_rate, later_rate(finance))
    return np.concatenate(([1.0], np.cumprod(1.0 / (1.0 + rate))))


def present_value(rate: float, flows: Array) -> float:
    """Worth today of yearly flows, the first one not discounted.

    Parameters
    ----------
    rate : discount rate, real where the flows are in today's money [1/year]
    flows : (years + 1,) flow at the end of each year, the first one today [GBP]

    Returns
    -------
    Present value [GBP]

    Source
    ------
    numpy-financial ``npv``. A spreadsheet's NPV() discounts the first flow as well.

    Examples
    --------
    >>> round(present_value(0.08, np.array([-40000.0, 5000, 8000, 12000, 30000])), 5)
    3065.22267
    """
    return float(npf.npv(rate, flows))


def rate_of_return(flows: Array) -> float | None:
    """Yearly rate that the outlay earns, or None where no one rate says it.

    Parameters
    ----------
    flows : (years + 1,) net flow of each year, the first one the outlay [GBP]

    Returns
    -------
    The rate at which the flows are worth nothing today [1/year]. None without an outlay, without
    a return, or where flows that change sign more than once have several such rates and not
    exactly one of them is zero or above (or, with none there, exactly one below).

    Source
    ------
    numpy-financial ``irr`` where the flows change sign once; else the same polynomial's roots.

    Examples
    --------
    >>> round(rate_of_return(np.array([-100.0, 39, 59, 55, 20])), 5)
    0.28095
    >>> rate_of_return(np.array([-100.0, -1.0])) is None
    True
    """
    signs = np.sign(flows[flows != 0.0])
    changes = int(np.count_nonzero(np.diff(signs)))
    if flows[0] >= 0.0 or changes == 0:
        return None
    rate = float(npf.irr(flows)) if changes == 1 else _only_rate(flows)
    if rate is None or not np.isfinite(rate):
        return None
    closes = abs(present_value(rate, flows)) <= RATE_CLOSES * np.abs(flows).sum()
    return rate if closes else None


def _only_rate(flows: Array) -> float | None:
    roots = np.roots(flows[::-1])
    factors = roots[(roots.imag == 0.0) & (roots.real > 0.0)].real
    rates = 1.0 / factors - 1.0
    for candidates in (rates[rates >= 0.0], rates[rates < 0.0]):
        if len(candidates) > 0:
            return float(candidates[0]) if len(candidates) == 1 else None
    return None
