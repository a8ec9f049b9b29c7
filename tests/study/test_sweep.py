"""Sweeps: the same figures as one estimate at a time, and what is done once stays done."""

import pytest

from pvkit import Study, load_site
from pvkit.errors import InputError

TILT, PRICE = "roof.south slope.tilt_deg", "tariff.import_gbp_per_kwh"


@pytest.fixture
def study():
    return Study(load_site("south_family_home"))


def test_a_sweep_of_two_fields_gives_the_figures_of_single_estimates(study):
    table = study.sweep({PRICE: [0.2, 0.3], TILT: [20.0, 40.0]}, ["ac_kwh", "npv_gbp"])
    assert list(table.index.names) == [PRICE, TILT]
    assert table.attrs["complete"]
    for (price, tilt), row in table.iterrows():
        alone = Study(load_site("south_family_home")).change({PRICE: price, TILT: tilt}).estimate()
        assert row["ac_kwh"] == alone.ac_kwh
        assert row["npv_gbp"] == alone.npv_gbp


def test_what_does_not_depend_on_the_swept_field_is_done_once(study):
    study.estimate()
    before = study.store.runs.copy()
    study.sweep({PRICE: [0.2, 0.25, 0.3], TILT: [20.0, 30.0]})
    ran = study.store.runs - before
    assert ran["cash"] == 6
    assert ran["electrical"] == 2
    assert "sky" not in ran
    assert "demand" not in ran


def test_a_stopped_sweep_keeps_what_is_done(study):
    seen = []

    def watch(progress):
        seen.append(progress)
        return progress.done < 2

    table = study.sweep({PRICE: [0.1, 0.2, 0.3, 0.4]}, ["npv_gbp"], watch)
    assert len(table) == 2
    assert not table.attrs["complete"]
    assert seen[0].seconds_left is None
    assert seen[2].seconds_left > 0


def test_an_interrupt_keeps_what_is_done(study):
    def watch(progress):
        if progress.done == 1:
            raise KeyboardInterrupt

    assert len(study.sweep({PRICE: [0.1, 0.2]}, ["npv_gbp"], watch)) == 1


def test_a_figure_that_does_not_exist_is_missing_in_the_table_rather_than_made_up(study):
    fields = {"tariff.import_gbp_per_kwh": [0.0, 0.3], "tariff.export_gbp_per_kwh": [0.0]}
    table = study.sweep(fields, ["simple_payback_years"])
    assert table["simple_payback_years"].isna().tolist() == [True, False]


@pytest.mark.parametrize(
    ("fields", "measures", "words"),
    [
        ({}, ["ac_kwh"], "one or two"),
        ({PRICE: [0.1], TILT: [1.0], "home.day": ["in"]}, ["ac_kwh"], "one or two"),
        ({PRICE: []}, ["ac_kwh"], "one value or more"),
        ({PRICE: [0.1]}, ["fortune"], "found 'fortune'"),
        ({"tariff.nonsense": [0.1]}, ["ac_kwh"], "nonsense"),
    ],
)
def test_a_bad_sweep_is_refused_with_its_reason(study, fields, measures, words):
    with pytest.raises(InputError, match=words):
        study.sweep(fields, measures)
