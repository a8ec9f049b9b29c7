"""When in the year and the day shade costs most."""

import numpy as np
from numpy.typing import NDArray

from pvkit.electrical.array_power import array_power
from pvkit.electrical.wiring_comparison import unshaded
from pvkit.home.calendar import local_calendar
from pvkit.study.stages import Stages

MONTHS_A_YEAR, HOURS_A_DAY = 12, 24


def shade_loss_percent(stages: Stages) -> NDArray[np.float64]:
    """Give the share of the d.c. energy that shade takes, hidden light and mismatch together.

    Parameters
    ----------
    stages : a site taken through every stage

    Returns
    -------
    (12, 24) by month and local hour, plain strings [%]; NaN where it is dark
    """
    calendar = local_calendar()
    cell = calendar.month * HOURS_A_DAY + calendar.half_hour // 2
    size = MONTHS_A_YEAR * HOURS_A_DAY
    kept, clear = np.zeros(size), np.zeros(size)
    arrays = stages.arrays
    for inputs, power in zip(arrays.inputs, arrays.powers, strict=True):
        open_power = array_power(stages.sky, unshaded(inputs), arrays.wiring)
        at = cell[inputs.light.daylight]
        kept += np.bincount(at, power.string.watts, minlength=size)
        clear += np.bincount(at, open_power.even.watts, minlength=size)
    lost = np.full(size, np.nan)
    np.divide(100 * (clear - kept), clear, out=lost, where=clear > 0)
    return lost.reshape(MONTHS_A_YEAR, HOURS_A_DAY)
