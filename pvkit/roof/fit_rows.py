"""The layout's part of the check sheet, and its facts: does it fit, with room round it."""

from collections.abc import Iterator
from dataclasses import asdict
from math import radians, sin
from typing import Any

from pvkit.roof.distances import edge_distances_m, kept_distance_m, way_ahead_m
from pvkit.roof.geometry import clearance_m
from pvkit.roof.margins import EDGE_WORDS, margins_kept
from pvkit.roof.rows import (
    ground_cover,
    profile_deg,
    row_pitch_m,
    shading_limit_deg,
    shortest_day_sun,
)
from pvkit.site.dodging import most_that_fit
from pvkit.site.grids import overhang_limit_m
from pvkit.site.kit import Array, Roof
from pvkit.site.placing import reach_m, site_blocks
from pvkit.site.plan import Block
from pvkit.site.roof_checks import roof_area_m2
from pvkit.site.survey import Site
from pvkit.site.usable import edge_margin_m, kept_clear, usable_area
from pvkit.tables import constant, numbers
from pvkit.verdict import CheckRow, Verdict

_GIVEN = "site file (given)"
_HAIR_M = 0.0005


def layout_rows(site: Site) -> tuple[CheckRow, ...]:
    """List what the layout of every array is checked for.

    A distance that the site file asks for fails where it is broken; one that is only practice is
    for the maker of the mounting to decide.

    Parameters
    ----------
    site : a checked survey

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> sorted({row.verdict for row in layout_rows(load_site("south_family_home"))})
    ['ask', 'pass']
    """
    found: list[CheckRow] = []
    for roof in site.roof:
        laid = site_blocks(site, roof)
        for array in site.array:
            if array.roof == roof.name:
                others = tuple(block for name, block in laid.items() if name != array.name)
                found += _array_rows(site, array, laid[array.name], others)
    return tuple(found)


def layout_facts(site: Site) -> dict[str, Any]:
    """Give the layout as plain numbers, words and lists.

    Returns
    -------
    ``arrays`` and ``roofs``; ``positions_m`` are the modules' lower left corners in roof x and y,
    in the order of their numbers; ``most_that_fit`` keeps the usual margins and row pitch, the
    other arrays staying where they are; ``pitch_m`` is None where there is one row; a roof's
    ``margins`` each have a source

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> facts = layout_facts(load_site("bungalow_extension"))
    >>> [(a["count"], a["rows"], round(a["pitch_m"], 2)) for a in facts["arrays"]]
    [(6, 2, 1.85)]
    """
    laid = {name: b for roof in site.roof for name, b in site_blocks(site, roof).items()}
    return {
        "arrays": [_array_facts(site, array, laid) for array in site.array],
        "roofs": [_roof_facts(site, roof) for roof in site.roof],
    }


def _array_rows(
    site: Site, array: Array, block: Block, others: tuple[Block, ...]
) -> Iterator[CheckRow]:
    roof = site.roof_of(array)
    yield _on_roof(array, roof, block)
    yield from _edges(array, roof, block)
    yield from _kept(site, array, block)
    if roof.kind == "flat":
        yield from _pitch(site, array, block)
        yield from _ways(array, block, others)
    yield _planning(site, array, block)


def _on_roof(array: Array, roof: Roof, block: Block) -> CheckRow:
    off, limit = reach_m(block, roof), overhang_limit_m()
    count = sum(block.rows)
    value = f"{count} panels, all on it" if off <= limit else f"a panel reaches {off:.2f} m off it"
    return CheckRow(
        f"'{array.name}' on the roof '{roof.name}'",
        value,
        "every panel wholly on the roof",
        "pass" if off <= limit else "fail",
        _source("layout.overhang_m"),
    )


def _edges(array: Array, roof: Roof, block: Block) -> Iterator[CheckRow]:
    words = EDGE_WORDS[roof.kind]
    for edge, far in edge_distances_m(roof, block).items():
        margin, given = edge_margin_m(roof, edge)
        source = _GIVEN if given else _source(f"layout.margin_m.{roof.kind}")
        what = f"'{array.name}' to the {words[edge]}"
        yield _distance(what, far, margin, source)


def _kept(site: Site, array: Array, block: Block) -> Iterator[CheckRow]:
    roof = site.roof_of(array)
    for thing in kept_clear(site, roof):
        source = _GIVEN if thing.given else _source(f"layout.keep_clear_m.{roof.kind}")
        kind = "" if thing.kind in ("box", "cylinder", "other") else f"the {thing.kind} "
        what = f"'{array.name}' to {kind}'{thing.name}'"
        yield _distance(what, kept_distance_m(block, thing), thing.margin_m, source)


def _distance(what: str, far: float, margin: float, source: str) -> CheckRow:
    short: Verdict = "fail" if source == _GIVEN else "ask"
    verdict: Verdict = "pass" if far >= margin - _HAIR_M else short
    return CheckRow(what, f"{far:.2f} m", f"{margin:.2f} m or more", verdict, source)


