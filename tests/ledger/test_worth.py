import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvkit.ledger.worth import present_value, rate_of_return


@given(st.floats(1.0, 1e5), st.floats(0.01, 1e4), st.integers(1, 60))
def test_the_flows_are_worth_nothing_at_the_rate_of_return(outlay, saving, span):
    flows = np.array([-outlay, *[saving] * span])
    rate = rate_of_return(flows)
    assert rate is not None
    assert present_value(rate, flows) == pytest.approx(0.0, abs=1e-5 * np.abs(flows).sum())


@given(st.lists(st.floats(-5000, 5000).map(lambda x: round(x, 2)), min_size=2, max_size=41))
def test_a_rate_of_return_is_none_or_a_rate_that_closes(flows):
    values = np.array(flows)
    rate = rate_of_return(values)
    if rate is not None:
        assert np.isfinite(rate)
        assert rate > -1.0
        assert abs(present_value(rate, values)) <= 1e-5 * np.abs(values).sum()


def test_an_inverter_year_below_zero_leaves_one_rate():
    flows = np.array([-5000.0, *[400.0] * 12, -500.0, *[400.0] * 12])
    rate = rate_of_return(flows)
    assert 0.0 < rate < 0.08
    assert present_value(rate, flows) == pytest.approx(0.0, abs=1e-6)


def test_money_lost_gives_a_negative_rate():
    rate = rate_of_return(np.array([-5000.0, *[100.0] * 25]))
    assert -0.1 < rate < 0.0


@pytest.mark.parametrize(
    "flows",
    [
        [0.0, 300.0, 300.0],  # nothing laid out
        [-5000.0, 0.0, 0.0],  # nothing comes back
        [-5000.0, -60.0, -60.0],  # only costs
        [0.0, 0.0],
        [-100.0, 230.0, -132.0],  # 10 % and 20 % both fit
    ],
)
def test_there_is_no_rate_where_none_or_several_fit(flows):
    assert rate_of_return(np.array(flows)) is None
