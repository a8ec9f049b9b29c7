"""The controls of the scenario workbook: what each changes, its range and surveyed value."""

from collections.abc import Iterator, Mapping
from typing import Any

from pvkit.present.control import GROUPS, Control, Group
from pvkit.present.home_controls import (
    day_spent,
    export_price,
    import_price,
    price_counts,
    yearly_use,
)
from pvkit.site.kit import Array
from pvkit.site.layout_checks import most_modules
from pvkit.site.survey import Site

__all__ = ["GROUPS", "Control", "Group", "changes", "controls"]


def controls(site: Site) -> tuple[Control, ...]:
    """List the controls that make sense for a site: none that would move nothing.

    Parameters
    ----------
    site : the survey; each control starts at its surveyed value

    Returns
    -------
    roof controls of every array, then the household's, then the years'
    """
    roof = tuple(control for array in site.array for control in _roof(site, array))
    return (*roof, *_household(site), *_years(site))


def changes(values: Mapping[Control, Any], site: Site) -> dict[str, Any]:
    """Give the named changes of a site that its controls ask for.

    Parameters
    ----------
    values : where each control stands
    site : the survey

    Returns
    -------
    dotted key to new value, of the moved controls only; panels beyond the quotation (or short
    of it) come with their price as a line of their own
    """
    moved = {control: value for control, value in values.items() if control.moved(value)}
    found = {control.key: control.site_value(value) for control, value in moved.items()}
    for control in moved:
        array = next((a for a in site.array if a.name == control.array), None)
        if control.key.endswith(".count") and array is not None:
            placing = ("rows", "columns", "positions_m")
            told = [name for name in placing if getattr(array, name) is not None]
            found |= {f"array.{array.name}.{name}": None for name in told}
    extra = list(_extra_items(values, site))
    if extra and site.costs.items is not None:
        quoted = [item.model_dump() for item in site.costs.items]
        found["costs.items"] = [*quoted, *extra]
    return found


def changed_because(control: Control, was: Any, now: Any) -> str:
    """Say why the answer moves when a control goes from one value to another.

    Parameters
    ----------
    control : which one
    was : its value before; None for the surveyed one
    now : its value now
    """
    before = control.surveyed if was is None else was
    if isinstance(now, bool) or not isinstance(now, int | float):
        return control.why_more if now is not False else control.why_less
    return control.why_more if now > before else control.why_less


def _extra_items(values: Mapping[Control, Any], site: Site) -> Iterator[dict[str, Any]]:
    """Price what a case has beyond the quotation, or less: panels and optimisers."""
    stands = {control.key: value for control, value in values.items()}
    panels = optimisers = 0
    for array in site.array:
        count = stands.get(f"array.{array.name}.count", site.count(array))
        fitted = stands.get(f"array.{array.name}.optimisers", array.optimisers)
        panels += count - site.count(array)
        optimisers += count * fitted - site.count(array) * array.optimisers
    for number, name, each in (
        (panels, "panels", site.costs.gbp_per_panel),
        (optimisers, "optimisers", site.costs.optimiser_gbp_each),
    ):
        if number:
            word = "more" if number > 0 else "fewer"
            yield {"name": f"{abs(number)} {name} {word} than quoted", "gbp": number * each}


def _roof(site: Site, array: Array) -> Iterator[Control]:
    roof = site.roof_of(array)
    flat = roof.kind == "flat"
    owner = f"array.{array.name}" if flat else f"roof.{roof.name}"
    yield Control(
        f"{owner}.tilt_deg", "Tilt (°)", "The roof", site.tilt_deg(array),
        0.0 if flat else 1.0, 45.0 if flat else 75.0, 1.0, array=array.name,
        why_more="a steeper plane catches more of the low winter sun, less of the high summer sun",
        why_less="a flatter plane catches more of the high summer sun, less of the low winter sun",
    )  # fmt: skip
    yield Control(
        f"{owner}.azimuth_deg", "Direction (° from north)", "The roof", site.azimuth_deg(array),
        0.0, 360.0, 5.0, array=array.name,
        why_more="it faces the sun at another time of day; south is 180",
        why_less="it faces the sun at another time of day; south is 180",
    )  # fmt: skip
    yield Control(
        f"array.{array.name}.count", "Panels", "The roof", site.count(array),
        1, max(site.count(array), most_modules(site, array)), 1, array=array.name,
        why_more="more panels make more, but more of it is sold than used",
        why_less="fewer panels make less, but the home uses a larger share",
    )  # fmt: skip
    yield Control(
        f"array.{array.name}.optimisers", "Optimiser on each panel", "The roof", array.optimisers,
        array=array.name,
        why_more="each panel works at its own best, for a small share of all it makes",
        why_less="the panels of a string share one current, and nothing is lost in optimisers",
    )  # fmt: skip


def _household(site: Site) -> Iterator[Control]:
    yield from yearly_use(site)
    yield day_spent(site)
    if site.hot_water is not None:
        yield Control(
            "hot_water.diverter", "Spare solar heats water", "The household",
            site.hot_water.diverter,
            why_more="spare solar heats water, so the boiler burns less gas and less is sold",
            why_less="spare solar is sold and the boiler heats the water",
        )  # fmt: skip


def _years(site: Site) -> Iterator[Control]:
    tariff, finance = site.tariff, site.finance
    if price_counts(tariff, "import"):
        yield import_price(tariff)
    if price_counts(tariff, "export"):
        yield export_price(tariff)
    if len(finance.output_by_year or (1.0,)) < finance.years:
        yield Control(
            "finance.degradation_per_year", "Ageing (%/year)", "The years ahead",
            round(finance.degradation_per_year * 100, 6), 0.0, 2.0, 0.1, scale=0.01,
            why_more="the panels lose more each year", why_less="the panels lose less each year",
        )  # fmt: skip
    yield Control(
        "finance.discount_rate", "Discount rate (%/year)", "The years ahead",
        round(finance.discount_rate * 100, 6), 0.0, 10.0, 0.5, scale=0.01,
        why_more="later savings count for less", why_less="later savings count for more",
    )  # fmt: skip
