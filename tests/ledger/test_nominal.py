import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvkit.ledger.cash import ageing, cash_flow
from pvkit.ledger.deal import Deal
from pvkit.ledger.worth import present_value
from pvkit.site.money import CostItem, Costs, Finance
from pvkit.site.tariff import Tariff
from tests.ledger.years import plain_years

QUOTE = Costs(items=(CostItem(name="all", gbp=5000.0),), visit_gbp_per_year=60.0, replacements=())
YEARS = plain_years()


@given(st.floats(0.0, 0.15), st.floats(-0.02, 0.1))
def test_real_flows_at_the_real_rate_and_nominal_at_the_nominal_are_worth_the_same(real, inflation):
    finance = Finance(discount_rate=real, inflation_per_year=inflation)
    cash = cash_flow(YEARS, Deal(Tariff(), QUOTE, finance, 2.5))
    table = cash.nominal
    assert table.discount_rate == pytest.approx((1 + real) * (1 + inflation) - 1)
    assert present_value(table.discount_rate, table.net_gbp) == pytest.approx(cash.npv_gbp)


def test_the_nominal_rate_of_return_is_that_of_the_nominal_flows():
    cash = cash_flow(YEARS, Deal(Tariff(), QUOTE, Finance(inflation_per_year=0.03), 2.5))
    table = cash.nominal
    assert present_value(table.irr, table.net_gbp) == pytest.approx(0.0, abs=1e-4)
    assert table.irr == pytest.approx((1 + cash.irr) * 1.03 - 1)


def test_inflation_leaves_the_real_table_alone():
    plain, other = (
        cash_flow(YEARS, Deal(Tariff(), QUOTE, Finance(inflation_per_year=rate), 2.5))
        for rate in (0.0, 0.08)
    )
    np.testing.assert_array_equal(plain.net_gbp, other.net_gbp)
    np.testing.assert_array_equal(plain.nominal.net_gbp, plain.net_gbp)


def test_a_list_of_ageing_by_year_is_used_as_far_as_it_goes():
    finance = Finance(years=5, output_by_year=(0.99, 0.97, 0.96), degradation_per_year=0.01)
    np.testing.assert_allclose(ageing(finance), [0.99, 0.97, 0.96, 0.96 * 0.99, 0.96 * 0.99**2])
    assert ageing(Finance(years=2, output_by_year=(0.99, 0.97, 0.96))).tolist() == [0.99, 0.97]
