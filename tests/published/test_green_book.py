"""Discount factors of HM Treasury's Green Book, over the years a roof system is counted."""

import numpy as np
import pytest

from pvkit.home.demand import Demand
from pvkit.home.flows import life_flows
from pvkit.ledger.cash import cash_flow
from pvkit.site.household import Tariff
from pvkit.site.money import CostItem, Costs, Finance

TABLE_ROUNDING = 5.1e-5


# Source: HM Treasury, The Green Book (rate as restated December 2025): 3.5 % real for years 0 to
# 30; factors recomputed to the table's four figures. After year 30 the Green Book goes to 3.0 %,
# which the kit does not do: its rate is one setting for the whole span.
@pytest.mark.parametrize(
    ("year", "factor"),
    [
        (1, 0.9662),
        (2, 0.9335),
        (3, 0.9019),
        (4, 0.8714),
        (5, 0.8420),
        (10, 0.7089),
        (15, 0.5969),
        (20, 0.5026),
        (25, 0.4231),
        (30, 0.3563),
    ],
)
def test_a_pound_of_a_later_year_is_worth_the_green_books_factor(year, factor):
    solar = np.zeros(17520)
    solar[100] = 100.0
    years = life_flows(solar, Demand.even(np.zeros(17520)), None, np.ones(30))
    nothing = (CostItem(name="nothing", gbp=0.0),)
    free = Costs(items=nothing, visit_gbp_per_year=0.0, replacements=())
    cash = cash_flow(years, Tariff(export_gbp_per_kwh=0.01), free, Finance(years=30), 1.0)
    worth = np.diff(cash.discounted_gbp)
    assert worth[year - 1] == pytest.approx(factor, abs=TABLE_ROUNDING)
