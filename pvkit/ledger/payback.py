"""When a running total is back above zero for good."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def payback_years(running_total: Array) -> float | None:
    """Years until a running total that starts below zero has come back to it for good.

    Within a year the total is taken to grow evenly. Where a later cost takes it below zero again,
    the last return counts.

    Parameters
    ----------
    running_total : (years + 1,) total at the end of each year, year 0 the outlay

    Returns
    -------
    Years from the outlay, 0 if it was never below zero, None if it does not come back in the span

    Examples
    --------
    >>> payback_years(np.array([-100.0, -40.0, 20.0, 80.0]))
    1.6666666666666665
    >>> payback_years(np.array([-100.0, 10.0, -20.0, 20.0]))  # a repair in the second year
    2.5
    >>> payback_years(np.array([-100.0, -40.0])) is None
    True
    """
    found = float(paybacks(running_total[None, :])[0])
    return found if np.isfinite(found) else None


def paybacks(running_totals: Array) -> Array:
    """Give the payback of many cases at once.

    Parameters
    ----------
    running_totals : (cases, years + 1)

    Returns
    -------
    (cases,) years from the outlay, infinite where the total does not come back in the span
    """
    below = running_totals < 0.0
    span = running_totals.shape[1] - 1
    # The last year below zero; -1 for a case that never was.
    last = np.where(below.any(axis=1), span - np.argmax(below[:, ::-1], axis=1), -1)
    case, before = np.arange(len(last)), np.clip(last, 0, max(span - 1, 0))
    start = running_totals[case, before]
    rise = running_totals[case, np.minimum(before + 1, span)] - start
    share = np.divide(-start, rise, out=np.zeros_like(start), where=rise != 0.0)
    found = np.where(last < 0, 0.0, before + share)
    return np.where(last == span, np.inf, found)
