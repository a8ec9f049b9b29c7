"""Wind pressure against the wind standard and published sums that follow it.

Sources: BS EN 1991-1-4:2005+A1:2010 eq. 4.3 to 4.10 and Table 4.1 (closed form, conf. A: written
out in a published worked example; the table of values below was worked out from it separately),
7.2.3 (zones of a flat roof, conf. A); UK National Annex (altitude, direction, season, 0.613; conf.
A). The UK annex reads the exposure factor off charts that are not in public text; one published
calculation sheet (conf. B) and one published worked example (conf. A) stand for them here.
"""

import pytest

from pvkit.roof.loads import load_number
from pvkit.roof.site_wind import building_top_m
from pvkit.roof.wind import (
    Storm,
    altitude_factor,
    direction_factor,
    direction_factors,
    exposure,
    peak_pressure,
)
from pvkit.roof.wind_zones import roof_strips
from pvkit.site.kit import Roof

WIND = "BS EN 1991-1-4:2005+A1:2010; "
ANNEX = "UK National Annex to BS EN 1991-1-4; "
UK_AIR = 1.226  # qb = 0.613 v^2
MAIN_TEXT_AIR = 1.25
COLUMNS = ("sea", "lake", "country", "suburb", "town")
# Exposure factor by height, roughness length 0.003, 0.01, 0.05, 0.3 and 1.0 m. Two decimals, so
# half of the last place is 0.4 % at most; the agreement asked for is 1 %.
EXPOSURE = {
    4: (2.49, 2.24, 1.80, 1.28, 1.18),
    6: (2.70, 2.47, 2.04, 1.39, 1.18),
    8: (2.86, 2.64, 2.21, 1.57, 1.18),
    10: (2.98, 2.77, 2.35, 1.71, 1.18),
    12: (3.09, 2.88, 2.47, 1.83, 1.29),
    15: (3.22, 3.02, 2.62, 1.98, 1.44),
    20: (3.39, 3.20, 2.81, 2.18, 1.64),
}
TABLE = [
    (height_m, column, ce)
    for height_m, row in EXPOSURE.items()
    for column, ce in zip(COLUMNS, row, strict=True)
]


def peak_pa(map_m_per_s, altitude_m, height_m, column, air=UK_AIR):
    return peak_pressure(Storm(map_m_per_s, altitude_m, height_m, column, 1.0, air)).peak_pa


@pytest.mark.parametrize(("height_m", "column", "ce"), TABLE)
def test_exposure_by_height_and_terrain(height_m, column, ce, published):
    published("exposure factor by height and terrain", WIND + "eq. 4.3 to 4.10, table 4.1",
              exposure(height_m, column), ce, "", "recomputed", share=0.01)  # fmt: skip


# Published worked example: vb 26 m/s, town (z0 1.0 m), z 9 m taken as the least height 10 m, 1.25
# kg/m3: qb 0.422 kPa, ce 1.18, qp 0.497 kPa.
def test_the_published_sum_in_a_town(published):
    found = peak_pressure(Storm(26.0, 0.0, 9.0, "town", 1.0, MAIN_TEXT_AIR))
    example = WIND + "published worked example, town, 26 m/s"
    published("basic wind pressure", example, found.basic_pa, 422, "Pa", "published", share=0.002)
    published("exposure factor", example, found.exposure, 1.18, "", "published", share=0.005)
    published("peak wind pressure", example, found.peak_pa, 497, "Pa", "published", share=0.002)


# Published calculation sheet by the UK annex (conf. B): 23 m/s on the map, 50 m above the sea,
# wind from 250 deg, 5 km to the sea, country, z 6 m: qp 0.789 kPa, so ce 2.207.
def test_the_published_uk_sum_lies_between_open_country_and_lake(published):
    country, lake = peak_pa(23.0, 50.0, 6.0, "country"), peak_pa(23.0, 50.0, 6.0, "lake")
    assert country < 789 < lake
    assert country == pytest.approx(789 / 1.08, rel=0.01)
    sheet = ANNEX + "published calculation sheet (secondary copy), 23 m/s, 5 km from the sea"
    published("peak wind pressure, open country", sheet, country, 789, "Pa", "published",
              share=0.085)  # fmt: skip
    published("peak wind pressure, country by a lake", sheet, lake, 789, "Pa", "published",
              share=0.15)  # fmt: skip


def test_the_published_uk_sums_basic_velocity_and_pressure(published):
    found = peak_pressure(Storm(23.0, 50.0, 6.0, "country", 1.0, UK_AIR))
    sheet = ANNEX + "published calculation sheet (secondary copy), 23 m/s, 5 km from the sea"
    published("basic wind", sheet, found.basic_m_per_s, 24.15, "m/s", "published", share=1e-6)
    published("basic wind pressure", sheet, found.basic_pa, 357.5, "Pa", "published", share=0.001)


def test_the_uk_density_is_that_of_its_annex():
    assert load_number("air.kg_per_m3") / 2 == pytest.approx(0.613)


# UK National Annex, direction factor from north by 30 deg.
def test_direction_factors_are_those_of_the_annex(published):
    factors = (0.78, 0.73, 0.73, 0.74, 0.73, 0.80, 0.85, 0.93, 1.00, 0.99, 0.91, 0.82)
    published("direction factor by 30 deg", ANNEX + "direction factor", direction_factors(),
              factors, "", "published")  # fmt: skip
    assert [direction_factor(30.0 * n) for n in range(12)] == list(factors)
    assert direction_factor(360.0) == 0.78


# UK National Annex: 1 + 0.001 A up to 10 m, 1 + 0.001 A (10 / z)^0.2 above.
@pytest.mark.parametrize(
    ("altitude_m", "height_m", "by_hand"),
    [(50, 6, 1.05), (120, 10, 1.12), (120, 20, 1 + 0.12 * 0.5**0.2), (0, 30, 1.0)],
)
def test_altitude_factor_is_that_of_the_annex(altitude_m, height_m, by_hand, published):
    published("altitude factor", ANNEX + "altitude factor", altitude_factor(altitude_m, height_m),
              by_hand, "", "recomputed", share=1e-6)  # fmt: skip


# 7.2.3, worked by hand: roof 12 m by 8 m, 6 m high. Wind onto a long side: e = min(12, 12), strip
# 1.2 m, corner 3.0 m along it; onto a short side: e = min(8, 12), strip 0.8 m, corner 2.0 m.
def test_zones_of_a_flat_roof():
    top = Roof(name="t", kind="flat", azimuth_deg=180, width_m=12, depth_m=8, height_m=6)
    found = [(round(s.length_m), s.depth_m, s.corner_m) for s in roof_strips(top)]
    long_side = (12, pytest.approx(1.2), pytest.approx(3.0))
    short_side = (8, pytest.approx(0.8), pytest.approx(2.0))
    assert found == [long_side, short_side, long_side, short_side]


def test_pressure_is_taken_at_the_top_of_the_building():
    slope = {"name": "s", "kind": "pitched", "azimuth_deg": 180, "width_m": 8, "depth_m": 5}
    assert building_top_m(Roof(tilt_deg=30, height_m=5.0, **slope)) == pytest.approx(7.5)
    assert building_top_m(Roof(tilt_deg=30, building_height_m=9.0, **slope)) == 9.0
