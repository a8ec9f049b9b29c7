"""The project's documented file format is what the reader accepts."""

import tomllib
from collections.abc import Callable
from typing import Any

import pytest

from pvkit.site.reader import build_site, given

# The example of the project's documented file format, kept word for word.
DOCUMENTED = """
[site]
name = "Sample: bungalow with a flat-roofed extension"
latitude = 52.9
longitude = -1.2
altitude_m = 60
terrain = "town"              # sea, country or town
region = "Midlands"           # optional: nearest region otherwise

[weather]
source = "region"             # region, epw, tmy3, csv or online; files: file = "name.epw"

[horizon]                     # optional
bearing_deg   = [90, 120, 150, 210]
elevation_deg = [12, 15, 4, 4]

[[roof]]
name = "top"
kind = "flat"                 # flat or pitched
tilt_deg = 0
azimuth_deg = 200             # way the slope faces, or the way the long side faces on a flat roof
width_m = 9.0                 # across the slope
depth_m = 5.5                 # up the slope; or outline_m = [[0,0],[9,0],[9,5.5],[0,5.5]]
height_m = 3.2                # eaves, or flat surface, above ground
parapet_m = 0.15

[[array]]
name = "main"
roof = "top"
module = "half-cut-430"       # a part, or [array.datasheet] with the user's own numbers
count = 6                     # or rows = 2, columns = 3
tilt_deg = 10                 # pitched: taken from the roof
azimuth_deg = 200
mounting = "ballasted"        # ballasted, on-roof or in-roof
optimisers = true

[inverter]
part = "single-phase-2500"

[home]
yearly_kwh = 3100
day = "half"                  # out, half or in: how the day is spent
occupants = 2

[hot_water]
cylinder_litres = 210
immersion_kw = [2.8]          # one or two elements, lower one first
diverter = true
boiler_efficiency = 0.85

[tariff]
import_gbp_per_kwh = 0.26
standing_gbp_per_day = 0.55
export_gbp_per_kwh = 0.12
gas_gbp_per_kwh = 0.06

[costs]
items = [{ name = "modules", gbp = 780 }, { name = "inverter and optimisers", gbp = 1150 }, { name = "mounting and ballast", gbp = 720 }, { name = "electrical work and access", gbp = 1950 }]
visit_gbp_per_year = 60
replacements = [{ name = "inverter", year = 12, gbp = 600 }]

[finance]
years = 25
discount_rate = 0.035
degradation_first_year = 0.02
degradation_per_year = 0.005
"""  # noqa: E501  # its longest line is the format's own


def test_the_documented_file_format_is_accepted_whole(listed: Callable[[Any], Any]) -> None:
    site = build_site(tomllib.loads(DOCUMENTED))
    assert listed(given(site)) == tomllib.loads(DOCUMENTED)
    assert site.kwp() == pytest.approx(2.58)


@pytest.mark.parametrize(
    ("table", "key", "word"),
    [
        *(("site", "terrain", word) for word in ("sea", "country", "town")),
        *(("home", "day", word) for word in ("out", "half", "in")),
    ],
)
def test_every_word_the_documented_format_offers_is_accepted(
    table: str, key: str, word: str
) -> None:
    raw = tomllib.loads(DOCUMENTED)
    raw[table][key] = word
    assert getattr(getattr(build_site(raw), table), key) == word
