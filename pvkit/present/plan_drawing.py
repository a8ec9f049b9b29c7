"""A roof's plan to scale: panels with their numbers, what is kept clear, dimensions, north.

It is made for a black-and-white printer: every fill has a pattern of its own. Nothing on it is
decided here; it shows the layout that the estimate and the checks rest on.
"""

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape

from pvkit.present.plan_key import KEY_LINE_MM, key_entries, key_lines, swatch_defs
from pvkit.present.plan_marks import north_arrow, scale_bar
from pvkit.present.plan_paper import ROOM_MM, SMALL_MM, Paper, Point, number, scale_for, words
from pvkit.present.plan_parts import (
    Area,
    dimensions,
    fill_of,
    ground,
    kept_drawn,
    margins,
    modules,
)
from pvkit.present.svg import SHOWN_IN
from pvkit.roof.schemes import compass_word
from pvkit.site.kit import Roof
from pvkit.site.placing import site_blocks
from pvkit.site.plan import Block, roof_box
from pvkit.site.survey import Site
from pvkit.site.usable import kept_clear

_EDGE_MM = 4.0
_TITLE_MM = 11.0
_DIMS_MM = 19.0
_FOOT_MM = 18.0
_LEAST_WIDE_MM = 120.0


def plan_svg(site: Site, areas: Mapping[str, Sequence[Area]] | None = None) -> str:
    """Draw the plans of every roof with an array, one below the other.

    Parameters
    ----------
    site : a checked survey
    areas : parts to mark, by name of the roof

    Returns
    -------
    one ``<svg>`` element, sized in millimetres so that it prints to scale

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> drawn = plan_svg(load_site("east_west_pair"))
    >>> "east slope: 7 panels" in drawn, "west slope: 6 panels" in drawn
    (True, True)
    """
    used = {array.roof for array in site.array}
    drawn = [
        _sheet(site, roof, (areas or {}).get(roof.name, ()))
        for roof in site.roof
        if roof.name in used
    ]
    wide, down, parts = max(sheet.wide_mm for sheet in drawn), 0.0, []
    for sheet in drawn:
        parts.append(f'<g transform="translate(0 {number(down)})">{sheet.inside}</g>')
        down += sheet.high_mm
    title = drawn[0].title if len(drawn) == 1 else f"Plans of {len(drawn)} roofs"
    said = " ".join(f"{sheet.title}: {sheet.said}" for sheet in drawn)
    return _svg((wide, down), title, said, "".join(parts))


def roof_plan_svg(
    site: Site, roof_name: str, areas: Sequence[Area] = (), room_mm: Point = ROOM_MM
) -> str:
    """Draw the plan of one roof, in the plane of the roof, its lower edge down the page.

    Parameters
    ----------
    site : a checked survey
    roof_name : which of its roofs
    areas : parts to mark, such as wind zones
    room_mm : width and height that the roof itself may take; its scale follows

    Returns
    -------
    one ``<svg>`` element, sized in millimetres so that it prints to the scale it names
    """
    roof = next(roof for roof in site.roof if roof.name == roof_name)
    sheet = _sheet(site, roof, areas, room_mm)
    return _svg((sheet.wide_mm, sheet.high_mm), sheet.title, sheet.said, sheet.inside)


@dataclass(frozen=True, slots=True)
class _Sheet:
    """One roof's drawing: its size, its name and description, and what is drawn."""

    wide_mm: float
    high_mm: float
    title: str
    said: str
    inside: str


