"""The sentence says which way the answer moved, and why."""

import pytest

from pvkit import Study, load_site
from pvkit.present.words import what_changed


@pytest.fixture(scope="module")
def study():
    return Study(load_site("bungalow_extension"))


def _sentence(study, change):
    return what_changed(study.estimate(), study.change(change).estimate(), ("moved",), "because")


def test_nothing_moved_is_said_so(study):
    answer = study.estimate()
    assert "as surveyed" in what_changed(answer, answer, (), "")


def test_a_steeper_plane_helps_in_winter(study):
    text = _sentence(study, {"array.main.tilt_deg": 30})
    assert "more in winter" in text
    assert text.endswith("Because.")


def test_a_dearer_import_brings_the_payback_forward(study):
    text = _sentence(study, {"tariff.import_gbp_per_kwh": 0.40})
    assert "sooner" in text
    assert "more in the first year" in text
    assert "winter" not in text


def test_a_case_that_never_pays_is_said_so(study):
    text = _sentence(study, {"tariff.import_gbp_per_kwh": 0.02, "tariff.gas_gbp_per_kwh": 0.0})
    assert "no longer pays for itself" in text


def test_a_change_that_moves_no_figure_is_said_so(study):
    assert "nothing" in _sentence(study, {"finance.first_year": 2028})
