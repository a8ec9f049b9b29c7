"""The trade on a flat roof: closer rows and more tilt against more light for each module."""

from collections.abc import Iterator, Sequence
from typing import Any

import pandas as pd

from pvkit.electrical.array_power import array_power
from pvkit.electrical.inputs import ArrayInputs
from pvkit.electrical.usable_light import HALF_HOUR_KWH_PER_W
from pvkit.roof.fit import Layout, Part, lying_on, named_roof
from pvkit.roof.fit_search import largest_layout
from pvkit.roof.layout_light import LayoutLight, rated_kwh
from pvkit.roof.light import Light
from pvkit.roof.perez import sky_split
from pvkit.roof.rows import shading_limit_deg
from pvkit.roof.schemes import Choices, laid, room, schemes
from pvkit.site.packing import count_of
from pvkit.site.roof_checks import roof_area_m2
from pvkit.site.survey import Site
from pvkit.study.stages import Stages
from pvkit.study.study import Study
from pvkit.tables import constant

TILTS_DEG = (5.0, 10.0, 15.0)
NOON, ACCESS = "noon, shortest day", "a way between"


def layout_choices(
    study: Study,
    roof_name: str,
    tilts_deg: Sequence[float] = TILTS_DEG,
    facing_deg: float | None = None,
) -> pd.DataFrame:
    """Fill a flat roof in several ways and see what each makes.

    For every tilt: rows spaced for noon on the shortest day and for the two ends of the shading
    limit angles of practice, and pairs back to back; each the largest that fits within the margins.

    Parameters
    ----------
    study : of the site
    roof_name : a flat roof with an array on it, whose direction, module and mounting are taken; a
        slope has no rows to space and gives one row
    tilts_deg : tilts to look at
    facing_deg : the way the rows face, if another than the array; pairs look a quarter turn aside

    Returns
    -------
    one row a layout: ``arrangement, surface_tilt, spaced_for`` (what sets the pitch), ``sun_deg``
    (the elevation square to the rows above which none shades another), ``pitch_m, ground_cover,
    count, kwp``, and of a year with new modules ``dc_kwh`` (with the light that shade leaves, taken
    as even over the modules; before wiring, cables and inverter), ``kwh_per_kwp, kwh_per_m2`` (of
    the whole roof) and ``shade_percent`` (light lost to rows and obstacles near by)

    Raises
    ------
    InputError
        If there is no such roof, or no array on it.

    Examples
    --------
    >>> from pvkit import load_site
    >>> table = layout_choices(Study(load_site("bungalow_extension")), "top", [10.0])
    >>> list(table["arrangement"]), table["pitch_m"].round(2).tolist()[:3]
    (['rows', 'rows', 'rows', 'pairs'], [1.88, 1.85, 1.66])
    """
    named_roof(study.site, roof_name)
    stages = study.estimate().stages
    split = study.store.get("split", id(stages.sky), lambda: sky_split(stages.sky))
    light = LayoutLight(study.site, split)
    facing = study.site.azimuth_deg(lying_on(study.site, roof_name)[0])
    facing = facing if facing_deg is None else facing_deg
    layouts = _layouts(study.site, roof_name, tilts_deg, facing)
    rows = [{"spaced_for": why} | _row(layout, light, stages) for why, layout in layouts]
    order = ["arrangement", "surface_tilt", "spaced_for"]
    return pd.DataFrame(rows, columns=[*order, *(name for name in rows[0] if name not in order)])


def _layouts(
    site: Site, roof_name: str, tilts_deg: Sequence[float], azimuth: float
) -> Iterator[tuple[str, Layout]]:
    """Give the largest layout of every tilt and spacing that fits at all, with its spacing."""
    roof = named_roof(site, roof_name)
    practice = [constant(f"layout.shading_limit{end}_deg") for end in ("", "_high")]
    if roof.kind == "pitched":
        yield "the slope", largest_layout(site, roof_name)
        return
    for tilt in tilts_deg:
        ways = [
            (NOON, Choices(("rows",), (tilt,), (azimuth,))),
            *((f"{sun:g}°", Choices(("rows",), (tilt,), (azimuth,), (), sun)) for sun in practice),
            (ACCESS, Choices(("pairs",), (tilt,), (azimuth - 90.0,))),
        ]
        for why, choices in ways:
            tried = [(scheme, room(site, roof, scheme)) for scheme in schemes(site, roof, choices)]
            best, rows = max(tried, key=lambda pair: pair[0].each * count_of(pair[1]))
            if rows:
                yield why, laid(site, roof, best, rows)


def _row(layout: Layout, light: LayoutLight, stages: Stages) -> dict[str, Any]:
    seen = [light.part_light(layout, part) for part in layout.parts]
    pairs = zip(layout.parts, seen, strict=True)
    kwh = sum(_dc_kwh(layout, part, each, stages) for part, each in pairs)
    lit = sum(rated_kwh(layout, part, each) for part, each in zip(layout.parts, seen, strict=True))
    roof = named_roof(layout.site, layout.roof)
    return {
        "arrangement": layout.arrangement,
        "surface_tilt": layout.parts[0].surface_tilt,
        "sun_deg": _sun_deg(layout),
        "pitch_m": layout.pitch_m,
        "ground_cover": layout.ground_cover,
        "count": layout.count,
        "kwp": layout.kwp,
        "dc_kwh": kwh,
        "kwh_per_kwp": kwh / layout.kwp,
        "kwh_per_m2": kwh / roof_area_m2(roof),
        "shade_percent": 100.0 * (1.0 - lit / light.open_kwh(layout)),
    }


def _sun_deg(layout: Layout) -> float:
    block = layout.parts[0].block
    return shading_limit_deg(block.up_m, block.lean_deg, layout.pitch_m)


def _dc_kwh(layout: Layout, part: Part, light: Light, stages: Stages) -> float:
    """Give a year's energy of one part, its modules evenly lit."""
    site = layout.site
    template = lying_on(site, layout.roof)[0]
    inputs = ArrayInputs(
        name=part.name,
        light=light,
        module=layout.sheet,
        count=sum(part.block.rows),
        strings=1,
        mounting=site.mounting(template),
        optimisers=True,
        surface_tilt=part.surface_tilt,
        height_m=site.roof_of(template).height_m,
        terrain=site.site.terrain,
    )
    power = array_power(stages.sky, inputs, stages.arrays.wiring)
    return float(power.even.watts.sum()) * HALF_HOUR_KWH_PER_W
