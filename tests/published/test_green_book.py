"""Discount factors of HM Treasury's Green Book, over the years a roof system is counted."""

import numpy as np
import pytest

from pvkit.home.demand import Demand
from pvkit.home.flows import life_flows
from pvkit.home.household import Household
from pvkit.ledger.cash import cash_flow
from pvkit.ledger.deal import Deal
from pvkit.site.money import CostItem, Costs, Finance
from pvkit.site.tariff import Tariff

TABLE_ROUNDING = 5.1e-5


@pytest.fixture(scope="module")
def pound_a_year():
    """A home that earns a pound in each of sixty years, at the default rates."""
    solar = np.zeros(17520)
    solar[100] = 100.0
    years = life_flows(solar, Household(Demand.even(np.zeros(17520))), np.ones(60))
    nothing = (CostItem(name="nothing", gbp=0.0),)
    free = Costs(items=nothing, visit_gbp_per_year=0.0, replacements=())
    terms = Deal(Tariff(export_gbp_per_kwh=0.01), free, Finance(years=60), 1.0)
    return cash_flow(years, terms)


# Source: HM Treasury, The Green Book (rate as restated December 2025): 3.5 % real for years 0 to
# 30, 3.0 % for years 31 to 75; factors recomputed to the table's four figures.
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
        (31, 0.3459),
        (35, 0.3073),
        (40, 0.2651),
        (60, 0.1468),
    ],
)
def test_a_pound_of_a_later_year_is_worth_the_green_books_factor(
    year, factor, pound_a_year, published
):
    worth = np.diff(pound_a_year.discounted_gbp)
    published("discount factor of a later year", "HM Treasury, The Green Book; discount factors",
              worth[year - 1], factor, "", "recomputed", TABLE_ROUNDING)  # fmt: skip
