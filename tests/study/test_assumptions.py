"""What an estimate's list of assumptions says of the distances kept on a roof."""

from pvkit import estimate, load_site
from pvkit.study.assumptions import assumptions
from pvkit.study.changes import changed


def test_margins_of_the_tables_are_listed_where_modules_may_go_round_something():
    site = load_site("flat_roof_garage")
    found = {number.name: number for number in assumptions(site)}
    margin = found["roof.garage: margin round 'rooflight'"]
    assert (margin.value, margin.unit, margin.kind) == (0.5, "m", "from memory")
    assert "roof.garage: margin round 'vent'" not in found  # the site file gives it
    placed = changed(site, {"array.garage.x_m": 1.6, "array.garage.y_m": 0.9})
    assert not any("margin round" in number.name for number in assumptions(placed))


def test_a_roof_with_nothing_on_it_rests_on_no_margin():
    answer = estimate(load_site("bungalow_extension"))
    assert not any("margin to" in number.name for number in answer.assumptions)
