"""Wind pressure and pull: more wind, height, altitude or edge never gives less."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvkit.errors import InputError
from pvkit.roof.held import pulled
from pvkit.roof.pressure_coefficient import (
    known_coefficients,
    net_coefficient,
    parapet_factor,
    roof_skin_coefficients,
    zone_factor,
)
from pvkit.roof.site_wind import map_m_per_s, site_wind
from pvkit.roof.wind import Storm, direction_factor, peak_pressure
from pvkit.site.kit import Roof
from pvkit.site.wind import Ballast
from pvkit.tables import numbers
from tests.roof.sites import site_with

COLUMNS = ("town", "suburb", "country", "lake", "sea")
FLAT = {"kind": "flat", "roof": {"width_m": 20.0, "depth_m": 15.0}}


def storms():
    # Beyond 500 m the annex's altitude factor falls with height faster than the smoothest column
    # rises; no home in the UK stands so high.
    return st.builds(
        Storm,
        st.floats(15.0, 40.0),
        st.floats(0.0, 500.0),
        st.floats(2.0, 60.0),
        st.sampled_from(COLUMNS),
        st.floats(0.7, 1.0),
        st.just(1.226),
    )


def with_one_more(storm, **changes):
    fields = {name: getattr(storm, name) for name in Storm.__dataclass_fields__}
    return Storm(**(fields | changes))


@given(storms(), st.floats(0.001, 10.0))
def test_more_wind_gives_more_pressure(storm, more):
    faster = with_one_more(storm, map_m_per_s=storm.map_m_per_s + more)
    assert peak_pressure(faster).peak_pa > peak_pressure(storm).peak_pa


@given(storms(), st.floats(0.001, 200.0))
def test_a_higher_place_gives_more_pressure(storm, more):
    higher = with_one_more(storm, altitude_m=storm.altitude_m + more)
    assert peak_pressure(higher).peak_pa > peak_pressure(storm).peak_pa


@given(storms(), st.floats(0.001, 30.0))
def test_a_taller_building_never_gives_less_pressure(storm, more):
    taller = with_one_more(storm, height_m=storm.height_m + more)
    assert peak_pressure(taller).peak_pa >= peak_pressure(storm).peak_pa * (1 - 1e-12)


@given(storms())
def test_smoother_ground_never_gives_less_pressure(storm):
    by_column = [peak_pressure(with_one_more(storm, column=c)).peak_pa for c in COLUMNS]
    assert by_column == sorted(by_column)


@given(st.floats(-720.0, 720.0))
def test_no_direction_is_stronger_than_the_south_west(bearing_deg):
    assert 0.73 <= direction_factor(bearing_deg) <= 1.0
    assert direction_factor(bearing_deg) == pytest.approx(direction_factor(bearing_deg + 360.0))


@pytest.mark.parametrize(
    ("place", "wind", "column"),
    [
        ({"terrain": "sea"}, {}, "sea"),
        ({"terrain": "town"}, {}, "lake"),
        ({"terrain": "country"}, {}, "lake"),
        ({"terrain": "town"}, {"sea_km": 60.0}, "country"),
        ({"terrain": "country"}, {"sea_km": 10.0}, "lake"),
        ({"terrain": "country"}, {"sea_km": 10.1}, "country"),
        ({"terrain": "town"}, {"sea_km": 0.5}, "sea"),
        ({"terrain": "town"}, {"terrain": "suburb"}, "suburb"),
    ],
)
def test_no_reduction_for_a_town_is_taken_unasked(place, wind, column):
    home = {"name": "test", "latitude": 52.0, "longitude": -1.0, **place}
    site = site_with(site=home, wind=wind)
    found = site_wind(site, site.roof[0])
    assert found.storm.column == column
    assert any(f"Terrain column used: {column}" in words for words in found.words)
    assert any("charts of the UK annex" in words and "decide" in words for words in found.words)
    assert any("A reduction for built-up land" in w for w in found.words) == (column == "suburb")


def test_the_surveys_own_wind_replaces_the_stand_in_and_is_marked_given():
    usual, own = site_with(), site_with(wind={"basic_m_per_s": 21.0})
    first, second = (site_wind(s, s.roof[0]) for s in (usual, own))
    assert first.inputs[0].kind == "from memory"
    assert any("stand-in" in words for words in first.words)
    assert (second.inputs[0].value, second.inputs[0].kind) == (21.0, "given")
    assert not any("stand-in" in words for words in second.words)


def test_every_region_has_a_wind_and_the_isles_the_most():
    found = [map_m_per_s(region) for region in range(1, 22)]
    assert min(found) >= 21.5
    assert max(found) == map_m_per_s(20)


@pytest.mark.parametrize("tilt_deg", [0.0, 5.0, 10.0, 17.0, 30.0])
@pytest.mark.parametrize("held", [{}, {"tied": True}, {"closed_back": True},
                                  {"tied": True, "closed_back": True}])  # fmt: skip
def test_the_coefficient_taken_unasked_is_never_the_lowest_in_the_table(held, tilt_deg):
    site = site_with(**FLAT, array={"tilt_deg": tilt_deg, **held})
    taken = net_coefficient(site, site.array[0])
    known = [float(number.value) for number in known_coefficients(tilt_deg)]
    assert taken.kind != "given"
    assert abs(taken.value) > min(abs(value) for value in known)
    assert taken.value < float(numbers("wind_loads.toml")["pressure.flat.tunnel_proven"].value)
    if not held:
        assert taken.value == min(known)


def test_saying_more_of_the_shelter_never_makes_the_pull_harder():
    for tilt_deg in (5.0, 10.0, 15.0, 20.0, 30.0):
        pulls = []
        for held in ({}, {"tied": True}, {"tied": True, "closed_back": True}):
            site = site_with(**FLAT, array={"tilt_deg": tilt_deg, "count": 6, **held})
            pulls.append(pulled(site, site.array[0]).force_n.max())
        assert pulls == sorted(pulls, reverse=True)


def test_a_coefficient_needs_its_source():
    with pytest.raises(InputError, match=r"array\.m\.pressure_source: this key is missing"):
        site_with(**FLAT, array={"pressure_coefficient": -0.3})
    site = site_with(**FLAT, array={"pressure_coefficient": -0.3, "pressure_source": "report 12"})
    found = net_coefficient(site, site.array[0])
    assert (found.value, found.source, found.kind) == (-0.3, "report 12", "given")


def test_a_building_is_no_lower_than_its_roof():
    with pytest.raises(InputError, match=r"roof\.r\.building_height_m: found 4 m below"):
        site_with(roof={"building_height_m": 4.0, "height_m": 5.0})


def test_a_corner_pulls_no_less_than_an_edge():
    with pytest.raises(InputError, match=r"ballast\.corner_factor: found 1\.2 below"):
        site_with(**FLAT, ballast={"corner_factor": 1.2})


def test_edges_and_corners_pull_harder_by_the_factors_said():
    site = site_with(**FLAT, array={"tied": True, "closed_back": True})
    found, ballast = net_coefficient(site, site.array[0]), Ballast()
    inner = zone_factor("inner", False, found, ballast)
    edge = zone_factor("edge", False, found, ballast)
    corner = zone_factor("corner", True, found, ballast)
    assert (inner, edge, corner) == (1.0, 1.5, 2.0)
    assert zone_factor("inner", True, found, ballast) == 1.5


def test_a_row_reckoned_as_standing_alone_loses_no_shelter_at_the_arrays_edge():
    site = site_with(**FLAT)
    assert zone_factor("inner", True, net_coefficient(site, site.array[0]), Ballast()) == 1.0


@given(st.floats(0.0, 2.9), st.floats(0.0, 0.1))
def test_a_higher_parapet_never_eases_the_modules_and_never_strains_the_skin(low, more):
    top = {"name": "t", "kind": "flat", "azimuth_deg": 180, "width_m": 9, "depth_m": 6}
    lower, higher = Roof(parapet_m=low, **top), Roof(parapet_m=low + more, **top)
    assert 1.0 <= parapet_factor(lower) <= parapet_factor(higher) <= 1.2
    first, second = roof_skin_coefficients(lower), roof_skin_coefficients(higher)
    assert all(second[zone] >= first[zone] for zone in first)
