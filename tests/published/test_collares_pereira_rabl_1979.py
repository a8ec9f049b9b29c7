"""How a month's light falls into the hours of the day.

Source: Collares-Pereira & Rabl, *Solar Energy* 22 (1979) 155-164: share of a mean day's light in
each hour, pi/24 (a + b cos w)(cos w - cos ws)/(sin ws - ws cos ws); read in a re-implementation of
Duffie & Beckman, chapter 2 (secondary copy). The shares of a day are made to add up to 1.
"""

import numpy as np
import pvlib
import pytest

from pvkit.sky.region import region_year
from pvkit.sky.sun import sun_year
from pvkit.tables import rows
from tests.sky.test_region import MONTH

SOURCE = "Collares-Pereira & Rabl 1979, Solar Energy 22; share of the hour"


def hours_by_the_formula(latitude):
    """Give each hour's share of the day's light, UTC at Greenwich, (365, 24)."""
    day = np.arange(365) + 1
    late = pvlib.solarposition.equation_of_time_spencer71(day)[:, None]
    hour_angle = np.radians(15.0 * (np.arange(24) + 0.5 - 12.0) + late / 4.0)
    tilt = pvlib.solarposition.declination_spencer71(day)
    sunset = np.arccos(-np.tan(np.radians(latitude)) * np.tan(tilt))[:, None]
    a = 0.409 + 0.5016 * np.sin(sunset - np.pi / 3)
    b = 0.6609 - 0.4767 * np.sin(sunset - np.pi / 3)
    shape = np.maximum(np.cos(hour_angle) - np.cos(sunset), 0.0) * (a + b * np.cos(hour_angle))
    return shape / shape.sum(axis=1, keepdims=True)


# Agreement: two points of a day's light. Our days, like overcast ones, let through the same share
# all day, so noon is 0.5 to 1 point lower and the ends of the day a little higher than the mean of
# the world's clear and cloudy stations behind the formula.
@pytest.mark.parametrize("region", [1, 6, 12, 15, 20])
def test_the_built_in_years_hours_share_a_months_light_as_published(region, published):
    place = next(r for r in rows("sap_u3_irradiance_w_per_m2.csv") if r["region"] == str(region))
    latitude = float(place["latitude_deg"])
    light = region_year(sun_year(latitude, 0.0, 70.0), region).ghi.reshape(365, 24, 2).sum(axis=2)
    theirs = hours_by_the_formula(latitude) * light.sum(axis=1, keepdims=True)
    for month in range(12):
        ours, formula = (hours[month == MONTH].sum(axis=0) for hours in (light, theirs))
        published("hour's share of a month's light, five regions, all months", SOURCE,
                  100 * ours / ours.sum(), 100 * formula / formula.sum(), "%", "recomputed",
                  2.0)  # fmt: skip
