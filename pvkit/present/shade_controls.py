"""The controls of the shade workbook: what stands on the roof, how modules lie and are wired."""

from collections.abc import Iterator

from pvkit.present.controls import Control
from pvkit.roof.geometry import geometry
from pvkit.site.kit import Array, Roof
from pvkit.site.obstacles import Box, Cylinder, Tree, Wall
from pvkit.site.parts import module_sheet
from pvkit.site.plan import roof_box
from pvkit.site.survey import Site
from pvkit.tables import parts

_TURN = "the shadow falls at another time of day and on other panels"
_HIGHER = "a higher obstacle throws a longer shadow"
_LOWER = "a lower obstacle throws a shorter shadow"


def shade_controls(site: Site) -> tuple[Control, ...]:
    """List what the shade workbook lets one move.

    Parameters
    ----------
    site : the survey; each control starts at its surveyed value

    Returns
    -------
    the obstacles' controls, then those of the first array and its roof
    """
    array = site.array[0]
    roof = site.roof_of(array)
    return (*_obstacles(site, roof), *_facing(site, array, roof), *_wiring(site, array))


def _obstacles(site: Site, roof: Roof) -> Iterator[Control]:
    left, right, low, high = roof_box(roof)
    for thing in site.obstacle:
        name, key = thing.name.capitalize(), f"obstacle.{thing.name}"
        if isinstance(thing, Box | Cylinder):
            wide, deep = _size(thing)
            yield Control(f"{key}.x_m", f"{name}: along (m)", "The roof", thing.x_m,
                          left, right - wide, 0.1, why_more=_TURN, why_less=_TURN)  # fmt: skip
            yield Control(f"{key}.y_m", f"{name}: up (m)", "The roof", thing.y_m,
                          low, high - deep, 0.1, why_more=_TURN, why_less=_TURN)  # fmt: skip
        if isinstance(thing, Box | Cylinder | Wall | Tree):
            tallest = 25.0 if isinstance(thing, Wall | Tree) else 4.0
            yield Control(f"{key}.height_m", f"{name}: height (m)", "The roof", thing.height_m,
                          _least(thing), max(tallest, thing.height_m), 0.1,
                          why_more=_HIGHER, why_less=_LOWER)  # fmt: skip


def _size(thing: Box | Cylinder) -> tuple[float, float]:
    if isinstance(thing, Box):
        return thing.width_m, thing.depth_m
    return thing.diameter_m, thing.diameter_m


def _least(thing: Box | Cylinder | Wall | Tree) -> float:
    return thing.trunk_m + 0.5 if isinstance(thing, Tree) else 0.1


def _facing(site: Site, array: Array, roof: Roof) -> Iterator[Control]:
    flat = roof.kind == "flat"
    key = f"array.{array.name}" if flat else f"roof.{roof.name}"
    word = "Array faces" if flat else "Roof faces"
    yield Control(
        f"{key}.azimuth_deg", f"{word} (°)", "The roof", site.azimuth_deg(array), 0.0, 360.0, 5.0,
        array=array.name, why_more=_TURN, why_less=_TURN,
    )  # fmt: skip


def _wiring(site: Site, array: Array) -> Iterator[Control]:
    key = f"array.{array.name}"
    kinds = {True: "half-cut", False: "plain"}
    if array.module is not None:
        names = [(name, f"{kinds[module_sheet(name).half_cut]} cells, {name[-3:]} W")
                 for name in parts("modules")]  # fmt: skip
        yield Control(
            f"{key}.module", "Panels", "The roof", array.module, choices=tuple(names),
            array=array.name, why_more="half-cut panels lose less to a shadow in one half of them",
        )  # fmt: skip
    lying = (("portrait", "upright"), ("landscape", "on their side"))
    yield Control(
        f"{key}.orientation", "Panels lie", "The roof", geometry(site, array).block.orientation,
        choices=lying,
        array=array.name, why_more="a shadow's edge crosses other runs of cells",
    )  # fmt: skip
    yield Control(
        f"{key}.optimisers", "Optimiser on each panel", "The roof", array.optimisers,
        array=array.name,
        why_more="each panel works at its own best, for a share of all it makes",
        why_less="the string works at one current for all its panels",
    )  # fmt: skip
