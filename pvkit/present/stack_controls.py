"""The causes of losses under a control each: dirt, mounting, cables, inverter, skyline."""

from collections.abc import Iterator

from pvkit.electrical.glass import soiling_fraction
from pvkit.present.controls import Control
from pvkit.site.kit import Array
from pvkit.site.survey import Site
from pvkit.tables import parts

_HELD = {
    "flat": (("ballasted", "on a stand, open behind"), ("on-roof", "close above the roof")),
    "pitched": (("on-roof", "above the tiles"), ("in-roof", "in the roof, no air behind")),
}
_COPPER = (1.5, 2.5, 4.0, 6.0, 10.0)


def stack_controls(site: Site) -> tuple[Control, ...]:
    """List the causes that a site's losses hang on; those of panels for the first array."""
    return (*_panels(site, site.array[0]), *_cables(site))


def _panels(site: Site, array: Array) -> Iterator[Control]:
    dirt = soiling_fraction(site.losses, site.tilt_deg(array))
    yield Control(
        "losses.soiling_fraction", "Dirt (%)", "The roof", round(dirt * 100, 2), 0.0, 20.0, 0.5,
        scale=0.01,
    )  # fmt: skip
    yield Control(
        f"array.{array.name}.mounting", "Panels are held", "The roof", site.mounting(array),
        choices=_HELD[site.roof_of(array).kind], array=array.name,
    )  # fmt: skip
    yield Control(
        f"array.{array.name}.optimisers", "Optimiser on each panel", "The roof", array.optimisers,
        array=array.name,
    )  # fmt: skip
    if not array.optimisers:
        yield Control("losses.tracker_stuck", "Tracker stuck on a low hump", "The roof",
                      site.losses.tracker_stuck)  # fmt: skip


def _cables(site: Site) -> Iterator[Control]:
    cables = site.cables
    for key, name in (("dc", "D.c."), ("ac", "A.c.")):
        length, size = getattr(cables, f"{key}_length_m"), getattr(cables, f"{key}_mm2")
        yield Control(
            f"cables.{key}_length_m", f"{name} cable (m)", "The roof", length, 0.0,
            max(60.0, length), 1.0,
        )  # fmt: skip
        sizes = sorted({*_COPPER, size})
        yield Control(
            f"cables.{key}_mm2", f"{name} copper", "The roof", size,
            choices=tuple((mm2, f"{mm2:g} mm²") for mm2 in sizes),
        )  # fmt: skip
    if site.inverter.part is not None:
        names = tuple((name, f"{part['ac_w'] / 1000:g} kW") for name, part in
                      parts("inverters").items())  # fmt: skip
        yield Control("inverter.part", "Inverter", "The roof", site.inverter.part, choices=names)
