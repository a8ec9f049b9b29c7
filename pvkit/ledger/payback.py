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
    below = np.flatnonzero(running_total < 0.0)
    if len(below) == 0:
        return 0.0
    last = int(below[-1])
    if last + 1 == len(running_total):
        return None
    before, after = running_total[last], running_total[last + 1]
    return float(last - before / (after - before))
