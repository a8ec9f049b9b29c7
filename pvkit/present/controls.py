"""The controls of the scenario workbook: what each changes, its range and surveyed value."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from pvkit.site.kit import Array
from pvkit.site.layout_checks import most_modules
from pvkit.site.survey import Site

Group = Literal["The roof", "The household", "The years ahead"]
GROUPS: tuple[Group, ...] = ("The roof", "The household", "The years ahead")
DAYS = {"out": "out all day", "half": "half the day at home", "in": "home all day"}


@dataclass(frozen=True, slots=True)
class Control:
    """One control.

    Parameters
    ----------
    key : dotted key of the site that it changes
    label : what it says, with its unit
    group : who decides
    surveyed : the value in the site file, in the control's own unit
    low, high, step : range of a slider; all 0 for a choice or a tick
    choices : key to words, for a choice
    scale : a site value is the control's value times this
    array : the array it belongs to, "" for the whole site
    why_more, why_less : why the answer moves when the value rises or falls
    """

    key: str
    label: str
    group: Group
    surveyed: Any
    low: float = 0.0
    high: float = 0.0
    step: float = 0.0
    choices: tuple[tuple[str, str], ...] = ()
    scale: float = 1.0
    array: str = ""
    why_more: str = ""
    why_less: str = ""

    def site_value(self, value: Any) -> Any:
        """Turn the control's value into the site's."""
        if isinstance(self.surveyed, bool) or self.choices:
            return value
        if isinstance(self.surveyed, int):
            return int(value)
        return round(float(value) * self.scale, 9)

    def say(self, value: Any) -> str:
        """Say a value of this control in words, for tooltips and sentences.

        Examples
        --------
        >>> Control("k", "Tilt (°)", "The roof", 10.0, 0, 60, 1).say(12.0)
        'tilt 12°'
        """
        name = self.label.split(" (")[0]
        return f"{name[0].lower()}{name[1:]} {self.figure(value)}"

    def figure(self, value: Any) -> str:
        """Say a value alone, with its unit."""
        if isinstance(self.surveyed, bool):
            return "yes" if value else "no"
        if self.choices:
            return dict(self.choices)[value]
        unit = self.label.partition("(")[2].rstrip(")").removesuffix(" from north")
        gap = "" if unit.startswith("°") else " "
        return f"{value:,.6g}{gap}{unit}".rstrip()

    def moved(self, value: Any) -> bool:
        """Whether a value is another than the surveyed one, beyond a slider's own rounding."""
        if isinstance(value, bool | str):
            return bool(value != self.surveyed)
        return bool(abs(value - self.surveyed) > self.step / 1000)


def controls(site: Site) -> tuple[Control, ...]:
    """List the controls that make sense for a site.

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
        if control.key.endswith(".count") and array is not None and array.rows is not None:
            found |= {f"array.{array.name}.rows": None, f"array.{array.name}.columns": None}
    extra = list(_extra_items(values, site))
    if extra and site.costs.items is not None:
        quoted = [item.model_dump() for item in site.costs.items]
        found["costs.items"] = [*quoted, *extra]
    return found


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
    yield Control(
        "home.yearly_kwh", "Yearly use (kWh)", "The household", site.home.yearly_kwh,
        500.0, max(10000.0, site.home.yearly_kwh), 100.0,
        why_more="a larger use meets more of the solar as it is made",
        why_less="a smaller use leaves more of the solar to sell",
    )  # fmt: skip
    yield Control(
        "home.day", "Day spent", "The household", site.home.day, choices=tuple(DAYS.items()),
        why_more="what is used while the sun shines need not be bought",
        why_less="what is used while the sun shines need not be bought",
    )  # fmt: skip
    if site.hot_water is not None:
        yield Control(
            "hot_water.diverter", "Spare solar heats water", "The household",
            site.hot_water.diverter,
            why_more="spare solar heats water, so the boiler burns less gas and less is sold",
            why_less="spare solar is sold and the boiler heats the water",
        )  # fmt: skip


def _years(site: Site) -> Iterator[Control]:
    tariff, finance = site.tariff, site.finance
    price = "Day price (p/kWh)" if tariff.import_bands else "Import price (p/kWh)"
    yield Control(
        "tariff.import_gbp_per_kwh", price, "The years ahead",
        round(tariff.import_gbp_per_kwh * 100, 6), 5.0, 60.0, 0.5, scale=0.01,
        why_more="each kWh that need not be bought is worth more",
        why_less="each kWh that need not be bought is worth less",
    )  # fmt: skip
    yield Control(
        "tariff.export_gbp_per_kwh", "Export price (p/kWh)", "The years ahead",
        round(tariff.export_gbp_per_kwh * 100, 6), 0.0, 30.0, 0.5, scale=0.01,
        why_more="each kWh sold brings more", why_less="each kWh sold brings less",
    )  # fmt: skip
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