def _pitch(site: Site, array: Array, block: Block) -> Iterator[CheckRow]:
    """Judge the pitch by the sun's elevation at which rows begin to shade each other."""
    if block.lean_deg == 0 or len(set(block.lines)) < 2:
        return
    limit = shading_limit_deg(block.up_m, block.lean_deg, block.pitch_m)
    sun = profile_deg(shortest_day_sun(site.site.latitude), site.azimuth_deg(array))
    highest = constant("layout.shading_limit_high_deg")
    noon = ""
    if 0 < sun < 90:
        wanted = row_pitch_m(block.up_m, block.lean_deg, sun)
        noon = f"; {wanted:.2f} m would be clear at noon on the shortest day ({sun:.1f}°)"
    yield CheckRow(
        f"Row pitch of '{array.name}'",
        f"{block.pitch_m:.2f} m: rows shade each other when the sun is below {limit:.1f}°",
        f"clear from {highest:g}° or lower{noon}",
        "pass" if limit <= highest + 1e-6 else "ask",
        _source("layout.shading_limit_high_deg"),
    )


def _ways(array: Array, block: Block, others: tuple[Block, ...]) -> Iterator[CheckRow]:
    gap = way_ahead_m(block, others)
    least, longest = constant("layout.pair_access_least_m"), constant("layout.block_m")
    if gap is not None:
        yield CheckRow(
            f"Way in front of the rows of '{array.name}'",
            f"{gap:.2f} m",
            f"{least:.2f} m or more for access",
            "pass" if gap >= least - _HAIR_M else "ask",
            _source("layout.pair_access_least_m"),
        )
    row = max(block.row_width_m(count) for count in block.rows)
    walk = constant("layout.walkway_m")
    deep = block.row_depth_m if gap is not None and gap >= walk - _HAIR_M else block.depth_m
    yield CheckRow(
        f"Walkways by '{array.name}'",
        f"{row:.1f} m × {deep:.1f} m without one",
        f"up to {longest:g} m × {longest:g} m, then a way of {walk:g} m",
        "pass" if max(row, deep) <= longest else "ask",
        _source("layout.walkway_m"),
    )


def _planning(site: Site, array: Array, block: Block) -> CheckRow:
    """Say how high the modules stand; whether that needs planning permission is not ours to say."""
    roof, off = site.roof_of(array), clearance_m(site, array)
    if roof.kind == "pitched":
        name, words = "planning.proud_m", "proud of the slope, and not above the ridge"
        value = f"{off:.2f} m proud of the slope"
    else:
        top = off + block.up_m * sin(radians(block.lean_deg))
        name, words = "planning.flat_m", "above the highest part of the roof"
        value = f"{top:.2f} m above the roof's surface"
        value += f", {top - roof.parapet_m:.2f} m above its upstand" if roof.parapet_m else ""
    return CheckRow(
        f"Height of '{array.name}' for planning",
        value,
        f"up to {constant(name):g} m {words}: homes in England, not listed; elsewhere other rules",
        "ask",
        _source(name),
    )


def _source(name: str) -> str:
    number = numbers("limits.toml")[name]
    return f"{number.source} ({number.kind})"


def _array_facts(site: Site, array: Array, laid: dict[str, Block]) -> dict[str, Any]:
    roof, block = site.roof_of(array), laid[array.name]
    kept = kept_clear(site, roof)
    beside = [laid[a.name] for a in site.array if a.roof == roof.name and a.name != array.name]
    others = tuple(outline for other in beside for outline in other.module_outlines())
    rows = len(set(block.lines))
    pitch = block.pitch_m if rows > 1 else None
    leans = pitch is not None and block.lean_deg > 0
    return {
        "name": array.name,
        "roof": roof.name,
        "count": sum(block.rows),
        "kwp": sum(block.rows) * site.module(array).pmax_w / 1000.0,
        "rows": rows,
        "orientation": block.orientation,
        "surface_tilt": site.tilt_deg(array),
        "surface_azimuth": site.azimuth_deg(array),
        "positions_m": [[round(x, 4), round(y, 4)] for x, y in _corners(block)],
        "pitch_m": pitch,
        "ground_cover": None if pitch is None else ground_cover(block.up_m, pitch),
        "shading_limit_deg": shading_limit_deg(block.up_m, block.lean_deg, pitch)
        if leans and pitch is not None
        else None,
        "most_that_fit": most_that_fit(roof, array, kept, others, margins=True),
        "most_without_margins": most_that_fit(roof, array, kept, others),
    }


def _corners(block: Block) -> list[tuple[float, float]]:
    return [outline[0] for outline in block.module_outlines()]


def _roof_facts(site: Site, roof: Roof) -> dict[str, Any]:
    kept = kept_clear(site, roof)
    return {
        "name": roof.name,
        "area_m2": roof_area_m2(roof),
        "usable_m2": float(usable_area(roof, kept).area),
        "kept_clear": [thing.name for thing in kept],
        "margins": [asdict(margin) for margin in margins_kept(site, roof)],
    }
