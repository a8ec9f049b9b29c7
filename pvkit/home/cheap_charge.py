"""How full cheap hours should make the battery, month by month: what would cost least."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pvkit.home.calendar import local_calendar
from pvkit.home.household import Household
from pvkit.home.lanes import Lanes, checked, run_lanes
from pvkit.home.prices import Prices
from pvkit.home.solar import Solar
from pvkit.home.steering import Steering, steering

Array = NDArray[np.float64]

# Leave cheap hours alone; wait in them; wait and be charged to a part of the capacity.
LEVELS = (-1.0, 0.0, 0.25, 0.5, 0.75, 1.0)


def steer(solar: Solar | Array, household: Household, prices: Prices | None) -> Steering:
    """Decide how a home's devices are steered, from today's prices.

    A battery that may be charged at cheap hours is set once a month, as an owner would: to the
    one of six levels at which such a month costs least. So it knows the kind of month to come,
    but not the weather of the day.

    Parameters
    ----------
    solar : metered a.c. energy of the new system
    household : the home
    prices : today's; None as in :func:`pvkit.home.steering.steering`

    Returns
    -------
    The steering; where no hours are cheap enough to pay, the battery leaves the grid alone
    """
    plan = steering(household, prices)
    if prices is None or not plan.mark.any():
        return plan
    costs = monthly_costs(checked(solar, household), household, prices, plan)
    return replace(plan, level=np.array(LEVELS)[costs.argmin(axis=0)])


def monthly_costs(solar: Solar, household: Household, prices: Prices, plan: Steering) -> Array:
    """Cost of each month at each level, (levels, 12) [GBP]: bought, less sold, and gas."""
    from pvkit.home.house_kernel import BOILER

    ones = np.ones(len(LEVELS))
    lanes = Lanes(ones, ones, np.tile(np.array(LEVELS)[:, None], (1, 12)))
    run = run_lanes(solar, household, plan, lanes, keep=0)
    cost = run.imported * prices.import_gbp - run.exported * prices.export_gbp
    firsts = np.searchsorted(local_calendar().month, np.arange(12))
    monthly = np.add.reduceat(cost, firsts, axis=1)
    if household.water is not None:
        burnt = run.sums[:, :, BOILER] / household.water.boiler_efficiency
        monthly = monthly + burnt * prices.gas_gbp
    return np.asarray(monthly)
