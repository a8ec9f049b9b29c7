"""Checks of where the home stands, the weather it gets and the horizon round it."""

import os
from collections.abc import Iterator
from functools import cache

from pvkit.errors import Fault
from pvkit.site.faults import nearest
from pvkit.site.place import Horizon, Weather
from pvkit.site.survey import Site
from pvkit.site.wording import shown
from pvkit.tables import constant, rows

REGION_NAMES = "sap_u3_irradiance_w_per_m2.csv"


def place_faults(site: Site) -> Iterator[Fault]:
    """Refuse a latitude and longitude that have changed places."""
    place = site.site
    low, high = _limit("south"), _limit("north")
    west, east = _limit("west"), _limit("east")
    if low <= place.longitude <= high and west <= place.latitude <= east:
        yield Fault(
            "site.latitude",
            f"found {place.latitude:g} with longitude {place.longitude:g}",
            "degrees north in latitude, degrees east in longitude",
            "the two look swapped: exchange them",
        )


def _limit(side: str) -> float:
    return constant(f"swapped.{side}_deg")


def region_faults(site: Site) -> Iterator[Fault]:
    """Refuse the name of a region that does not exist."""
    region = site.site.region
    if region is not None and " ".join(region.lower().split()) not in region_numbers():
        known = [row["short_name"] for row in rows("regions.csv")]
        yield Fault(
            "site.region", f"found {shown(region)}", ", ".join(known), nearest(region, known)
        )


@cache
def region_numbers() -> dict[str, int]:
    """Give every name a region goes by, in small letters, with its number.

    Examples
    --------
    >>> region_numbers()["midlands"], region_numbers()["borders england"], region_numbers()["6"]
    (6, 9, 6)
    """
    known: dict[str, int] = {}
    for row in rows(REGION_NAMES)[1:]:
        whole = row["name"].lower()
        known |= dict.fromkeys([whole, *whole.split(" / ")], int(row["region"]))
    for row in rows("regions.csv"):
        known |= dict.fromkeys([row["region"], row["short_name"].lower()], int(row["region"]))
    return known


def weather_faults(site: Site) -> Iterator[Fault]:
    """Refuse a weather file that is missing, not named, or not wanted."""
    weather: Weather = site.weather
    if weather.source in ("region", "online"):
        if weather.file is not None:
            yield Fault(
                "weather.file",
                f"found '{weather.file}' beside source = '{weather.source}'",
                "a file only with source epw, tmy3 or csv",
                "change the source, or delete the file key",
            )
    elif weather.file is None:
        yield Fault(
            "weather.file",
            "this key is missing",
            "the name of a file beside the site file",
            f'add file = "name.{weather.source}"',
        )
    elif not os.path.isfile(weather.file):
        yield Fault(
            "weather.file",
            f"found no file '{weather.file}'",
            "a file that is there",
            "check its name; it is looked for beside the site file",
        )


def horizon_faults(site: Site) -> Iterator[Fault]:
    """Refuse bearings and elevations that do not pair up, and bearings out of order."""
    horizon: Horizon | None = site.horizon
    if horizon is None:
        return
    bearings, heights = horizon.bearing_deg, horizon.elevation_deg
    if list(bearings) != sorted(set(bearings)):
        yield Fault(
            "horizon.bearing_deg",
            f"found {', '.join(f'{bearing:g}' for bearing in bearings[:12])}",
            "bearings that rise, none twice",
            "list them clockwise from north, each with its elevation",
        )
    if len(bearings) != len(heights):
        yield Fault(
            "horizon",
            f"found {len(bearings)} bearings and {len(heights)} elevations",
            "one elevation for each bearing",
            "make the two lists equally long",
        )
