"""A plan of one roof for the engineer: wind zones, numbered modules, sizes, north."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from html import escape
from math import cos, radians, sin

from markupsafe import Markup

from pvkit.present.svg import SHOWN_IN
from pvkit.roof.held import array_block
from pvkit.roof.wind_zones import in_plan, roof_strips
from pvkit.site.kit import Array, Roof
from pvkit.site.plan import Outline, roof_outline
from pvkit.site.survey import Site

_WIDEST_MM, _HIGHEST_MM, _MARGIN_MM, _TOP_MM = 150.0, 72.0, 11.0, 2.0
_TEXT_MM = 3.2
_FILLS = {"inner": "#ffffff", "edge": "#cfe3f1", "corner": "#7fb3d5"}
_ARROW_MM = 6.0


@dataclass(frozen=True, slots=True)
class Numbered:
    """An array whose modules are numbered on the plan.

    Parameters
    ----------
    array : the array
    notes : a few words under a module's number, by number from 1
    trays : what lies on a tray, by row and place in it, both from 1
    letter : before each number, where several arrays are numbered
    """

    array: Array
    notes: Mapping[int, str] = field(default_factory=dict)
    trays: Mapping[tuple[int, int], str] = field(default_factory=dict)
    letter: str = ""


class Page:
    """Metres on the roof to millimetres on the page, up the roof up the page."""

    def __init__(self, outline: Outline) -> None:
        xs, ys = zip(*outline, strict=True)
        self.left, self.right, self.low, self.high = min(xs), max(xs), min(ys), max(ys)
        wide, deep = self.right - self.left, self.high - self.low
        self.scale = min(_WIDEST_MM / wide, _HIGHEST_MM / deep)
        self.width = wide * self.scale + 2 * _MARGIN_MM
        self.height = deep * self.scale + _TOP_MM + _MARGIN_MM

    def at(self, x_m: float, y_m: float) -> tuple[float, float]:
        """Give the place on the page."""
        return (
            _MARGIN_MM + (x_m - self.left) * self.scale,
            _TOP_MM + (self.high - y_m) * self.scale,
        )

    def points(self, outline: Outline) -> str:
        """Give an outline as an SVG list of points."""
        return " ".join(f"{x:.2f},{y:.2f}" for x, y in (self.at(*corner) for corner in outline))


def zone_plan(site: Site, array: Array, notes: Mapping[int, str]) -> Markup:
    """Draw an array's roof with its wind zones and modules.

    Parameters
    ----------
    site : the survey
    array : the array whose modules are numbered; others on the roof are outlined
    notes : a few words under a module's number, by number from 1

    Returns
    -------
    one ``<svg>`` element, lengths in millimetres; nothing in it reaches beyond it
    """
    return zones_drawn(site, site.roof_of(array), [Numbered(array, notes)])


def zones_drawn(site: Site, roof: Roof, numbered: Sequence[Numbered]) -> Markup:
    """Draw a roof with its wind zones and the modules of several arrays.

    Parameters
    ----------
    site, roof : the survey and one of its roofs
    numbered : arrays whose modules are numbered; others on the roof are outlined

    Returns
    -------
    as for :func:`zone_plan`
    """
    page = Page(in_plan(roof_outline(roof), roof))
    names = [each.array.name for each in numbered]
    others = [a for a in site.array if a.roof == roof.name and a.name not in names]
    parts = [
        *_zones(roof, page),
        *(part for array in others for part in _outlined(site, array, roof, page)),
        *(part for each in numbered for part in _modules(site, each, roof, page)),
        *(part for each in numbered for part in _trays(site, each, roof, page)),
        *_sizes(page),
        _north(roof, page),
    ]
    title = escape(f"Plan of the roof {roof.name} with its wind zones")
    return Markup(
        f'<svg role="img" aria-label="{title}" viewBox="0 0 {page.width:.1f} {page.height:.1f}" '
        f'width="{page.width:.1f}mm" height="{page.height:.1f}mm" '
        f'style="font-family: {SHOWN_IN}; stroke-linejoin: round">{"".join(parts)}</svg>'
    )


def zone_words(roof: Roof) -> str:
    """Say how large the zones of a roof are.

    Examples
    --------
    >>> zone_words(Roof(name="t", kind="flat", azimuth_deg=180, width_m=12, depth_m=8, height_m=6))
    'Strips along the edges are 0.80 to 1.20 m deep, their corners 2.00 to 3.00 m long.'
    """
    strips = roof_strips(roof)
    depth = _span([strip.depth_m for strip in strips])
    corner = _span([strip.corner_m for strip in strips])
    return f"Strips along the edges are {depth} m deep, their corners {corner} m long."


def _span(lengths: list[float]) -> str:
    low, high = f"{min(lengths):.2f}", f"{max(lengths):.2f}"
    return low if low == high else f"{low} to {high}"


def _zones(roof: Roof, page: Page) -> Iterator[str]:
    strips = roof_strips(roof)
    outline = in_plan(roof_outline(roof), roof)
    yield _shape(outline, page, fill=_FILLS["inner"])
    for strip in strips:
        yield _shape(strip.outline(0.0, strip.length_m), page, fill=_FILLS["edge"])
    for strip in strips:
        for corner in strip.corners():
            yield _shape(corner, page, fill=_FILLS["corner"])
    yield _shape(outline, page, fill="none", stroke="#1c1c1c", width=0.5)


def _outlined(site: Site, array: Array, roof: Roof, page: Page) -> Iterator[str]:
    for outline in array_block(site, array).module_outlines():
        yield _shape(in_plan(outline, roof), page, fill="none", stroke="#7a7a7a", width=0.25)


def _modules(site: Site, each: Numbered, roof: Roof, page: Page) -> Iterator[str]:
    notes = each.notes
    for number, outline in enumerate(array_block(site, each.array).module_outlines(), 1):
        seen = in_plan(outline, roof)
        yield _shape(seen, page, fill="#ffffffd9", stroke="#1c1c1c", width=0.35)
        xs, ys = zip(*(page.at(*corner) for corner in seen), strict=True)
        x, y = sum(xs) / len(xs), sum(ys) / len(ys)
        room = min(max(xs) - min(xs), max(ys) - min(ys))
        size = min(_TEXT_MM, room * 0.38)
        lift = -0.12 if number in notes else 0.35
        yield _text(x, y + size * lift, f"{each.letter}{number}", size, bold=True)
        if number in notes:
            yield _text(x, y + size * 0.95, notes[number], size * 0.8)


def _trays(site: Site, each: Numbered, roof: Roof, page: Page) -> Iterator[str]:
    """Draw what lies on each tray, in a small box at the joint that it bridges."""
    block = array_block(site, each.array)
    step, v = block.along_m + block.gap_m, block.row_depth_m / 2
    for (row, place), words in each.trays.items():
        start, low = block.row_starts[row - 1]
        left, right = start, start + block.row_width_m(block.rows[row - 1])
        u = min(max(start + (place - 1) * step - block.gap_m / 2, left), right)
        ((x_m, y_m),) = in_plan((block.at(u, low + v),), roof)
        x, y = page.at(x_m, y_m)
        size = min(_TEXT_MM, block.row_depth_m * page.scale * 0.3)
        wide = size * (0.7 * len(words) + 0.5)
        yield (
            f'<rect x="{x - wide / 2:.2f}" y="{y - size * 0.75:.2f}" width="{wide:.2f}" '
            f'height="{size * 1.5:.2f}" rx="{size * 0.3:.2f}" fill="#ffffff" '
            'stroke="#1c1c1c" stroke-width="0.3"/>'
        )
        yield _text(x, y + size * 0.35, words, size)


def _sizes(page: Page) -> Iterator[str]:
    x1, y1 = page.at(page.left, page.low)
    x2, y2 = page.at(page.right, page.high)
    yield _line(x1, y1 + 3, x2, y1 + 3)
    yield _text((x1 + x2) / 2, y1 + 7, f"{page.right - page.left:.2f} m", _TEXT_MM)
    yield _line(x1 - 3, y1, x1 - 3, y2)
    x, y = x1 - 5, (y1 + y2) / 2
    words = f"{page.high - page.low:.2f} m"
    yield _text(x, y, words, _TEXT_MM, turn=f' transform="rotate(-90 {x:.2f} {y:.2f})"')


def _north(roof: Roof, page: Page) -> str:
    """Point north: the way the roof faces is down the page."""
    turn = radians(180.0 - roof.azimuth_deg)
    x, y = page.width - 5.0, _TOP_MM + _ARROW_MM + 1.0
    dx, dy = sin(turn) * _ARROW_MM, -cos(turn) * _ARROW_MM
    head = (
        f"{x + dx:.2f},{y + dy:.2f} {x - dy * 0.22:.2f},{y + dx * 0.22:.2f} "
        f"{x + dy * 0.22:.2f},{y - dx * 0.22:.2f}"
    )
    label = _text(x - dx * 0.35, y - dy * 0.35 + 1.2, "N", _TEXT_MM, bold=True)
    return f'<polygon points="{head}" fill="#1c1c1c"/>{label}'


def _shape(
    outline: Outline, page: Page, *, fill: str, stroke: str = "none", width: float = 0.0
) -> str:
    return (
        f'<polygon points="{page.points(outline)}" fill="{fill}" stroke="{stroke}" '
        f'stroke-width="{width}"/>'
    )


def _line(x1: float, y1: float, x2: float, y2: float) -> str:
    return (
        f'<line x1="{x1:.2f}" y1="{y1:.2f}" x2="{x2:.2f}" y2="{y2:.2f}" stroke="#1c1c1c" '
        'stroke-width="0.25"/>'
    )


def _text(
    x: float, y: float, words: str, size: float, *, bold: bool = False, turn: str = ""
) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size:.2f}" text-anchor="middle"{weight}{turn}>'
        f"{escape(words)}</text>"
    )
