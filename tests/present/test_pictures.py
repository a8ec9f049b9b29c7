"""Each picture answers its question with the estimate's own figures."""

import dataclasses
from itertools import pairwise

import pytest

from pvkit.present.pictures import AVOID, EARN, LOST, PICTURES, WHEN, WHERE
from pvkit.present.rounding import kwh, pounds, years

# Values of a picture are rounded to a tenth of a kWh, pound or kilogram, steps to a thousandth.
ROUNDED, STEP_ROUNDED = 0.05, 0.0005


@pytest.mark.parametrize("question", PICTURES)
def test_a_picture_is_whole(answer, question):
    picture = PICTURES[question](answer)
    assert picture.question == question
    assert picture.answer.endswith(".")
    assert picture.series
    for series in picture.series:
        assert len(series.values) == len(picture.labels)
    assert len({series.ink for series in picture.series}) == len(picture.series)


def test_bars_that_touch_differ_in_pattern_so_that_grey_print_tells_them_apart(answer):
    bars = [s for s in PICTURES[WHERE](answer).series if not s.line]
    for below, above in pairwise(bars):
        assert below.ink.pattern != above.ink.pattern


def test_lines_of_one_picture_differ_in_dash(answer):
    for make in PICTURES.values():
        dashes = [series.ink.pattern for series in make(answer).series if series.line]
        assert len(set(dashes)) == len(dashes)


def test_where_it_goes_adds_up_to_what_is_made(answer):
    made = PICTURES[WHEN](answer).series[0].values
    parts = PICTURES[WHERE](answer).series
    for month, total in enumerate(made):
        parted = sum(series.values[month] for series in parts)
        assert parted == pytest.approx(total, abs=ROUNDED * (1 + len(parts)))


def test_when_it_makes_most_and_least_is_named(bungalow):
    picture = PICTURES[WHEN](bungalow.estimate())
    made = picture.series[0].values
    best, worst = picture.labels[made.index(max(made))], picture.labels[made.index(min(made))]
    assert f"most in {best}" in picture.answer
    assert f"least in {worst}" in picture.answer


def test_the_steps_add_up_from_the_sun_to_the_meter(answer):
    values = PICTURES[LOST](answer).series[0].values
    assert sum(values[:-1]) == pytest.approx(values[-1], abs=STEP_ROUNDED * len(values))


def test_steps_of_no_energy_are_left_out(bungalow):
    stack = bungalow.change({"losses.off": ["dirt"]}).estimate()
    assert "dirt" not in PICTURES[LOST](stack).labels
    assert "dirt" in PICTURES[LOST](bungalow.estimate()).labels


def test_the_largest_loss_is_named(answer):
    steps = answer.loss_stack.set_index("step")["kwh"].drop("gained by tilt and direction")
    picture = PICTURES[LOST](answer)
    assert f"largest loss is '{steps.idxmin()}', {kwh(-steps.min())}" in picture.answer


def test_without_a_cylinder_no_water_is_heated(family):
    picture = PICTURES[WHERE](family.estimate())
    assert "water" not in picture.answer
    assert [series.name for series in picture.series] == ["used in the home", "sent to the grid"]


def test_what_it_earns_ends_where_the_cash_table_ends(answer):
    picture = PICTURES[EARN](answer)
    cash = answer.cash
    assert picture.series[0].values[-1] == pytest.approx(cash["cumulative_gbp"].iloc[-1], abs=0.05)
    assert picture.series[1].values[-1] == pytest.approx(answer.npv_gbp, abs=0.05)
    assert years(answer.simple_payback_years, len(cash) - 1) in picture.answer


def test_a_system_that_never_pays_says_what_is_missing(bungalow):
    worthless = {
        "tariff.import_gbp_per_kwh": 0.01,
        "tariff.export_gbp_per_kwh": 0.0,
        "tariff.gas_gbp_per_kwh": 0.0,
    }
    poor = bungalow.change(worthless).estimate()
    missing = -float(poor.cash["cumulative_gbp"].iloc[-1])
    assert missing > 0
    said = PICTURES[EARN](poor).answer
    assert said == f"After 25 years it is still {pounds(missing)} short of what it cost."


def test_carbon_starts_below_zero_by_what_making_it_cost(answer):
    picture = PICTURES[AVOID](answer)
    embodied = answer.stages.carbon.embodied_kg
    assert picture.series[0].values[0] == pytest.approx(-embodied, abs=ROUNDED)
    assert picture.series[0].values[-1] == pytest.approx(answer.carbon_saved_kgco2e, abs=ROUNDED)


def test_carbon_never_made_good_is_said(bungalow):
    dirty = bungalow.change({"carbon.embodied_kgco2e_per_kwp": 5000.0}).estimate()
    assert dirty.carbon_saved_kgco2e < 0
    assert "short of making good" in PICTURES[AVOID](dirty).answer


def test_a_picture_is_frozen(bungalow):
    picture = PICTURES[WHERE](bungalow.estimate())
    with pytest.raises(dataclasses.FrozenInstanceError):
        picture.answer = "all is well"
