"""The lesson on losses: shares multiply, order changes shares but not the end, exercises hold."""

from itertools import pairwise

import numpy as np
import pytest

from pvkit import Study, load_site
from pvkit.errors import InputError
from pvkit.study.exercises import measured_year, planted_slip, two_offers
from pvkit.study.lesson import in_order, multiplied, questions

DIRT, SOUTH = "losses.soiling_fraction", "roof.south slope.azimuth_deg"


@pytest.fixture(scope="module")
def study():
    return Study(load_site("south_family_home"))


@pytest.fixture(scope="module")
def answer():
    return Study(load_site("chimney_and_birch")).estimate()


def test_the_questions_run_from_level_ground_to_the_meter_without_a_gap(answer):
    asked = questions(answer)
    assert asked[0].before_kwh == pytest.approx(answer.stages.output.stack[0].kwh)
    assert asked[-1].after_kwh == pytest.approx(answer.ac_kwh)
    for before, after in pairwise(asked):
        assert before.after_kwh == pytest.approx(after.before_kwh, abs=1e-9)


def test_the_product_of_the_factors_is_what_is_left_and_the_sum_of_percentages_is_not(answer):
    table = multiplied(answer)
    stack = answer.stages.output.stack
    left = 100 * (stack[-1].remaining_kwh / stack[0].remaining_kwh - 1)
    assert table["multiplied_percent"].iloc[-1] == pytest.approx(left, abs=1e-9)
    assert abs(table["added_percent"].iloc[-1] - left) > 0.5


def test_another_order_changes_the_shares_but_not_the_end(answer):
    ids = [question.id for question in questions(answer)]
    table = in_order(answer, ids[::-1])
    assert table["remaining_kwh"].iloc[-1] == pytest.approx(answer.ac_kwh, abs=1e-9)
    assert (abs(table["kwh"] - table["usual_kwh"]) > 1).any()
    usual = in_order(answer, ids)
    assert np.allclose(usual["kwh"], usual["usual_kwh"], atol=1e-9)


def test_an_order_with_a_step_missing_is_refused(answer):
    with pytest.raises(InputError, match="name each of these once"):
        in_order(answer, ["dirt"])


@pytest.mark.parametrize(("key", "wrong"), [(SOUTH, 8.0), (DIRT, 0.2)])
def test_the_planted_slip_is_found_by_the_engine_whichever_it_is(study, key, wrong):
    decoys = {"cables.dc_length_m": 31.0, "site.altitude_m": 5.0}
    found = planted_slip(study, {key: wrong}, decoys)
    assert found.answer == key
    assert set(found.suspects) == {key, *decoys}
    assert found.off_percent < -5


def test_the_better_offer_is_the_one_with_the_larger_net_present_value(study):
    cheap = {"costs.items": [{"name": "all", "gbp": 5000}]}
    dear = {"costs.items": [{"name": "all", "gbp": 7000}]}
    found = two_offers(study, dear, cheap)
    assert found.answer == "second"
    assert found.by_gbp == pytest.approx(2000)
    assert two_offers(study, cheap, dear).answer == "first"


@pytest.mark.parametrize("truth", ["dirt", "a tall tree has grown", "the inverter is too small"])
def test_the_reason_of_a_measured_year_is_found_whichever_it_is(study, truth):
    tree = {"name": "oak", "kind": "tree", "bearing_deg": 190, "distance_m": 12, "width_m": 12,
            "height_m": 16}  # fmt: skip
    reasons = {
        "dirt": {DIRT: 0.15},
        "a tall tree has grown": {"obstacle": [tree]},
        "the inverter is too small": {"inverter.part": "single-phase-1500"},
    }
    assert measured_year(study, reasons, truth).answer == truth
