"""All ballasted arrays of a roof together, and ballast against the coefficient."""

import numpy as np
import pytest

from pvkit.errors import InputError
from pvkit.roof.ballast_plan import ballast_by_coefficient, ballast_plan
from pvkit.roof.fit_search import largest_layout
from pvkit.roof.roof_hold import roof_hold
from pvkit.roof.schemes import Choices
from pvkit.site.reader import load_site
from pvkit.study.changes import changed

ROOF = "garage"


@pytest.fixture(scope="module")
def pairs():
    site = load_site("flat_roof_garage")
    return changed(site, largest_layout(site, ROOF, Choices(("pairs",))).as_changes())


def test_a_roof_holds_what_its_arrays_need(pairs):
    hold, plans = roof_hold(pairs, ROOF), [ballast_plan(pairs, a.name) for a in pairs.array]
    assert len(plans) == 2
    assert hold.blocks == sum(plan.blocks for plan in plans)
    assert hold.tray_blocks == sum(plan.tray_blocks for plan in plans)
    assert hold.ballast_kg == hold.blocks * 18.0
    worst = max(plan.load.local_kg_per_m2 for plan in plans)
    assert hold.load.local_kg_per_m2 == worst


def test_a_roof_that_lets_all_slide_has_no_ballast_and_no_load(pairs):
    steep = changed(pairs, {"roof.garage.tilt_deg": 5.0, "roof.garage.friction": 0.1})
    hold = roof_hold(steep, ROOF)
    assert (hold.holdable, hold.blocks, hold.tray_blocks) == (False, None, None)
    assert (hold.ballast_kg, hold.load) == (None, None)


def test_a_slope_and_a_fixed_array_are_refused():
    with pytest.raises(InputError, match="found a slope"):
        roof_hold(load_site("south_family_home"), load_site("south_family_home").roof[0].name)
    fixed = changed(load_site("flat_roof_garage"), {"array.garage.mounting": "on-roof"})
    with pytest.raises(InputError, match="'ballasted' for a ballast plan"):
        roof_hold(fixed, ROOF)


def test_the_curve_runs_through_the_plans_of_sites_with_those_coefficients():
    site = load_site("flat_roof_garage")
    values = np.array([-1.4, -0.7, -0.3, -0.1])
    curve = ballast_by_coefficient(site, "garage", values)
    for value, ballast in zip(values, curve, strict=True):
        other = changed(site, {"array.garage.pressure_coefficient": float(value)})
        assert ballast == pytest.approx(ballast_plan(other, "garage").inner_kg)
    assert (np.diff(curve) < 0).all()
