"""Checks that tie arrays to roofs: names, sizes, fit, mounting."""

from collections.abc import Iterator, Sequence

from pvkit.errors import Fault
from pvkit.site.faults import nearest
from pvkit.site.keep_clear import KeepClear
from pvkit.site.kit import Array, Roof
from pvkit.site.obstacles import Obstacle
from pvkit.site.partial import readable
from pvkit.site.survey import Site
from pvkit.site.wording import labels, shown
from pvkit.tables import constant, parts


def _names(entries: Sequence[Roof | Array | Obstacle | KeepClear]) -> list[str | None]:
    return [getattr(entry, "name", None) for entry in entries]


def name_faults(site: Site) -> Iterator[Fault]:
    """Refuse two roofs, arrays, obstacles or keep-clear zones of one name."""
    for table in ("roof", "array", "obstacle", "keep_clear"):
        names = [name for name in _names(getattr(site, table, ())) if name is not None]
        for name in sorted({n for n in names if names.count(n) > 1}):
            yield Fault(
                table,
                f"found the name {shown(name)} {names.count(name)} times",
                "each name once",
                f"give every {table} a name of its own",
            )


def roof_faults(site: Site) -> Iterator[Fault]:
    """Refuse slopes and sizes that contradict the kind of roof."""
    for label, roof in zip(labels(_names(site.roof)), site.roof, strict=True):
        yield from readable(_slope(roof, f"roof.{label}"))
        yield from readable(_size(roof, f"roof.{label}"))


def _slope(roof: Roof, key: str) -> Iterator[Fault]:
    flat_limit = constant("flat_roof.slope_limit_deg")
    if roof.kind == "pitched" and roof.tilt_deg == 0:
        given = "tilt_deg" in roof.model_fields_set
        yield Fault(
            f"{key}.tilt_deg",
            "found 0 on a pitched roof" if given else "this key is missing",
            "a number above 0 to 90 deg on a pitched roof",
            'give the slope from level, or kind = "flat"',
        )
    if roof.kind == "flat" and roof.tilt_deg > flat_limit:
        yield Fault(
            f"{key}.tilt_deg",
            f"found {roof.tilt_deg:g} on a flat roof",
            f"0 to {flat_limit:g} deg on a flat roof",
            "give the roof's own fall, or kind = \"pitched\"; the modules' tilt goes in the array",
        )


def _size(roof: Roof, key: str) -> Iterator[Fault]:
    if roof.outline_m is None:
        lengths = {"width_m": roof.width_m, "depth_m": roof.depth_m}
        missing = [name for name, length in lengths.items() if length is None]
        if missing:
            yield Fault(
                key,
                f"found no {' and no '.join(missing)}",
                "width_m and depth_m, or outline_m",
                "measure the roof and add both lengths in metres",
            )
    elif roof_area_m2(roof) < 1:
        yield Fault(
            f"{key}.outline_m",
            f"found {len(roof.outline_m)} corners round {roof_area_m2(roof):.1f} m²",
            "three or more corners round at least 1 m²",
            "list the corners in order, in metres, like [[0,0],[9,0],[9,5.5]]",
        )


def roof_area_m2(roof: Roof) -> float:
    """Give a roof's area [m²], along the slope, by the surveyor's formula (shoelace)."""
    if roof.outline_m is None:
        return (roof.width_m or 0.0) * (roof.depth_m or 0.0)
    points = roof.outline_m
    turned = points[1:] + points[:1]
    return abs(sum(x * b - a * y for (x, y), (a, b) in zip(points, turned, strict=True))) / 2


def array_faults(site: Site) -> Iterator[Fault]:
    """Refuse arrays whose part, count, roof or mounting cannot be."""
    roofs = getattr(site, "roof", ())
    for label, array in zip(labels(_names(site.array)), site.array, strict=True):
        key = f"array.{label}"
        yield from readable(_module(array, key))
        yield from readable(_count(array, key))
        yield from readable(_strings(array, key))
        yield from readable(_roof(array, roofs, key))


