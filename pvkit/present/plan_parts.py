"""The parts of a plan: roof, margins, what is kept clear, panels, dimensions."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import cos, radians, sin
from typing import TYPE_CHECKING

from pvkit.present.plan_key import Entry
from pvkit.present.plan_marks import chain, dimension
from pvkit.present.plan_paper import SMALL_MM, TEXT_MM, Paper, line, outline, width_of, words
from pvkit.site.kit import Roof
from pvkit.site.plan import NEIGHBOUR_M, Block, Outline, roof_box, roof_outline
from pvkit.site.usable import KeptClear, polygon, usable_area, widened

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

_DASHED = 'fill="none" stroke="#000" stroke-width="0.2" stroke-dasharray="1.6 1"'
# Rows farther apart than this, in their own depths, have something else between them.
_NEXT_ROW = 3.0


@dataclass(frozen=True, slots=True)
class Area:
    """A part of a roof to mark on the plan, such as a wind zone.

    Parameters
    ----------
    label : what it is; areas of one label share a pattern and a line of the key
    outline : its corners in roof x and y [m]
    """

    label: str
    outline: Outline


def fill_of(entries: Sequence[Entry], name: str) -> str:
    """Give the paint of an array or a marked area."""
    return next(entry.fill for entry in entries if entry.name == name)


def ground(roof: Roof, paper: Paper, areas: Sequence[Area], entries: Sequence[Entry]) -> str:
    """Draw the roof and the areas marked on it."""
    edge = [paper.at(point) for point in roof_outline(roof)]
    found = [outline(edge, 'fill="#fff" stroke="#000" stroke-width="0.6"')]
    for area in areas:
        corners = [paper.at(point) for point in area.outline]
        fill = fill_of(entries, area.label)
        found.append(outline(corners, f'fill="{fill}" stroke="#000" stroke-width="0.15"'))
    return "".join(found)


def margins(roof: Roof, paper: Paper, blocks: Mapping[str, Block]) -> str:
    """Draw how far the margins reach, and the walkways between blocks."""
    turn = next(iter(blocks.values())).turn_deg
    return dashed(usable_area(roof, (), walks_deg=turn), paper)


def dashed(shape: "BaseGeometry", paper: Paper) -> str:
    """Draw the edges of a shape in dashes."""
    parts = [part for part in getattr(shape, "geoms", [shape]) if not part.is_empty]
    rings = [ring for part in parts for ring in (part.exterior, *part.interiors)]
    return "".join(outline([paper.at(xy) for xy in ring.coords[:-1]], _DASHED) for ring in rings)


def kept_drawn(
    roof: Roof, paper: Paper, kept: Sequence[KeptClear], entries: Sequence[Entry]
) -> tuple[str, str]:
    """Draw what is kept clear and its margin; give its letters apart, to lie above all else."""
    found, letters = [], []
    for thing in kept:
        entry = next(entry for entry in entries if entry.name == thing.name and entry.letter)
        corners = [paper.at(point) for point in thing.outline]
        if thing.margin_m > 0:
            round_it = widened(polygon(thing.outline), thing.margin_m)
            found.append(dashed(round_it.intersection(polygon(roof_outline(roof))), paper))
        found.append(outline(corners, f'fill="{entry.fill}" stroke="#000" stroke-width="0.35"'))
        letters.append(_letter(entry.letter, corners))
    return "".join(found), "".join(letters)


def _letter(letter: str, corners: Sequence[tuple[float, float]]) -> str:
    """Write the letter of the key on what it stands for, or beside it if that is small."""
    xs, ys = zip(*corners, strict=True)
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2 + TEXT_MM / 3
    if min(max(xs) - min(xs), max(ys) - min(ys)) < 2.0 * TEXT_MM:
        return words(letter, (max(xs) + 0.8, y), anchor="start")
    return words(letter, (x, y))


def modules(paper: Paper, name: str, block: Block, fill: str, *, several: bool) -> str:
    """Draw an array's modules with their numbers, and which edge of each is the lower one."""
    found = []
    for each, corners in enumerate(block.module_outlines(), 1):
        page = [paper.at(corner) for corner in corners]
        found.append(outline(page, f'fill="{fill}" stroke="#000" stroke-width="0.3"'))
        if block.lean_deg > 0:
            found.append(_lower_edge(paper, block, corners))
        x, y = (sum(corner[axis] for corner in page) / 4 for axis in (0, 1))
        side = min(abs(page[0][0] - page[2][0]), abs(page[0][1] - page[2][1]))
        size = min(TEXT_MM + 0.4, 0.5 * side)
        named = several and width_of(name, SMALL_MM) < abs(page[0][0] - page[2][0]) - 1.0
        named = named and abs(page[0][1] - page[2][1]) > 3.2 * SMALL_MM
        found.append(words(str(each), (x, y + (0.0 if named else size / 3)), size=size))
        if named:
            found.append(words(name, (x, y + SMALL_MM + 0.4), size=SMALL_MM))
    return "".join(found)


def _lower_edge(paper: Paper, block: Block, corners: Outline) -> str:
    """Draw a second line beside a module's lower edge."""
    (ax, ay), (bx, by) = corners[0], corners[1]
    inset, turn = min(0.06 * block.row_depth_m, 0.08), radians(block.turn_deg)
    up = (inset * sin(turn), inset * cos(turn))
    ends = paper.at((ax + up[0], ay + up[1])), paper.at((bx + up[0], by + up[1]))
    return line(*ends, 'stroke="#000" stroke-width="0.3"')


def dimensions(roof: Roof, paper: Paper, blocks: Mapping[str, Block]) -> str:
    """Draw the roof's size, where the panels lie in it, and the row pitch."""
    left, right, low, high = roof_box(roof)
    points = [point for block in blocks.values() for o in block.module_outlines() for point in o]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    found = [chain(paper, (left, min(xs), max(xs), right), 5.0, up=False)]
    found.append(chain(paper, (left, right), 10.5, up=False))
    found.append(chain(paper, (low, min(ys), max(ys), high), 5.0, up=True))
    found.append(chain(paper, (low, high), 10.5, up=True))
    return "".join([*found, *(_pitch(paper, block) for block in blocks.values())])


def _pitch(paper: Paper, block: Block) -> str:
    """Draw the row pitch beside the right ends of the two rows farthest out that have it."""
    rows = [
        (u, u + block.row_width_m(count), v)
        for (u, v), count in zip(block.row_starts, block.rows, strict=True)
    ]
    pairs = [
        (max(right, end), low)
        for left, right, low in rows
        for start, end, high in rows
        if start < right and left < end and abs(high - low - block.pitch_m) < NEIGHBOUR_M
    ]
    if block.lean_deg == 0 or not pairs or block.pitch_m > _NEXT_ROW * block.row_depth_m:
        return ""
    right, low = max(pairs)
    beside = right + 3.0 * paper.scale / 1000.0
    start, end = (paper.at(block.at(beside, v)) for v in (low, low + block.pitch_m))
    return dimension(start, end, block.pitch_m, beside=SMALL_MM + 0.6)
