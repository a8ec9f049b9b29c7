"""Rounding is honest: nothing becomes none or all, no sign is lost, and nothing is NaN."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvkit.present import rounding

# A share is a quotient of sums of 17,520 half-hours, whose noise is far below this.
NOISE = 1e-9
OF_A_VALUE = (
    rounding.kwh, rounding.kilograms, rounding.pounds, rounding.pence, rounding.percent,
    rounding.change_percent, rounding.whole, rounding.change, rounding.rate,
)  # fmt: skip
sizes = st.floats(-1e6, 1e6)


def _number(text: str) -> float:
    kept = "".join(c for c in text.replace("−", "-") if c in "0123456789.-")
    return float(kept.rstrip("."))


@given(st.floats(0, 1))
def test_a_share_is_said_to_be_none_or_all_only_if_it_is(fraction):
    said = rounding.percent(fraction)
    assert (said == "0 %") == (fraction <= NOISE)
    assert (said == "100 %") == (fraction >= 1 - NOISE)


@given(st.floats(NOISE * 2, 0.0099))
def test_a_small_share_and_a_large_one_say_which_side_they_are_on(small):
    assert rounding.percent(small) == "under 1 %"
    assert rounding.percent(1 - small) == "over 99 %"
    assert rounding.percent(1 + small) == "over 100 %"


@given(st.floats(0.01, 0.99))
def test_a_share_is_said_to_the_nearest_percent(fraction):
    assert abs(_number(rounding.percent(fraction)) - 100 * fraction) <= 0.5 + NOISE


@given(st.floats(-100, 100))
def test_a_change_is_said_to_be_none_only_if_it_is(percent):
    said = rounding.change_percent(percent)
    assert (said == "0 %") == (abs(percent) <= NOISE)
    if abs(percent) >= 0.05:
        assert said[0] == ("+" if percent > 0 else "−")
        assert abs(_number(said) - percent) <= 0.05 + NOISE


@given(sizes)
def test_a_whole_number_is_0_only_if_it_is(value):
    said = rounding.whole(value)
    assert (said == "0") == (abs(value) <= NOISE)
    if said not in ("0", "<1"):
        assert abs(_number(said) - value) <= 0.5


@given(sizes)
def test_a_change_carries_its_sign(value):
    said = rounding.change(value)
    assert said.startswith("+") == (value > 0.5)
    assert said.startswith("−") == (value < -0.5)


@given(sizes)
def test_pounds_are_right_to_the_pound_and_below_ten_to_the_penny(value):
    said = rounding.pounds(value)
    if said == "under 1p":
        assert abs(value) < 0.005
    else:
        assert abs(_number(said) - value) <= (0.5 if abs(value) >= 9.995 else 0.005) + NOISE
        assert said.startswith("−") == (value < 0 and said != "£0")


@given(sizes)
def test_energy_is_right_to_half_of_its_last_digit(value):
    said = rounding.kwh(value)
    if not said.startswith("under"):
        assert abs(_number(said) - value) <= (0.5 if abs(value) >= 9.95 else 0.05) + NOISE


@given(sizes)
def test_mass_changes_to_tonnes_without_a_jump(value):
    said = rounding.kilograms(value)
    if not said.startswith("under"):
        kilograms = _number(said) * (1000 if said.endswith(" t") else 1)
        assert abs(kilograms - value) <= max(0.5, 0.05 * abs(value))


@given(st.floats(0, 60))
def test_a_payback_is_right_to_a_twentieth_of_a_year(value):
    said = rounding.years(value, 60)
    if not said.startswith("under"):
        assert abs(_number(said.split()[0]) - value) <= 0.05 + NOISE


@given(sizes)
@pytest.mark.parametrize("say", OF_A_VALUE)
def test_a_minus_is_a_minus_sign_and_nothing_is_negative_zero(say, value):
    said = say(value)
    assert "-" not in said
    assert not re.match(r"[−+](<|£?0(\.0+)?( |$))", said)


@pytest.mark.parametrize("say", OF_A_VALUE)
@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_never_said(say, value):
    with pytest.raises(ValueError, match="must be finite"):
        say(value)


def test_years_that_are_no_number_are_never_said():
    with pytest.raises(ValueError, match="must be finite"):
        rounding.years(math.nan, 25)


@pytest.mark.parametrize(
    ("azimuth", "word"),
    [(0, "north"), (22.4, "north"), (22.6, "north-east"), (90, "east"), (135, "south-east"),
     (180, "south"), (225, "south-west"), (270, "west"), (315, "north-west"), (337.6, "north")],
)  # fmt: skip
def test_a_bearing_gets_the_nearest_compass_word(azimuth, word):
    assert rounding.bearing(azimuth).startswith(word + " (")