def _module(array: Array, key: str) -> Iterator[Fault]:
    known = list(parts("modules"))
    if (array.module is None) == (array.datasheet is None):
        yield Fault(
            key,
            "found both module and datasheet" if array.module else "found no module",
            "module = a part name, or [array.datasheet]",
            "give one of the two",
        )
    elif array.module is not None and array.module not in known:
        yield Fault(
            f"{key}.module",
            f"found {shown(array.module)}",
            ", ".join(known),
            nearest(array.module, known),
        )


def stated_count(array: Array) -> int | None:
    """Give the number of modules an array says it has, if it says so."""
    if array.positions_m is not None:
        return len(array.positions_m)
    if array.count is not None:
        return array.count
    return array.rows * array.columns if array.rows and array.columns else None


def _count(array: Array, key: str) -> Iterator[Fault]:
    total = stated_count(array)
    if array.positions_m is not None:
        yield from _positions(array, key)
    elif total is None:
        yield Fault(
            f"{key}.count",
            "this key is missing",
            "count, or rows and columns",
            "say how many modules there are",
        )
    elif array.rows and array.columns and total != array.rows * array.columns:
        yield Fault(
            f"{key}.count",
            f"found {total} beside {array.rows} × {array.columns}",
            "rows × columns, or count alone",
            "make the two agree",
        )


def _positions(array: Array, key: str) -> Iterator[Fault]:
    """Refuse what says again, or otherwise, where the modules go."""
    placed = len(array.positions_m or ())
    if array.count not in (None, placed):
        yield Fault(
            f"{key}.count",
            f"found {array.count} beside {placed} positions",
            f"{placed}, or positions_m alone",
            "make the two agree",
        )
    for name in ("rows", "columns", "x_m", "y_m"):
        if getattr(array, name) is not None:
            yield Fault(
                f"{key}.{name}",
                f"found {getattr(array, name):g} beside positions_m",
                "one of the two",
                f"delete {name}, or positions_m",
            )


def _strings(array: Array, key: str) -> Iterator[Fault]:
    total = stated_count(array)
    if total is not None and total % array.strings:
        yield Fault(
            f"{key}.strings",
            f"found {array.strings} strings of {total} modules",
            "strings of equal length",
            "change the count or the strings",
        )


def _roof(array: Array, roofs: Sequence[Roof], key: str) -> Iterator[Fault]:
    known = list(dict.fromkeys(name for name in _names(roofs) if name is not None))
    if array.roof not in known:
        if None not in _names(roofs) and known:
            yield Fault(
                f"{key}.roof",
                f"found {shown(array.roof)}",
                ", ".join(known),
                nearest(array.roof, known),
            )
        return
    roof = next(roof for roof in roofs if getattr(roof, "name", None) == array.roof)
    yield from readable(_mounting(array, roof, key))
    yield from readable(_plane(array, roof, key))


def _mounting(array: Array, roof: Roof, key: str) -> Iterator[Fault]:
    wrong = {"pitched": "ballasted", "flat": "in-roof"}[roof.kind]
    if array.mounting == wrong:
        allowed = "ballasted or on-roof" if roof.kind == "flat" else "on-roof or in-roof"
        yield Fault(
            f"{key}.mounting",
            f"found '{wrong}' on the {roof.kind} roof {shown(roof.name)}",
            f"{allowed} on a {roof.kind} roof",
            "change the mounting or the roof",
        )


def _plane(array: Array, roof: Roof, key: str) -> Iterator[Fault]:
    if roof.kind == "flat":
        return
    for name in ("tilt_deg", "azimuth_deg"):
        own, roofs = getattr(array, name), getattr(roof, name)
        if own is not None and own != roofs:
            yield Fault(
                f"{key}.{name}",
                f"found {own:g} on a pitched roof of {roofs:g}",
                "the roof's own, so leave it out",
                f"delete this key, or change {name} of the roof {shown(roof.name)}",
            )
