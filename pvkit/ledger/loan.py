"""A loan beside the purchase in cash: what is paid each month, and what is left each year."""

from dataclasses import dataclass

import numpy as np
import numpy_financial as npf
from numpy.typing import NDArray

from pvkit.ledger.deal import Deal
from pvkit.ledger.worth import powers, weights
from pvkit.site.money import Loan

Array = NDArray[np.float64]

MONTHS_A_YEAR = 12
# Below this rate of a month the closed form loses its digits, and interest is under a penny.
NO_INTEREST = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class LoanPlan:
    """Buying with a loan; columns are (N + 1,), year 0 the deposit.

    Parameters
    ----------
    deposit_gbp : paid on the first day [GBP]
    borrowed_gbp : lent [GBP]
    monthly_gbp : paid every month, in pounds of the day [GBP]
    paid_back_gbp : all months added up, in pounds of the day [GBP]
    interest_gbp : what of it is beyond the sum lent [GBP]
    paid_gbp : each year's twelve months, in pounds of the day [GBP/year]
    paid_today_gbp : the same in today's pounds [GBP/year]
    net_gbp : savings less costs less what is paid, today's pounds [GBP/year]
    cumulative_gbp, discounted_gbp : running sums of the nets, plain and discounted [GBP]
    npv_gbp : net present value [GBP]
    years_out_of_pocket : years in which the payment is more than the system brings in
    """

    deposit_gbp: float
    borrowed_gbp: float
    monthly_gbp: float
    paid_back_gbp: float
    interest_gbp: float
    paid_gbp: Array
    paid_today_gbp: Array
    net_gbp: Array
    cumulative_gbp: Array
    discounted_gbp: Array
    npv_gbp: float
    years_out_of_pocket: int


def monthly_payment(borrowed_gbp: float, monthly_rate: float, months: int) -> float:
    """Level payment at each month's end that pays a loan back.

    Source
    ------
    numpy-financial ``pmt``.

    Examples
    --------
    >>> round(monthly_payment(2500.0, 0.0824 / 12, 12), 2)
    217.75
    """
    if monthly_rate < NO_INTEREST:
        return borrowed_gbp / months
    return -float(npf.pmt(monthly_rate, months, borrowed_gbp))


def monthly_rate(loan: Loan) -> float:
    """Rate of a month whose twelve make the annual percentage rate.

    Examples
    --------
    >>> round((1 + monthly_rate(Loan(deposit_gbp=0, apr=0.08, years=5))) ** 12 - 1, 10)
    0.08
    """
    return float((1.0 + loan.apr) ** (1.0 / MONTHS_A_YEAR) - 1.0)


def loan_plan(earned_gbp: Array, capital_gbp: float, deal: Deal) -> LoanPlan | None:
    """Lay a loan over what the system brings in.

    Parameters
    ----------
    earned_gbp : (years,) savings less costs, today's pounds [GBP/year]
    capital_gbp : price of the system [GBP]
    deal : the loan, the span, inflation and the real discount rate

    Returns
    -------
    None without a loan. Payments are fixed in pounds of the day, so inflation makes them lighter.
    """
    loan, finance = deal.loan, deal.finance
    if loan is None:
        return None
    deposit = min(loan.deposit_gbp, capital_gbp)
    borrowed, months = capital_gbp - deposit, loan.years * MONTHS_A_YEAR
    monthly = monthly_payment(borrowed, monthly_rate(loan), months)
    paid = np.where(np.arange(finance.years + 1) > loan.years, 0.0, monthly * MONTHS_A_YEAR)
    paid[0] = deposit
    paid_today = paid / powers(finance.inflation_per_year, len(paid))
    net = np.concatenate(([0.0], earned_gbp)) - paid_today
    worth = net * weights(finance, len(net))
    return LoanPlan(
        deposit_gbp=deposit,
        borrowed_gbp=borrowed,
        monthly_gbp=monthly,
        paid_back_gbp=monthly * months,
        interest_gbp=monthly * months - borrowed,
        paid_gbp=paid,
        paid_today_gbp=paid_today,
        net_gbp=net,
        cumulative_gbp=np.cumsum(net),
        discounted_gbp=np.cumsum(worth),
        npv_gbp=float(worth.sum()),
        years_out_of_pocket=int(np.count_nonzero(net[1:] < 0.0)),
    )
