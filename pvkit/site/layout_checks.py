"""Checks of the layout: modules on their roof, clear of one another and of what is kept clear."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pvkit.errors import Fault
from pvkit.site.dodging import Kept, in_the_way, most_that_fit
from pvkit.site.grids import module_count, overhang_limit_m, sheet_of
from pvkit.site.kit import Array, Roof
from pvkit.site.obstacle_checks import covered_m
from pvkit.site.obstacles import Box, Cylinder
from pvkit.site.partial import readable
from pvkit.site.placing import blocks, reach_m
from pvkit.site.plan import Block, Outline, roof_box
from pvkit.site.polygons import overlap_m
from pvkit.site.roof_checks import roof_area_m2, stated_count
from pvkit.site.survey import Site
from pvkit.site.usable import kept_clear
from pvkit.site.wording import labels, shown
from pvkit.tables import parts

Laid = tuple[str, Array, Block]
_MOVE = "give count alone and the modules go round it, move the array by x_m and y_m"
_LEFT_OPEN = {"rows": None, "columns": None, "positions_m": None}


def layout_faults(site: Site) -> Iterator[Fault]:
    """Refuse arrays off their roof, over one another, or with a module in a chimney or window."""
    names = [getattr(array, "name", None) for array in site.array]
    labelled = list(zip(labels(names), site.array, strict=True))
    for roof in site.roof:
        yield from readable(_roof(roof, labelled, site))


def _roof(roof: Roof, labelled: Sequence[tuple[str, Array]], site: Site) -> Iterator[Fault]:
    lying = [(label, array) for label, array in labelled if _lies_on(array, roof)]
    if not lying or not _fits_by_area(roof, [array for _, array in lying]):
        return
    kept = kept_clear(site, roof)
    found = blocks(roof, [array for _, array in lying], kept)
    laid = [(*pair, block) for pair, block in zip(lying, found, strict=True)]
    around = [_Around(roof, kept, _others(found, n)) for n in range(len(laid))]
    for n, one in enumerate(laid):
        yield from _pitch(one)
        yield from _within(one)
        yield from _on_roof(one, around[n])
        yield from _apart(one, laid[:n])
    standing = [o for o in site.obstacle if o.kind in ("box", "cylinder") and o.roof == roof.name]
    for one, there in zip(laid, around, strict=True):
        yield from _clear(one, standing, there)


class _Around(NamedTuple):
    """An array's roof, what it keeps clear of there, and the modules of the other arrays."""

    roof: Roof
    kept: Kept
    others: tuple[Outline, ...]

    def room(self, array: Array) -> str:
        """Say how many modules there is room for."""
        most = most_that_fit(self.roof, array, self.kept, self.others)
        roomy = most_that_fit(self.roof, array, self.kept, self.others, margins=True)
        return f"at most {most} of this module fit there, {roomy} with the usual margins"


def _others(found: Sequence[Block], own: int) -> tuple[Outline, ...]:
    return tuple(o for n, block in enumerate(found) if n != own for o in block.module_outlines())


def _lies_on(array: Array, roof: Roof) -> bool:
    """Tell whether an array is this roof's, and sound enough to lay out."""
    if array.roof != roof.name:
        return False
    counted = stated_count(array) is not None
    agrees = not (array.rows and array.columns) or module_count(array) == array.rows * array.columns
    return counted and agrees and (array.datasheet is not None or array.module in parts("modules"))


def _fits_by_area(roof: Roof, arrays: Sequence[Array]) -> bool:
    """Tell whether the layout is worth a look; too many by area alone is another check's word."""
    if roof.outline_m is None and (roof.width_m is None or roof.depth_m is None):
        return False
    sheets = [(module_count(array), sheet_of(array)) for array in arrays]
    needed = sum(count * sheet.length_m * sheet.width_m for count, sheet in sheets)
    return needed <= roof_area_m2(roof)


def _pitch(one: Laid) -> Iterator[Fault]:
    label, array, block = one
    if array.row_pitch_m is not None and array.row_pitch_m < block.row_depth_m - overhang_limit_m():
        yield Fault(
            f"array.{label}.row_pitch_m",
            f"found {array.row_pitch_m:g} m for rows {block.row_depth_m:.2f} m deep",
            f"{block.row_depth_m:.2f} m or more",
            "give metres from the front of one row to the front of the next, not the gap",
        )


