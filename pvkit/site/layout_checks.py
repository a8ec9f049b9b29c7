"""Checks of the layout: modules on their roof, clear of one another and of what stands there."""

from collections.abc import Iterator, Sequence

from pvkit.errors import Fault
from pvkit.site.kit import Array, Roof
from pvkit.site.obstacle_checks import covered_m
from pvkit.site.obstacles import Box, Cylinder
from pvkit.site.partial import readable
from pvkit.site.placing import blocks, module_count, overhang_limit_m, reach_m, sheet_of
from pvkit.site.plan import Block, roof_box
from pvkit.site.polygons import overlap_m
from pvkit.site.roof_checks import roof_area_m2
from pvkit.site.survey import Site
from pvkit.site.wording import labels, shown
from pvkit.tables import parts

Laid = tuple[str, Array, Block]


def layout_faults(site: Site) -> Iterator[Fault]:
    """Refuse arrays off their roof, over one another, or with a module in a chimney."""
    names = [getattr(array, "name", None) for array in site.array]
    labelled = list(zip(labels(names), site.array, strict=True))
    for roof in site.roof:
        yield from readable(_roof(roof, labelled, site))


def _roof(roof: Roof, labelled: Sequence[tuple[str, Array]], site: Site) -> Iterator[Fault]:
    lying = [(label, array) for label, array in labelled if _lies_on(array, roof)]
    if not lying or not _fits_by_area(roof, [array for _, array in lying]):
        return
    laid = [
        (label, array, block)
        for (label, array), block in zip(
            lying, blocks(roof, [array for _, array in lying]), strict=True
        )
    ]
    for one in laid:
        yield from _pitch(one)
        yield from _on_roof(one, roof)
    for n, one in enumerate(laid):
        yield from _apart(one, laid[:n])
    standing = [o for o in site.obstacle if o.kind in ("box", "cylinder") and o.roof == roof.name]
    for one in laid:
        yield from _clear(one, standing)


def _lies_on(array: Array, roof: Roof) -> bool:
    """Tell whether an array is this roof's, and sound enough to lay out."""
    if array.roof != roof.name:
        return False
    counted = array.count is not None or bool(array.rows and array.columns)
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


def _on_roof(one: Laid, roof: Roof) -> Iterator[Fault]:
    label, array, block = one
    reach = reach_m(block, roof)
    if reach <= overhang_limit_m():
        return
    left, right, low, high = roof_box(roof)
    placed = array.x_m is not None or array.y_m is not None
    yield Fault(
        f"array.{label}",
        f"found {sum(block.rows)} modules, {block.width_m:.2f} m × {block.depth_m:.2f} m, "
        f"reaching {reach:.2f} m off the roof {shown(roof.name)}",
        f"modules wholly on its {right - left:g} m × {high - low:g} m",
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


def _clear(one: Laid, standing: Sequence[Box | Cylinder]) -> Iterator[Fault]:
    label, _, block = one
    for obstacle in standing:
        hit = [
            number
            for number, outline in enumerate(block.module_outlines(), 1)
            if covered_m(obstacle, outline) > overhang_limit_m()
        ]
        if hit:
            several = f"{len(hit)} modules, number {hit[0]} among them,"
            yield Fault(
                f"array.{label}",
                f"found {several if len(hit) > 1 else f'module {hit[0]}'} inside the "
                f"{obstacle.kind} {shown(obstacle.name)}",
                "modules clear of what stands on the roof",
                "move the array by x_m and y_m, or check those of the obstacle",
            )


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
        more = array.model_copy(update={"count": count, "rows": None, "columns": None})
        lying = [more if a is array else a for a in site.array if a.roof == roof.name]
        labelled = [(a.name, a) for a in lying]
        if _fits_by_area(roof, lying) and not any(_roof(roof, labelled, site)):
            return count
    return now
