"""What a kWh costs over the life, against published forms of the levelised cost."""

import numpy as np
import pytest

from pvkit.home.demand import Demand
from pvkit.home.flows import life_flows
from pvkit.home.household import Household
from pvkit.ledger.cash import ageing, cash_flow
from pvkit.ledger.deal import Deal
from pvkit.site.money import CostItem, Costs, Finance
from pvkit.site.tariff import Tariff


def cost_per_kwh(finance, capital_gbp, yearly_gbp, first_year_kwh):
    solar = np.zeros(17520)
    solar[100] = first_year_kwh
    years = life_flows(solar, Household(Demand.even(np.zeros(17520))), ageing(finance))
    costs = Costs(
        items=(CostItem(name="system", gbp=capital_gbp),),
        visit_gbp_per_year=yearly_gbp,
        replacements=(),
    )
    return cash_flow(years, Deal(Tariff(), costs, finance, 1.0)).lcoe_gbp_per_kwh


# Source: Short, Packey & Holt (1995), NREL/TP-462-5173, with ageing and year-end flows; computed
# example: outlay 6000, 3400 kWh, 0.5 % a year, 100 a year, 3.5 %, 25 years: 7648.15 / 53268.75.
def test_levelised_cost_with_ageing(published):
    finance = Finance(
        years=25, discount_rate=0.035, degradation_first_year=0.0, degradation_per_year=0.005
    )
    source = "Short, Packey & Holt 1995, NREL/TP-462-5173; levelised cost"
    ours = cost_per_kwh(finance, 6000.0, 100.0, 3400.0)
    published("levelised cost with ageing", source, ours, 0.143577, "GBP/kWh", "recomputed", 5e-7)
    kwh = 3400.0 * ageing(finance).sum()
    published("25 years' energy with ageing", source, kwh, 80090.23, "kWh", "recomputed", 0.005)
    assert ageing(finance)[24] == pytest.approx(0.886654, abs=5e-7)
    assert ageing(finance).mean() == pytest.approx(0.942238, abs=5e-7)


# Source: NREL simple levelised cost (secondary copy), computed example: 1000 a kW, 7 %, 20 years,
# 20 a kW and year, capacity factor 0.15.
def test_levelised_cost_in_the_simple_form(published):
    finance = Finance(
        years=20, discount_rate=0.07, degradation_first_year=0.0, degradation_per_year=0.0
    )
    published("levelised cost, simple form", "NREL (secondary copy); simple levelised cost",
              cost_per_kwh(finance, 1000.0, 20.0, 8760 * 0.15), 0.087057, "per kWh", "recomputed",
              5e-7)  # fmt: skip
