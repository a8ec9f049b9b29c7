"""Whether the modules asked for can be on their roofs at all, and how many could."""

from collections.abc import Iterator, Sequence

from pvkit.errors import Fault
from pvkit.site.dodging import most_that_fit
from pvkit.site.kit import Array, Roof
from pvkit.site.partial import readable
from pvkit.site.parts import module_sheet
from pvkit.site.roof_checks import roof_area_m2, stated_count
from pvkit.site.survey import Site
from pvkit.site.usable import kept_clear
from pvkit.site.wording import labels
from pvkit.tables import parts


def fit_faults(site: Site) -> Iterator[Fault]:
    """Refuse more module area than roof; where each module goes is the layout's business."""
    names = [getattr(roof, "name", None) for roof in site.roof]
    for label, roof in zip(labels(names), site.roof, strict=True):
        yield from readable(_fit(roof, site, f"roof.{label}"))


def _fit(roof: Roof, site: Site, key: str) -> Iterator[Fault]:
    known = parts("modules")
    lying = [array for array in site.array if array.roof == roof.name]
    number, needed_m2 = 0, 0.0
    for array in lying:
        if array.datasheet is None and array.module not in known:
            return
        sheet = array.datasheet or module_sheet(array.module or "")
        total = stated_count(array) or 0
        number, needed_m2 = number + total, needed_m2 + total * sheet.length_m * sheet.width_m
    area_m2 = roof_area_m2(roof)
    if needed_m2 > area_m2 >= 1:
        yield Fault(
            key,
            f"found {number} modules of {needed_m2:.1f} m² on a roof of {area_m2:.1f} m²",
            f"at most {_most(roof, lying, site)}",
            "lower the count or check the roof's size in metres",
        )


def _most(roof: Roof, lying: Sequence[Array], site: Site) -> str:
    """Say how many would fit, each array by itself."""
    kept = kept_clear(site, roof)
    return " or ".join(
        f"{most_that_fit(roof, array, kept)} of the modules of '{array.name}' "
        f"({most_that_fit(roof, array, kept, margins=True)} with the usual margins)"
        for array in lying
    )
