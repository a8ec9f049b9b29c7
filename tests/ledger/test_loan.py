import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvkit.ledger.cash import cash_flow
from pvkit.ledger.deal import Deal
from pvkit.ledger.loan import monthly_payment, monthly_rate
from pvkit.site.money import CostItem, Costs, Finance, Loan
from pvkit.site.tariff import Tariff
from tests.ledger.years import plain_years

QUOTE = Costs(items=(CostItem(name="all", gbp=5000.0),), visit_gbp_per_year=0.0, replacements=())


def bought(loan=None, **finance):
    terms = Deal(Tariff(), QUOTE, Finance(**finance), 2.5, loan=loan)
    return cash_flow(plain_years(span=finance.get("years", 25)), terms)


@given(st.floats(100, 20000), st.floats(0.0, 0.03), st.integers(1, 300))
def test_the_payments_pay_back_loan_and_interest_to_the_last_penny(borrowed, rate, months):
    payment, owed = monthly_payment(borrowed, rate, months), borrowed
    for _ in range(months):
        owed = owed * (1 + rate) - payment
    assert owed == pytest.approx(0.0, abs=1e-6 * borrowed)


def test_twelve_months_at_the_monthly_rate_make_the_annual_percentage_rate():
    assert (1 + monthly_rate(Loan(deposit_gbp=0, apr=0.079, years=3))) ** 12 == pytest.approx(1.079)


def test_without_interest_the_loan_is_repaid_in_equal_parts():
    plan = bought(Loan(deposit_gbp=500.0, apr=0.0, years=5)).loan
    assert plan.borrowed_gbp == 4500.0
    assert plan.monthly_gbp == pytest.approx(75.0)
    assert plan.interest_gbp == pytest.approx(0.0, abs=1e-9)
    assert plan.paid_gbp[:7].tolist() == pytest.approx([500, 900, 900, 900, 900, 900, 0])


def test_inflation_makes_later_payments_lighter():
    plan = bought(Loan(deposit_gbp=0.0, apr=0.08, years=10), inflation_per_year=0.03).loan
    np.testing.assert_allclose(plan.paid_today_gbp, plan.paid_gbp / 1.03 ** np.arange(26))


def test_a_loan_at_the_nominal_discount_rate_is_worth_what_cash_is():
    """Paid at each year's end, at (1 + real)(1 + inflation) - 1, a loan costs nothing extra.

    The months come before their year's end and are discounted with it, so the two agree only as
    far as a year's compounding goes: within half a year's interest on what is owed.
    """
    nominal = 1.035 * 1.02 - 1
    cash = bought(Loan(deposit_gbp=0.0, apr=nominal, years=10))
    owed = sum(5000.0 * (1 - year / 10) for year in range(10))
    assert abs(cash.loan.npv_gbp - cash.npv_gbp) < 0.5 * nominal * owed


def test_a_dearer_loan_is_worth_less_and_a_purchase_in_cash_is_untouched_by_it():
    cheap, dear = (bought(Loan(deposit_gbp=500.0, apr=apr, years=7)) for apr in (0.03, 0.12))
    assert cheap.loan.npv_gbp > dear.loan.npv_gbp
    assert cheap.npv_gbp == dear.npv_gbp == bought().npv_gbp
    assert bought().loan is None


def test_the_deposit_is_never_more_than_the_price():
    plan = bought(Loan(deposit_gbp=9000.0, apr=0.05, years=5)).loan
    assert plan.deposit_gbp == 5000.0
    assert plan.borrowed_gbp == plan.monthly_gbp == 0.0


def test_columns_add_up_and_years_out_of_pocket_are_counted():
    cash = bought(Loan(deposit_gbp=0.0, apr=0.09, years=5))
    plan = cash.loan
    np.testing.assert_allclose(plan.net_gbp[1:], cash.net_gbp[1:] - plan.paid_today_gbp[1:])
    np.testing.assert_allclose(plan.cumulative_gbp, np.cumsum(plan.net_gbp))
    assert plan.discounted_gbp[-1] == pytest.approx(plan.npv_gbp)
    assert plan.paid_back_gbp == pytest.approx(plan.paid_gbp[1:].sum())
    assert plan.years_out_of_pocket == int((plan.net_gbp[1:] < 0).sum()) == 5
