"""Present value and rate of return, against the examples of numpy-financial's documentation."""

import numpy as np
import numpy_financial as npf
import pytest

from pvkit.ledger.loan import monthly_payment
from pvkit.ledger.worth import present_value, rate_of_return

PRINTED = 1e-5
SOURCE = "numpy-financial documentation; "


# Source: numpy-financial documentation, npv.
def test_present_value_leaves_the_first_flow_undiscounted(published):
    flows = np.array([-40000.0, 5000, 8000, 12000, 30000])
    ours = present_value(0.08, flows)
    published("present value", SOURCE + "npv", ours, 3065.22267, "", "published", PRINTED)


# Source: numpy-financial documentation, irr: flows that change sign once.
@pytest.mark.parametrize(
    ("flows", "rate"),
    [
        ([-100, 39, 59, 55, 20], 0.28095),
        ([-100, 0, 0, 74], -0.0955),
        ([-250000, 100000, 150000, 200000, 250000, 300000], 0.5672303344),
    ],
)
def test_rate_of_return_of_an_outlay_and_its_returns(flows, rate, published):
    ours = rate_of_return(np.array(flows, dtype=float))
    published("rate of return", SOURCE + "irr", ours, rate, "", "published", 5 * PRINTED)


# Source: the same. The flows change sign again; the first has one rate of zero or above.
def test_rate_of_return_where_only_one_rate_is_not_negative():
    assert rate_of_return(np.array([-100.0, 100, 0, 7])) == pytest.approx(0.06206, abs=PRINTED)


# Source: the same: -0.0833 is printed, but the flows are worth nothing at -0.68 too; and 0.0886 is
# printed where 0.72 fits as well. The library gives the one nearest zero; the kit gives none.
@pytest.mark.parametrize(
    ("flows", "printed"), [([-100, 100, 0, -7], -0.0833), ([-5, 10.5, 1, -8, 1], 0.0886)]
)
def test_no_rate_of_return_where_several_fit(flows, printed):
    values = np.array(flows, dtype=float)
    assert npf.irr(values) == pytest.approx(printed, abs=PRINTED * 5)
    assert rate_of_return(values) is None


# Source: the same, pmt: 200,000 at 7.5 % a year over 15 years.
def test_the_monthly_payment_of_a_loan(published):
    ours = monthly_payment(200000.0, 0.075 / 12, 180)
    published("monthly payment of a loan", SOURCE + "pmt", ours, 1854.02472, "", "published", 5e-8)


# Source: the same, ppmt and ipmt: 2,500 at 8.24 % a year over 12 months; interest 112.98.
def test_payment_and_interest_of_a_years_loan(published):
    payment = monthly_payment(2500.0, 0.0824 / 12, 12)
    assert payment == pytest.approx(217.75, abs=0.005)
    published("interest of a year's loan", SOURCE + "ipmt", 12 * payment - 2500.0, 112.98, "",
              "published", 0.005)  # fmt: skip


# Source: the same, fv and pv: what 100 a month at 5 % a year makes in ten years, and back.
def test_level_sums_grow_and_come_back():
    weight = 1 / (1 + 0.05 / 12)
    worth = sum(100 * weight**month for month in range(121))
    assert worth / weight**120 == pytest.approx(15692.928894, abs=5e-6)
    assert present_value(0.05 / 12, np.full(121, 100.0)) == pytest.approx(worth)
