"""Checks of what wind and ballast sums are told."""

from collections.abc import Iterator, Sequence
from typing import TypeVar

from pvkit.errors import Fault
from pvkit.site.kit import Array, Roof
from pvkit.site.partial import readable
from pvkit.site.survey import Site
from pvkit.site.wording import labels

Entry = TypeVar("Entry", Roof, Array)


def wind_faults(site: Site) -> Iterator[Fault]:
    """Refuse a coefficient nobody vouches for, a building below its roof, corners below edges."""
    for label, array in _labelled(getattr(site, "array", ())):
        yield from readable(_source(array, f"array.{label}"))
    for label, roof in _labelled(getattr(site, "roof", ())):
        yield from readable(_height(roof, f"roof.{label}"))
    yield from readable(_factors(site))


def _labelled(entries: Sequence[Entry]) -> Iterator[tuple[str, Entry]]:
    names = [getattr(entry, "name", None) for entry in entries]
    return zip(labels(names), entries, strict=True)


def _source(array: Array, key: str) -> Iterator[Fault]:
    if array.pressure_coefficient is not None and array.pressure_source is None:
        yield Fault(
            f"{key}.pressure_source",
            "this key is missing beside pressure_coefficient",
            "text in quotes, 1 to 300 letters",
            "name the report or standard the coefficient is from; it decides everything",
        )
    if array.pressure_source is not None and array.pressure_coefficient is None:
        yield Fault(
            f"{key}.pressure_coefficient",
            "this key is missing beside pressure_source",
            "a negative number, like -0.4",
            "give the coefficient that the source names",
        )


def _height(roof: Roof, key: str) -> Iterator[Fault]:
    if roof.building_height_m is not None and roof.building_height_m < roof.height_m:
        yield Fault(
            f"{key}.building_height_m",
            f"found {roof.building_height_m:g} m below the roof's own {roof.height_m:g} m",
            f"{roof.height_m:g} m or more",
            "give metres from the ground to the top of the building",
        )


def _factors(site: Site) -> Iterator[Fault]:
    edge, corner = site.ballast.edge_factor, site.ballast.corner_factor
    if corner < edge:
        yield Fault(
            "ballast.corner_factor",
            f"found {corner:g} below edge_factor {edge:g}",
            f"{edge:g} or more",
            "the wind pulls hardest in a corner",
        )
