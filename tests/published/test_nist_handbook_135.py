"""Discounting of a level and of a growing saving, against closed forms of life-cycle costing."""

import numpy as np
import pytest

from pvkit.home.demand import Demand
from pvkit.home.flows import life_flows
from pvkit.home.household import Household
from pvkit.ledger.cash import cash_flow
from pvkit.ledger.deal import Deal
from pvkit.site.money import CostItem, Costs, Finance
from pvkit.site.tariff import Tariff

NOTHING = (CostItem(name="nothing", gbp=0.0),)
FREE = Costs(items=NOTHING, visit_gbp_per_year=0.0, replacements=())
PRINTED = 5e-5
SOURCE = "NIST Handbook 135, ASTM E917; "


def one_pound_a_year(rate, span, growth=0.0):
    """The cash of a home that exports 100 kWh a year at 1 p, a pound in the first year."""
    solar = np.zeros(17520)
    solar[::2] = 100.0 / 8760
    years = life_flows(solar, Household(Demand.even(np.zeros(17520))), np.ones(span))
    tariff = Tariff(export_gbp_per_kwh=0.01, export_change_per_year=growth)
    return cash_flow(years, Deal(tariff, FREE, Finance(years=span, discount_rate=rate), 1.0))


# Source: NIST Handbook 135 (and ASTM E917) names and closed forms: single (SPV) and uniform (UPV)
# present value factors, capital recovery CRF = 1 / UPV; recomputed, printed to four figures there.
@pytest.mark.parametrize(
    ("rate", "span", "spv", "upv"),
    [
        (0.03, 20, 0.55368, 14.8775),
        (0.03, 25, 0.47761, 17.4131),
        (0.035, 25, 0.42315, 16.4815),
        (0.05, 25, 0.29530, 14.0939),
        (0.07, 20, 0.25842, 10.5940),
        (0.07, 25, 0.18425, 11.6536),
        (0.07, 30, 0.13137, 12.4090),
    ],
)
def test_a_pound_a_year_is_worth_the_uniform_present_value(rate, span, spv, upv, published):
    cash = one_pound_a_year(rate, span)
    published("worth of a pound a year", SOURCE + "UPV", cash.npv_gbp, upv, "GBP", "recomputed",
              PRINTED)  # fmt: skip
    published("worth of the last year's pound", SOURCE + "SPV", np.diff(cash.discounted_gbp)[-1],
              spv, "GBP", "recomputed", PRINTED / 10)  # fmt: skip


# Source: the same, capital recovery factor: an outlay of a pound repaid by CRF a year earns the
# rate; 1 / CRF as the outlay of a pound a year must earn it too.
@pytest.mark.parametrize(
    ("rate", "span", "crf"),
    [(0.03, 20, 0.067216), (0.05, 25, 0.070952), (0.07, 30, 0.080586), (0.10, 20, 0.117460)],
)
def test_an_outlay_at_the_capital_recovery_factor_earns_the_rate(rate, span, crf, published):
    solar = np.zeros(17520)
    solar[100] = 100.0
    years = life_flows(solar, Household(Demand.even(np.zeros(17520))), np.ones(span))
    costs = FREE.model_copy(update={"items": (CostItem(name="roof", gbp=1.0 / crf),)})
    tariff = Tariff(export_gbp_per_kwh=0.01)
    cash = cash_flow(years, Deal(tariff, costs, Finance(years=span, discount_rate=rate), 1.0))
    published("return of an outlay at the capital recovery factor", SOURCE + "CRF",
              100 * cash.irr, 100 * rate, "%", "recomputed", 2e-4)  # fmt: skip
    assert cash.npv_gbp == pytest.approx(0.0, abs=2e-4)


# Source: the same, modified uniform present value UPV*, whose first year has grown already; the
# kit's first year is at today's price, so UPV* is (1 + growth) times its worth.
@pytest.mark.parametrize(
    ("rate", "growth", "span", "upv_star"),
    [
        (0.03, 0.02, 25, 22.0766),
        (0.05, 0.02, 25, 17.5278),
        (0.035, -0.005, 25, 15.5889),
        (0.03, 0.03, 20, 20.0),
    ],
)
def test_a_growing_pound_is_worth_the_modified_uniform_present_value(
    rate, growth, span, upv_star, published
):
    cash = one_pound_a_year(rate, span, growth)
    published("worth of a growing pound", SOURCE + "UPV*", cash.npv_gbp * (1 + growth), upv_star,
              "GBP", "recomputed", PRINTED)  # fmt: skip
