"""What each path of the energy is worth: prices times energy, all of it counted once."""

import pytest

from pvkit import estimate, load_site


@pytest.fixture(scope="module", params=["bungalow_extension", "ev_and_battery"])
def answer(request):
    return estimate(load_site(request.param))


def test_hot_water_is_worth_the_gas_it_spares(answer):
    facts, gas = answer.facts(), answer.site.tariff.gas_gbp_per_kwh
    worth = {each["path"]: each["gbp"] for each in facts["path_sums"]}
    assert worth["cylinder"] == pytest.approx(gas * facts["gas_saved_kwh"], rel=1e-9)
    assert worth["cylinder"] > 0


def test_all_paths_together_are_a_new_systems_saving(answer):
    facts = answer.facts()
    saved = sum(each["gbp"] for each in facts["path_sums"])
    aged = facts["first_year_saving_gbp"]
    # The first year's loss of 1 to 2.5 % of the output is all that lies between.
    assert aged <= saved <= aged * 1.03
