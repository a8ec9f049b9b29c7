"""Checks of what is kept clear: its roof, its place on it, one form of outline."""

from collections.abc import Iterator, Sequence

from pvkit.errors import Fault
from pvkit.site.faults import nearest
from pvkit.site.keep_clear import KeepClear
from pvkit.site.kit import Roof
from pvkit.site.partial import readable
from pvkit.site.plan import roof_box
from pvkit.site.survey import Site
from pvkit.site.usable import zone_outline
from pvkit.site.wording import labels, shown

_SIDES = ("x_m", "y_m", "width_m", "depth_m")


def keep_clear_faults(site: Site) -> Iterator[Fault]:
    """Refuse zones of an unknown roof, off their roof, or with no place or two."""
    roofs = getattr(site, "roof", ())
    names = [getattr(zone, "name", None) for zone in site.keep_clear]
    for label, zone in zip(labels(names), site.keep_clear, strict=True):
        key = f"keep_clear.{label}"
        yield from readable(_form(zone, key))
        yield from readable(_roof(zone, roofs, key))


def _form(zone: KeepClear, key: str) -> Iterator[Fault]:
    given = [name for name in _SIDES if getattr(zone, name) is not None]
    missing = [name for name in _SIDES if name not in given]
    wanted = "outline_m, or x_m, y_m, width_m and depth_m"
    if zone.outline_m is not None and given:
        found = f"found outline_m and {' and '.join(given)}"
        yield Fault(key, found, wanted, "give one of the two forms")
    if zone.outline_m is None and missing:
        found = f"found no {' and no '.join(missing)}"
        yield Fault(key, found, wanted, "measure it along the roof's width and up its slope")


def _roof(zone: KeepClear, roofs: Sequence[Roof], key: str) -> Iterator[Fault]:
    names = [getattr(roof, "name", None) for roof in roofs]
    known = list(dict.fromkeys(name for name in names if name is not None))
    if zone.roof not in known:
        if known and None not in names:
            yield Fault(
                f"{key}.roof",
                f"found {shown(zone.roof)}",
                ", ".join(known),
                nearest(zone.roof, known),
            )
        return
    if any(getattr(zone, name) is None for name in _SIDES) and zone.outline_m is None:
        return
    left, right, low, high = roof_box(next(roof for roof in roofs if roof.name == zone.roof))
    xs, ys = zip(*zone_outline(zone), strict=True)
    if min(right - left, high - low) <= 0:
        return
    if max(xs) <= left or min(xs) >= right or max(ys) <= low or min(ys) >= high:
        yield Fault(
            key,
            f"found it off its roof, from x {min(xs):g} m and y {min(ys):g} m",
            f"x of {left:g} to {right:g} m and y of {low:g} to {high:g} m",
            "measure from the roof's lower left corner seen from outside",
        )
