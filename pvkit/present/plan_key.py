"""The key of a plan: each array, each thing kept clear and each marked area with its pattern."""

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from string import ascii_uppercase

from pvkit.present.plan_paper import LETTER, SMALL_MM, Point, outline, words
from pvkit.roof.schemes import compass_word
from pvkit.site.kit import Roof
from pvkit.site.survey import Site
from pvkit.site.usable import KeptClear, edge_margin_m, kept_clear
from pvkit.tables import constant

KEY_LINE_MM = 3.6
_SWATCH_MM = 5.0
_LINES = '<path d="{}" fill="none" stroke="{}" stroke-width="{}"/>'
_DOTS = '<circle cx="0.7" cy="0.7" r="0.28" fill="{}"/>'
# Ground, ink and strokes of each pattern, tiled every few millimetres; colours differ too.
_ARRAYS = (
    ("#dcecf7", ""),
    ("#fbe8c8", _DOTS.format("#8a5a00")),
    ("#d8f0e6", _LINES.format("M0 1H2.2", "#00664b", 0.2)),
    ("#f3dcea", _LINES.format("M1 0V2.2", "#8a3a66", 0.2)),
)
_ZONE = ("#ffffff", _LINES.format("M-0.5 2.7 2.7 -0.5", "#555", 0.25))
_STANDING = ("#cfcfcf", _LINES.format("M0 0 2.2 2.2M0 2.2 2.2 0", "#222", 0.25))
_AREAS = (
    ("#f6f6f6", _LINES.format("M-0.5 -0.5 2.7 2.7", "#999", 0.18)),
    ("#e6e6e6", _LINES.format("M0 0 2.2 2.2M0 2.2 2.2 0", "#999", 0.14)),
    ("#f6f6f6", _DOTS.format("#999")),
    ("#fafafa", _LINES.format("M1 0V2.2", "#aaa", 0.14)),
)


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the key.

    Parameters
    ----------
    name : of the array, the thing kept clear, or the area's label
    letter : that marks it on the plan; empty for arrays and areas
    said : what stands beside its swatch
    tile : the pattern as SVG; its id is in ``fill``
    fill : paint of the pattern
    """

    name: str
    letter: str
    said: str
    tile: str
    fill: str


def key_entries(site: Site, roof: Roof, labels: Sequence[str], mark: str) -> tuple[Entry, ...]:
    """List what stands in the key of a roof's plan.

    Parameters
    ----------
    site, roof : whose plan it is
    labels : of the marked areas
    mark : begins the ids of the patterns
    """
    lying = [array for array in site.array if array.roof == roof.name]
    found = []
    for n, array in enumerate(lying):
        tilt, azimuth = site.tilt_deg(array), site.azimuth_deg(array)
        lower = "; the double line is the lower edge" if roof.kind == "flat" and tilt else ""
        said = (
            f"{array.name}: {site.count(array)} × {site.module(array).pmax_w:g} W, tilt {tilt:g}°, "
            f"facing {azimuth:g}° ({compass_word(azimuth)}){lower}"
        )
        found.append(_entry(array.name, "", said, _ARRAYS[n % len(_ARRAYS)], f"{mark}-a{n}"))
    for n, thing in enumerate(kept_clear(site, roof)):
        standing = thing.kind in ("box", "cylinder")
        look = _STANDING if standing else _ZONE
        letter = ascii_uppercase[n % 26] + ("" if n < 26 else str(n // 26))
        found.append(_entry(thing.name, letter, _of_kept(thing, letter), look, f"{mark}-k{n}"))
    for n, label in enumerate(labels):
        found.append(_entry(label, "", label, _AREAS[n % len(_AREAS)], f"{mark}-z{n}"))
    return (*found, *_margins(roof))


def _entry(name: str, letter: str, said: str, look: tuple[str, str], mark: str) -> Entry:
    ground, strokes = look
    tile = (
        f'<pattern id="{mark}" width="2.2" height="2.2" patternUnits="userSpaceOnUse">'
        f'<rect width="2.2" height="2.2" fill="{ground}"/>{strokes}</pattern>'
    )
    return Entry(name, letter, said, tile, f"url(#{mark})")


def _of_kept(thing: KeptClear, letter: str) -> str:
    xs, ys = zip(*thing.outline, strict=True)
    kind = "" if thing.kind in ("box", "cylinder", "other") else f" ({thing.kind})"
    size = f"{max(xs) - min(xs):.2f} m × {max(ys) - min(ys):.2f} m"
    clear = f", {thing.margin_m:.2f} m clear round it" if thing.margin_m else ""
    return f"{letter} {thing.name}{kind}: {size} at x {min(xs):.2f}, y {min(ys):.2f}{clear}"


def _margins(roof: Roof) -> Iterator[Entry]:
    own = {edge: edge_margin_m(roof, edge)[0] for edge in ("eaves", "ridge", "verge")}
    words = ("front", "back", "sides") if roof.kind == "flat" else ("eaves", "ridge", "verges")
    if len(set(own.values())) == 1:
        said = f"margin {own['eaves']:.2f} m from every edge"
    else:
        said = "margins " + ", ".join(
            f"{word} {far:.2f} m" for word, far in zip(words, own.values(), strict=True)
        )
    if roof.kind == "flat":
        said += f"; a way of {constant('layout.walkway_m'):g} m between blocks"
    yield Entry("margins", "", f"dashed: {said}", "", "")


def swatch_defs(entries: Sequence[Entry]) -> str:
    """Give the patterns of a key as SVG definitions."""
    return f"<defs>{''.join(entry.tile for entry in entries)}</defs>"


def key_lines(entries: Sequence[Entry], at: Point, wide_mm: float) -> tuple[str, float]:
    """Write the key.

    Parameters
    ----------
    entries : from :func:`key_entries`
    at : upper left corner on the page
    wide_mm : of the page

    Returns
    -------
    the key, and its height [mm]
    """
    x, y = at
    letters = int((wide_mm - 2 * x - _SWATCH_MM - 2.0) / (LETTER * SMALL_MM))
    found, down = [], 0.0
    for entry in entries:
        top = y + down + 0.6
        box = ((x, top), (x + _SWATCH_MM, top), (x + _SWATCH_MM, top + 2.4), (x, top + 2.4))
        look = f'fill="{entry.fill or "none"}" stroke="#000" stroke-width="0.2"'
        dashed = ' stroke-dasharray="1.6 1"' if not entry.fill else ""
        found.append(outline(box, look + dashed))
        for part in textwrap.wrap(entry.said, letters):
            place = (x + _SWATCH_MM + 2.0, y + down + 2.6)
            found.append(words(part, place, size=SMALL_MM, anchor="start"))
            down += KEY_LINE_MM
    return "".join(found), down
