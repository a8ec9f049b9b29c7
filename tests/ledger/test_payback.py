import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvkit.ledger.payback import payback_years

FLOWS = st.lists(st.floats(-1000, 1000).map(lambda x: round(x, 2)), min_size=1, max_size=40)


def test_an_even_saving_pays_back_at_outlay_over_saving():
    total = np.cumsum([-1000.0, *[300.0] * 10])
    assert payback_years(total) == pytest.approx(1000 / 300)


def test_a_repair_that_takes_the_total_below_zero_again_moves_payback_on():
    total = np.cumsum([-1000.0, 600.0, 600.0, -500.0, 600.0])
    assert payback_years(total) == pytest.approx(3.5)


def test_a_total_that_ends_below_zero_has_no_payback():
    assert payback_years(np.cumsum([-1000.0, 600.0, 600.0, -500.0])) is None


def test_nothing_to_pay_back_is_paid_back_at_once():
    assert payback_years(np.array([0.0, 10.0])) == 0.0


@given(FLOWS)
def test_payback_lies_in_the_span_and_the_total_stays_up_after_it(flows):
    total = np.cumsum(flows)
    found = payback_years(total)
    if found is None:
        assert total[-1] < 0
    else:
        assert 0.0 <= found <= len(total) - 1
        assert np.all(total[int(np.ceil(found)) :] >= 0)
