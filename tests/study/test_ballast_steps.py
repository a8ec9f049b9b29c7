"""The ballast sum written out: each line as by hand, the last one the plan's own."""

import pytest

from pvkit.errors import InputError
from pvkit.roof.ballast_plan import ballast_plan
from pvkit.site.reader import load_site
from pvkit.study.ballast_steps import ballast_steps, coefficient_cases
from pvkit.study.changes import changed
from tests.roof.test_ballast_example import TOLERANCE, site_of_the_sheet

UNTIED = {"array.garage.tied": False, "ballast.edge_factor": 1.4}


def value(table, step):
    (found,) = table.loc[table["step"] == step, "value"]
    return float(found)


# The sum worked by hand in tests/roof/test_ballast_example.py, its line of -0.3, the middle module:
# 789 Pa x 0.3 x 1.953 m2 = 462 N; 455 N off the roof, 80 N along it; 77 kg, 111 kg; 84 kg.
def test_the_lines_are_those_of_the_sum_worked_by_hand():
    table = ballast_steps(site_of_the_sheet(-0.3), "m", 5)
    for step, expected in (
        ("peak pressure", 789), ("suction, square to the module", 462),
        ("of it off the roof", 455), ("of it along the roof", 80),
        ("mass against lifting", 77), ("mass against sliding", 111), ("ballast", 84),
    ):  # fmt: skip
        assert value(table, step) == pytest.approx(expected, rel=TOLERANCE), step


@pytest.mark.parametrize("changes", [{}, UNTIED])
def test_every_module_ends_where_the_plan_does(changes):
    site = changed(load_site("flat_roof_garage"), changes)
    plan = ballast_plan(site, "garage")
    for module in plan.modules:
        table = ballast_steps(site, "garage", module.number)
        assert value(table, "suction, square to the module") == pytest.approx(module.force_n)
        assert value(table, "mass against lifting") == pytest.approx(module.lifting_kg)
        assert value(table, "mass against sliding") == pytest.approx(module.sliding_kg)
        assert value(table, "mass against tipping") == pytest.approx(module.tipping_kg)
        assert value(table, "ballast") == pytest.approx(module.ballast_kg)
        assert value(table, "whole blocks") == module.blocks


def test_a_module_that_is_not_there_and_a_roof_that_lets_all_slide_are_refused():
    site = load_site("flat_roof_garage")
    with pytest.raises(InputError, match="1 to 10"):
        ballast_steps(site, "garage", 11)
    steep = changed(site, {"roof.garage.tilt_deg": 5.0, "roof.garage.friction": 0.1})
    with pytest.raises(InputError, match="no weight holds it"):
        ballast_steps(steep, "garage")


def test_the_cases_name_every_coefficient_with_its_source_and_end_with_the_one_taken():
    site = load_site("flat_roof_garage")
    table = coefficient_cases(site, "garage")
    assert table["coefficient"].iloc[:-1].is_monotonic_increasing
    assert table["ballast_kg"].iloc[:-1].is_monotonic_decreasing
    assert table["source"].str.len().min() > 0
    taken = table.iloc[-1]
    assert (taken["kind"], taken["coefficient"]) == ("given", -0.3)
    assert taken["ballast_kg"] == pytest.approx(ballast_plan(site, "garage").inner_kg)
