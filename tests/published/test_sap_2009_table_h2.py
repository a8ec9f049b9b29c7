"""The built-in year on planes of every tilt against an older government table."""

import pytest

from tests.published.test_sap_appendix_u_planes import on_plane

# Source: SAP 2009 Table H2, year's light by tilt and direction, UK average (secondary copy that
# agrees with memory in every cell). Region 11, whose means are the UK average's, at its latitude.
# The table is of an older set of means, 1 % higher on the level. Walls and steep planes to the
# side get more of our light: Perez's sky is brighter round the sun and at the horizon than the
# table's, and a wall sees half the ground.
TABLE_H2 = {
    30: (1073, 1027, 913, 785, 730),
    45: (1054, 997, 854, 686, 640),
    60: (989, 927, 776, 597, 500),
    90: (746, 705, 582, 440, 371),
}
UK_MEANS = 11


@pytest.mark.parametrize("tilt", TABLE_H2)
def test_the_uk_average_is_near_the_older_table(tilt, published):
    for azimuth, listed in zip((180, 135, 90, 45, 0), TABLE_H2[tilt], strict=True):
        north = azimuth < 90
        share = 0.12 if tilt == 90 else 0.14 if north else 0.06
        name = "walls" if tilt == 90 else "north and north-east" if north else "south to east"
        published(f"year's light, UK average, {name}", "SAP 2009 (secondary copy); table H2",
                  on_plane(UK_MEANS, tilt, azimuth), listed, "kWh/m2", "published",
                  share=share)  # fmt: skip
