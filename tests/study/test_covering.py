"""Covering a flat roof as asked, and the case that comes of it."""

from dataclasses import replace

import pytest

from pvkit import Study, load_site
from pvkit.errors import InputError
from pvkit.roof.fit_rows import layout_rows
from pvkit.roof.rows import shading_limit_deg
from pvkit.site.placing import site_blocks
from pvkit.study.changes import changed
from pvkit.study.covering import (
    covered,
    covered_area_m2,
    first_flat_roof,
    most_covered,
    surveyed_covering,
)
from pvkit.study.roof_case import roof_case

ROOF = "garage"
# Places are kept to the tenth of a millimetre.
ROUNDING_DEG = 0.005


@pytest.fixture(scope="module")
def study():
    return Study(load_site("flat_roof_garage"))


@pytest.fixture(scope="module")
def surveyed(study):
    return surveyed_covering(study.site, ROOF)


def test_what_was_surveyed_is_read_off_for_rows_and_for_pairs(study, surveyed):
    assert (surveyed.arrangement, surveyed.count, surveyed.margin_m) == ("rows", 10, 0.5)
    pairs = replace(surveyed, arrangement="pairs", count=8)
    again = surveyed_covering(covered(study.site, ROOF, pairs), ROOF)
    assert (again.arrangement, again.count) == ("pairs", 8)
    assert again.surface_azimuth == pytest.approx(surveyed.surface_azimuth)


@pytest.mark.parametrize("arrangement", ["rows", "pairs"])
@pytest.mark.parametrize("spacing", ["noon", "limit", "best"])
def test_as_many_as_fit_are_as_many_as_is_said_and_keep_every_margin(
    study, surveyed, arrangement, spacing
):
    asked = replace(surveyed, arrangement=arrangement, spacing=spacing, count=None)
    site = covered(study.site, ROOF, asked)
    assert sum(site.count(a) for a in site.array) == most_covered(study.site, ROOF, asked)
    kept = [row for row in layout_rows(site) if " to the " in row.what]
    assert kept
    assert {row.verdict for row in kept} == {"pass"}


def test_rows_stand_clear_from_the_limit_angle_up(study, surveyed):
    for limit in (12.0, 25.0):
        asked = replace(surveyed, limit_deg=limit, count=None)
        (block,) = site_blocks(covered(study.site, ROOF, asked), study.site.roof[0]).values()
        assert shading_limit_deg(block.up_m, block.lean_deg, block.pitch_m) <= limit + ROUNDING_DEG


def test_more_margin_never_fits_more(study, surveyed):
    counts = [
        most_covered(study.site, ROOF, replace(surveyed, margin_m=margin))
        for margin in (0.0, 0.3, 0.5, 1.0, 1.5)
    ]
    assert counts == sorted(counts, reverse=True)
    assert counts[0] > counts[-1]


def test_more_than_fit_are_refused_with_how_many_do(study, surveyed):
    most = most_covered(study.site, ROOF, surveyed)
    with pytest.raises(InputError, match=f"1 to {most} within its margins"):
        covered(study.site, ROOF, replace(surveyed, count=most + 1))


def test_a_site_of_slopes_has_no_flat_roof_and_says_so():
    with pytest.raises(InputError, match="no flat roof with an array"):
        first_flat_roof(load_site("south_family_home"))
    assert first_flat_roof(load_site("bungalow_extension")) == "top"


def test_a_case_of_wind_and_ballast_takes_no_search_and_no_estimate(study):
    base = roof_case(study, ROOF)
    before = study.store.runs.copy()
    heavy = roof_case(study, ROOF, None, {"wind.basic_m_per_s": 27.0, "array.*.tied": False})
    assert study.store.runs == before
    assert heavy.energy is not None
    assert heavy.energy.ac_kwh == base.energy.ac_kwh
    assert heavy.hold.ballast_kg > base.hold.ballast_kg


def test_a_case_makes_what_the_estimate_of_its_site_says(study, surveyed):
    asked = replace(surveyed, arrangement="pairs", surface_tilt=12.0, count=8)
    case = roof_case(study, ROOF, asked)
    fresh = Study(covered(study.site, ROOF, asked)).estimate()
    assert case.energy.ac_kwh == pytest.approx(fresh.ac_kwh, rel=1e-12)
    # The outline by hand: 11 m × 4.8 m, and 6.5 m × 3.2 m behind it.
    assert covered_area_m2(case.site) == pytest.approx(11 * 4.8 + 6.5 * 3.2)
    assert case.kwh_per_m2 == pytest.approx(case.energy.ac_kwh / 73.6)
    assert (case.count, case.kwp) == (8, pytest.approx(8 * 0.43))


def test_wiring_that_does_not_suit_a_layout_leaves_its_ballast_worked_out(surveyed):
    site = changed(load_site("flat_roof_garage"), {"inverter.part": "single-phase-2500"})
    case = roof_case(Study(site), ROOF, replace(surveyed, arrangement="pairs", count=8))
    assert (case.energy, case.kwh_per_m2) == (None, None)
    assert "2 arrays on 1 tracker" in case.refused
    assert case.hold.blocks > 0
