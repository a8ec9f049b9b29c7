"""Cover a flat roof as asked: rows or pairs, tilt, facing, pitch, margin, how many."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from pvkit.errors import Fault, InputError
from pvkit.roof.fit import Arrangement, lying_on, named_roof
from pvkit.roof.fit_search import best_layout, largest_layout
from pvkit.roof.rows import shading_limit_deg, usual_profile_deg
from pvkit.roof.schemes import Choices
from pvkit.site.kit import Roof
from pvkit.site.placing import site_blocks
from pvkit.site.roof_checks import roof_area_m2
from pvkit.site.survey import Site
from pvkit.site.usable import Edge, edge_margin_m
from pvkit.study.changes import changed
from pvkit.tables import constant

Spacing = Literal["noon", "limit", "best"]
_EDGES: tuple[Edge, ...] = ("eaves", "ridge", "verge")
_QUARTER_DEG = 90.0
_SAME_DEG = 1.0


@dataclass(frozen=True, slots=True)
class Covering:
    """How a flat roof is to be covered.

    Parameters
    ----------
    arrangement : ``rows`` that face one way, or ``pairs`` back to back
    surface_tilt : of the modules [deg]
    surface_azimuth : the way rows face; pairs look a quarter turn to either side of it [deg]
    spacing : rows clear of each other at ``noon`` on the shortest day, from a ``limit`` angle up,
        or at whichever of several pitches lets a given number yield most (``best``; as many as fit
        then stand at the closest of them)
    limit_deg : that limit angle; read for ``limit`` only
    count : modules, or None for as many as fit
    margin_m : kept from every edge
    """

    arrangement: Arrangement
    surface_tilt: float
    surface_azimuth: float
    spacing: Spacing
    limit_deg: float
    count: int | None
    margin_m: float


def surveyed_covering(site: Site, roof_name: str) -> Covering:
    """Read off how a flat roof is covered as surveyed.

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> found = surveyed_covering(load_site("flat_roof_garage"), "garage")
    >>> found.arrangement, found.surface_azimuth, round(found.limit_deg, 1), found.count
    ('rows', 172.0, 15.0, 10)
    """
    roof, lying = named_roof(site, roof_name), lying_on(site, roof_name)
    first = site.azimuth_deg(lying[0])
    turns = [(site.azimuth_deg(array) - first) % 360.0 for array in lying]
    pairs = any(abs(turn - 180.0) <= _SAME_DEG for turn in turns)
    margins = [edge_margin_m(roof, edge)[0] for edge in _EDGES]
    return Covering(
        arrangement="pairs" if pairs else "rows",
        surface_tilt=site.tilt_deg(lying[0]),
        surface_azimuth=(first + _QUARTER_DEG * pairs) % 360.0,
        spacing="limit",
        limit_deg=_limit_deg(site, roof),
        count=sum(site.count(array) for array in lying),
        margin_m=max(margins),
    )


def first_flat_roof(site: Site) -> str:
    """Give the name of the first flat roof with an array on it.

    Raises
    ------
    InputError
        If there is none.
    """
    used = {array.roof for array in site.array}
    for roof in site.roof:
        if roof.kind == "flat" and roof.name in used:
            return roof.name
    raise InputError(
        Fault("roof", "found no flat roof with an array", "a flat roof with ballasted panels",
              "try the sample 'flat_roof_garage', or see `pvkit check` for a slope")
    )  # fmt: skip


def covered(site: Site, roof_name: str, asked: Covering) -> Site:
    """Give the site with one roof covered as asked.

    Parameters
    ----------
    site : a checked survey
    roof_name : a flat roof with an array on it, whose module and mounting are taken
    asked : how

    Raises
    ------
    InputError
        If there is no such roof, or fewer modules fit than were asked for: says how many.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from pvkit.site.reader import load_site
    >>> site = load_site("flat_roof_garage")
    >>> asked = replace(surveyed_covering(site, "garage"), arrangement="pairs", count=None)
    >>> [array.name for array in covered(site, "garage", asked).array]
    ['garage', 'garage west']
    """
    roomy = with_margin(site, roof_name, asked.margin_m)
    if asked.count is None:
        layout = largest_layout(roomy, roof_name, _choices(roomy, asked, largest=True))
    else:
        layout = best_layout(roomy, roof_name, asked.count, _choices(roomy, asked))
    return changed(roomy, layout.as_changes())


def most_covered(site: Site, roof_name: str, asked: Covering) -> int:
    """Give how many modules fit, however many are asked for.

    Raises
    ------
    InputError
        If not one fits.
    """
    roomy = with_margin(site, roof_name, asked.margin_m)
    return largest_layout(roomy, roof_name, _choices(roomy, asked, largest=True)).count


def covered_area_m2(site: Site) -> float:
    """Give the area of all roofs with an array on them."""
    used = {array.roof for array in site.array}
    return sum(roof_area_m2(roof) for roof in site.roof if roof.name in used)


def with_margin(site: Site, roof_name: str, margin_m: float) -> Site:
    """Give the site with one margin from every edge of a roof; as it is if it has that already."""
    changes: dict[str, Any] = dict(_margin_keys(named_roof(site, roof_name), margin_m))
    return changed(site, changes) if changes else site


def _choices(site: Site, asked: Covering, *, largest: bool = False) -> Choices:
    pairs = asked.arrangement == "pairs"
    azimuth = (asked.surface_azimuth - _QUARTER_DEG * pairs) % 360.0
    noon = usual_profile_deg(site.site.latitude, azimuth)
    closest = max(noon, constant("layout.shading_limit_high_deg"))
    profile = {
        "noon": noon,
        "limit": asked.limit_deg,
        "best": closest if largest else None,
    }[asked.spacing]
    return Choices((asked.arrangement,), (asked.surface_tilt,), (azimuth,), (), profile)


def _margin_keys(roof: Roof, margin_m: float) -> Iterator[tuple[str, float | None]]:
    if {edge_margin_m(roof, edge)[0] for edge in _EDGES} != {margin_m}:
        yield f"roof.{roof.name}.margin_m", margin_m
        for edge in _EDGES:
            yield f"roof.{roof.name}.{edge}_margin_m", None


def _limit_deg(site: Site, roof: Roof) -> float:
    """Give the sun's elevation below which the surveyed rows shade each other."""
    found = [
        shading_limit_deg(block.up_m, block.lean_deg, block.pitch_m)
        for block in site_blocks(site, roof).values()
        if len(set(block.lines)) > 1 and block.lean_deg > 0
    ]
    return max(found, default=constant("layout.shading_limit_deg"))
