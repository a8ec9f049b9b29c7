"""The sky's share of the light, hour by hour and month by month.

Source: Erbs, Klein & Duffie, *Solar Energy* 28 (1982) 293-302; read in a re-implementation of
Duffie & Beckman, chapter 2 (secondary copy).
"""

import numpy as np
import pvlib
import pytest

from pvkit.sky.diffuse import erbs_fraction
from pvkit.sky.sun import above
from pvkit.tables import rows
from tests.sky.test_region import REGIONS, by_month, year

ERBS = "Erbs, Klein & Duffie 1982, Solar Energy 28; "
NARROW_SUNSET_DEG = 81.4
LONG_DAYS = (1.311, -3.022, 3.427, -1.821)
SHORT_DAYS = (1.391, -3.560, 4.189, -2.137)
DEGREES = {
    "u3": "sap_u3_irradiance_w_per_m2.csv",
    "declination": "sap_u3_declination_deg.csv",
}


# As pvlib has it. Agreement: exact where pvlib's own limits on the clearness index do not bite.
def test_the_hourly_share_of_the_sky_is_erbs_klein_and_duffies(published):
    clearness = np.linspace(0.01, 0.99, 99)
    zenith, day = np.full(99, 40.0), np.full(99, 100)
    outside = pvlib.irradiance.get_extra_radiation(100) * np.cos(np.radians(40.0))
    theirs = pvlib.irradiance.erbs(clearness * outside, zenith, day)["dhi"]
    published("sky's share of an hour's light", ERBS + "eq. (1), as in pvlib", erbs_fraction(
        clearness), theirs / (clearness * outside), "", "another program", 1e-9)  # fmt: skip


def monthly_share(region, clearness):
    """Give the sky's share of each month's light by the published monthly fit."""
    place = next(r for r in rows(DEGREES["u3"]) if r["region"] == str(region))
    tilt = [float(row["declination_deg"]) for row in rows(DEGREES["declination"])]
    product = -np.tan(np.radians(float(place["latitude_deg"]))) * np.tan(np.radians(tilt))
    sunset = np.degrees(np.arccos(np.clip(product, -1.0, 1.0)))
    long, short = (np.polynomial.polynomial.polyval(clearness, c) for c in (LONG_DAYS, SHORT_DAYS))
    return np.where(sunset > NARROW_SUNSET_DEG, long, short)


# Hourly shares added up against a fit of monthly ones, made from American stations. A measured June
# in Switzerland lies as far above the monthly fit as we do (see the Payerne checks). In winter we
# are far above it: hourly clearness alone makes a cloudless sky with a low sun look hazy, and the
# built-in year has no day brighter than a cloudless one. A roof's year suffers little: the months
# from November to February hold a tenth of the year's light.
SEASONS = {
    "May to August": ((4, 5, 6, 7), 0.07),
    "March, April, September, October": ((2, 3, 8, 9), 0.15),
    "November to February": ((10, 11, 0, 1), 0.22),
}


@pytest.mark.parametrize("season", SEASONS)
def test_the_skys_share_of_a_month_by_a_fit_of_months(season, published):
    months, within = SEASONS[season]
    for region in REGIONS:
        sky = year(region)
        light = by_month(sky.ghi)
        clearness = light / by_month(above(sky.sun, 1).horizontal)
        ours, theirs = by_month(sky.dhi) / light, monthly_share(region, clearness)
        published(f"sky's share of a month's light, all regions, {season}", ERBS + "monthly fit",
                  ours[list(months)], theirs[list(months)], "", "recomputed", within)  # fmt: skip
        assert np.all(ours > theirs)