def _sheet(site: Site, roof: Roof, areas: Sequence[Area], room_mm: Point = ROOM_MM) -> _Sheet:
    left, right, low, high = roof_box(roof)
    scale = scale_for(right - left, high - low, room_mm)
    size = (1000.0 * (right - left) / scale, 1000.0 * (high - low) / scale)
    wide = max(size[0] + _DIMS_MM + 2 * _EDGE_MM + 10.0, _LEAST_WIDE_MM)
    paper = Paper(scale, left, low, _EDGE_MM + _DIMS_MM, _TITLE_MM + _EDGE_MM + size[1])
    blocks = site_blocks(site, roof)
    mark = "p" + hashlib.sha256(repr((site.site.name, roof, areas)).encode()).hexdigest()[:8]
    entries = key_entries(site, roof, list(dict.fromkeys(area.label for area in areas)), mark)
    key, key_mm = key_lines(entries, (_EDGE_MM, paper.down_mm + _DIMS_MM + _FOOT_MM), wide)
    things, letters = kept_drawn(roof, paper, kept_clear(site, roof), entries)
    several = len(blocks) > 1
    panels = [
        modules(paper, name, block, fill_of(entries, name), several=several)
        for name, block in blocks.items()
    ]
    drawn = [
        swatch_defs(entries),
        _title(site, roof, blocks),
        ground(roof, paper, areas, entries),
        margins(roof, paper, blocks),
        things,
        *panels,
        letters,
        dimensions(roof, paper, blocks),
        _foot(roof, paper, wide),
        key,
    ]
    high_mm = paper.down_mm + _DIMS_MM + _FOOT_MM + key_mm + _EDGE_MM
    return _Sheet(wide, high_mm, *_said(site, roof, blocks), "".join(drawn))


def _svg(size: tuple[float, float], title: str, said: str, inside: str) -> str:
    wide, high = (number(each) for each in size)
    mark = "p" + hashlib.sha256((title + said + inside).encode()).hexdigest()[:8]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" '
        f'viewBox="0 0 {wide} {high}" role="img" aria-labelledby="{mark}-title {mark}-desc" '
        f'font-family="{SHOWN_IN}"><title id="{mark}-title">{escape(title)}</title>'
        f'<desc id="{mark}-desc">{escape(said)}</desc>{inside}</svg>'
    )


def _said(site: Site, roof: Roof, blocks: Mapping[str, Block]) -> tuple[str, str]:
    count = sum(sum(block.rows) for block in blocks.values())
    rows = sum(len(set(block.lines)) for block in blocks.values())
    kept = [thing.name for thing in kept_clear(site, roof)]
    clear = f" Kept clear: {', '.join(kept)}." if kept else ""
    return (
        f"Plan of the roof '{roof.name}'",
        f"{count} panels in {rows} row{'s' if rows > 1 else ''} on a {roof.kind} roof that faces "
        f"{compass_word(roof.azimuth_deg)}.{clear}",
    )


def _title(site: Site, roof: Roof, blocks: Mapping[str, Block]) -> str:
    left, right, low, high = roof_box(roof)
    count = sum(sum(block.rows) for block in blocks.values())
    kwp = sum(
        sum(blocks[a.name].rows) * site.module(a).pmax_w for a in site.array if a.name in blocks
    )
    slope = "flat" if roof.kind == "flat" else f"slope of {roof.tilt_deg:g}°, drawn along the slope"
    head = f"{roof.name}: {count} panel{'s' if count != 1 else ''}, {kwp / 1000.0:.2f} kWp"
    size = f"{right - left:.2f} m × {high - low:.2f} m, {slope}; metres"
    top = words(head, (_EDGE_MM, _EDGE_MM + 3.0), size=3.6, anchor="start")
    return top + words(size, (_EDGE_MM, _EDGE_MM + 6.8), size=SMALL_MM, anchor="start")


def _foot(roof: Roof, paper: Paper, wide: float) -> str:
    """Draw which edge is down the page, the scale, the bar and the north."""
    lower = "Front" if roof.kind == "flat" else "Eaves"
    y = paper.down_mm + _DIMS_MM + 6.0
    facing = (
        f"{lower} down the page, facing {roof.azimuth_deg:g}° ({compass_word(roof.azimuth_deg)})"
    )
    bar, _ = scale_bar(paper, (_EDGE_MM + 2.0, y - 2.0))
    north = (180.0 - roof.azimuth_deg) % 360.0
    said = [facing, f"Scale 1:{paper.scale} if printed at full size; else measure by the bar"]
    text = [
        words(each, (_EDGE_MM + 40.0, y - 2.0 + n * KEY_LINE_MM), size=SMALL_MM, anchor="start")
        for n, each in enumerate(said)
    ]
    return bar + "".join(text) + north_arrow((wide - _EDGE_MM - 9.0, y + 1.0), north)