def _within(one: Laid) -> Iterator[Fault]:
    """Refuse modules placed one by one over each other."""
    label, array, block = one
    if array.positions_m is None:
        return
    rows = [block.row_outline(row) for row in range(len(block.rows))]
    depths = [overlap_m(a, b) for n, a in enumerate(rows) for b in rows[:n]]
    if max(depths, default=0.0) > overhang_limit_m():
        yield Fault(
            f"array.{label}.positions_m",
            f"found modules {max(depths):.2f} m over one another",
            f"modules {block.along_m:.3f} m × {block.row_depth_m:.3f} m beside one another",
            "give the lower left corner of each, and look at orientation",
        )


def _on_roof(one: Laid, around: _Around) -> Iterator[Fault]:
    label, array, block = one
    roof = around.roof
    reach = reach_m(block, roof)
    if reach <= overhang_limit_m():
        return
    left, right, low, high = roof_box(roof)
    placed = (array.x_m, array.y_m, array.positions_m) != (None, None, None)
    yield Fault(
        f"array.{label}",
        f"found {sum(block.rows)} modules, {block.width_m:.2f} m × {block.depth_m:.2f} m, "
        f"reaching {reach:.2f} m off the roof {shown(roof.name)}",
        f"modules wholly on its {right - left:g} m × {high - low:g} m: {around.room(array)}",
        ("check x_m and y_m" if placed else "lower the count, or give rows, columns, x_m and y_m")
        + "; look at orientation and row_pitch_m, and at the roof's size in metres",
    )


def _apart(one: Laid, before: Sequence[Laid]) -> Iterator[Fault]:
    label, _, block = one
    for other, _, theirs in before:
        depth = _overlap_m(block, theirs)
        if depth > overhang_limit_m():
            yield Fault(
                f"array.{label}",
                f"found its modules {depth:.2f} m over those of {shown(other)}",
                "arrays beside one another",
                "give each array of this roof its own x_m and y_m, or check those given",
            )


def _overlap_m(one: Block, other: Block) -> float:
    theirs = [other.row_outline(row) for row in range(len(other.rows))]
    mine = [one.row_outline(row) for row in range(len(one.rows))]
    return max(overlap_m(a, b) for a in mine for b in theirs)


def _clear(one: Laid, standing: Sequence[Box | Cylinder], around: _Around) -> Iterator[Fault]:
    label, array, block = one
    outlines = list(enumerate(block.module_outlines(), 1))
    for obstacle in standing:
        hit = [
            number for number, each in outlines if covered_m(obstacle, each) > overhang_limit_m()
        ]
        if hit:
            yield Fault(
                f"array.{label}",
                f"found {_numbered(hit)} inside the {obstacle.kind} {shown(obstacle.name)}",
                f"modules clear of what stands on the roof: {around.room(array)}",
                f"{_MOVE}, or check those of the obstacle",
            )
    zones = tuple(k for k in around.kept if k.kind not in ("box", "cylinder"))
    hits = in_the_way(block, zones)
    for zone in zones:
        if zone.name in hits:
            yield Fault(
                f"array.{label}",
                f"found {_numbered(hits[zone.name])} over the {zone.kind} {shown(zone.name)}",
                f"modules clear of every keep_clear: {around.room(array)}",
                f"{_MOVE}, or check the keep_clear",
            )


def _numbered(hit: Sequence[int]) -> str:
    several = f"{len(hit)} modules, number {hit[0]} among them,"
    return several if len(hit) > 1 else f"module {hit[0]}"


def most_modules(site: Site, array: Array) -> int:
    """Give the largest number of modules an array may have where it lies, its grid left open.

    Parameters
    ----------
    site : a checked survey
    array : one of its arrays

    Returns
    -------
    at least 1; at least what the array has now

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> site = load_site("bungalow_extension")
    >>> most_modules(site, site.array[0])
    21
    """
    roof, sheet, now = site.roof_of(array), sheet_of(array), module_count(array)
    by_area = int(roof_area_m2(roof) / (sheet.length_m * sheet.width_m))
    for count in range(by_area, now, -1):
        more = array.model_copy(update={"count": count, **_LEFT_OPEN})
        lying = [more if a is array else a for a in site.array if a.roof == roof.name]
        labelled = [(a.name, a) for a in lying]
        if _fits_by_area(roof, lying) and not any(_roof(roof, labelled, site)):
            return count
    return now
