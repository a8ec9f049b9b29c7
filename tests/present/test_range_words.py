"""Ranges in plain words: no figure missing, none made up."""

import pytest

from pvkit import Study, load_site
from pvkit.present.range_words import range_rows, range_sentence, range_text, sway_rows

CASES = {
    "never pays": ("bungalow_extension", {"costs.items": [{"name": "gold", "gbp": 90000.0}]}),
    "sometimes pays": ("bungalow_extension", {}),
    "always pays": ("south_family_home", {}),
    "no doubt": ("south_family_home", {"doubt.sun_fraction": 0.0}),
    "zero export price": ("south_family_home", {"tariff.export_gbp_per_kwh": 0.0}),
}


@pytest.fixture(scope="module")
def answers():
    studies = {name: Study(load_site(name)) for name, _ in CASES.values()}
    return {case: studies[name].change(changes).estimate() for case, (name, changes) in
            CASES.items()}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_no_figure_is_missing_or_made_up(answers, case):
    text = range_text(answers[case])
    for word in ("nan", "None", "inf", "not available"):
        assert word not in text
    assert len(range_rows(answers[case])) == 5
    assert all(len(row) == 4 for row in range_rows(answers[case]))


def test_the_sentence_says_how_often_it_pays_for_itself(answers):
    assert "in no case does it pay for itself within 25 years" in range_sentence(
        answers["never pays"]
    )
    sometimes = answers["sometimes pays"]
    share = f"{100 * sometimes.ranges.paid_back_fraction:.0f} % of all cases"
    assert share in range_sentence(sometimes)
    always = range_sentence(answers["always pays"])
    assert f"within {answers['always pays'].ranges.payback_years.p90:.1f} years" in always


def test_what_moves_the_answer_most_is_named_first(answers):
    answer = answers["always pays"]
    assert range_sentence(answer).endswith(f"{sway_rows(answer)[0][0]}.")


def test_the_older_light_is_said_beside_the_middle_figure(answers):
    assert "older, duller period" in range_text(answers["always pays"])
