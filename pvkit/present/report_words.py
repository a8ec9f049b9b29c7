"""The sentences of the customer's report."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pvkit.ledger.outlay import replacements
from pvkit.present.price_words import price_words
from pvkit.present.rounding import bearing, kwh, percent, pounds, rate, spell, years
from pvkit.site.survey import Site
from pvkit.study.estimate import Estimate

_DAY = {
    "out": "nobody in on working days",
    "half": "somebody in for half of the day",
    "in": "somebody in all day",
}
_SURROUNDINGS = {"sea": "by the sea", "country": "open country", "town": "in a town"}


@dataclass(frozen=True, slots=True)
class Fact:
    """One line of a list: what, how much, and what it means or where it is from."""

    label: str
    figure: str
    meaning: str


def reading(estimate: Estimate) -> str:
    """Say the whole answer in one sentence."""
    panels = sum(estimate.site.count(array) for array in estimate.site.array)
    return (
        f"In an ordinary year {panels} panel{'' if panels == 1 else 's'} on this roof would make "
        f"{kwh(estimate.ac_kwh)}, of which the home would use "
        f"{percent(estimate.used_at_home_fraction)}; at today's prices that saves "
        f"{pounds(estimate.first_year_saving_gbp)} in the first year, and the price of "
        f"{pounds(estimate.capital_gbp)} {_earned_back(estimate)}."
    )


def _earned_back(estimate: Estimate) -> str:
    back, span = estimate.simple_payback_years, estimate.site.finance.years
    if back is None:
        return f"is not earned back within {spell(span)}"
    text = f"is earned back after {years(back, span)}"
    if estimate.discounted_payback_years is None:
        text += ", though not if later pounds count for less"
    return text


def survey_facts(estimate: Estimate) -> tuple[Fact, ...]:
    """Say what the estimate took for place, home, prices and costs, and who said so.

    Parameters
    ----------
    estimate : the answer for one site

    Returns
    -------
    what, its value, and "survey", "partly survey" or "stand-in"
    """
    site = estimate.site
    place, home, sheet, cables = site.site, site.home, site.inverter_sheet(), site.cables
    return (
        Fact("Place", f"{_angle(place.latitude, 'NS')}, {_angle(place.longitude, 'EW')}, "
             f"{place.altitude_m:g} m above the sea, {_SURROUNDINGS[place.terrain]}",
             _origin(place, "altitude_m", "terrain")),
        Fact("Light", estimate.stages.sky.label, _origin(site.weather, "source")),
        Fact("Skyline", *_skyline(site)),
        *_standing(site),
        *_panels(site),
        Fact("Inverter", f"{sheet.ac_w:,.0f} W a.c. ({site.inverter.part or 'own data sheet'})",
             "survey"),
        Fact("Cables", f"{cables.dc_length_m:g} m d.c. of {cables.dc_mm2:g} mm², "
             f"{cables.ac_length_m:g} m a.c. of {cables.ac_mm2:g} mm²",
             _origin(cables, "dc_length_m", "dc_mm2", "ac_length_m", "ac_mm2")),
        Fact("Electricity used", f"{kwh(estimate.demand_kwh)} a year, "
             f"{_DAY[home.day] if home.meter_file is None else 'read by the smart meter'}",
             _origin(home, "yearly_kwh", "day") if home.meter_file is None else "survey"),
        Fact("Hot water", *_hot_water(site)),
        *_devices(site),
        Fact("Prices today", price_words(site.tariff, gas=site.hot_water is not None),
             _origin(site.tariff, *_price_keys(site))),
        Fact("Prices later", *_changes(site)),
        Fact("What it costs", *_price(estimate)),
        Fact("Costs later", *_later(site)),
    )  # fmt: skip


def _angle(degrees: float, letters: str) -> str:
    return f"{abs(degrees):g}° {letters[degrees < 0]}"


def _origin(section: Any, *keys: str) -> str:
    given = [key in section.model_fields_set for key in keys]
    if all(given):
        return "survey"
    return "partly survey" if any(given) else "stand-in"


def _skyline(site: Site) -> tuple[str, str]:
    if site.horizon is None:
        return "taken as clear; nothing was measured", "stand-in"
    highest = max(site.horizon.elevation_deg)
    return (
        f"measured at {len(site.horizon.bearing_deg)} bearings, up to {highest:g}° high",
        "survey",
    )


def _standing(site: Site) -> tuple[Fact, ...]:
    """Name what was measured to stand in the light, if anything was."""
    if not site.obstacle:
        return ()
    things = ", ".join(f"{thing.name} ({thing.height_m:g} m high)" for thing in site.obstacle)
    return (Fact("In the light", things, "survey"),)


def _panels(site: Site) -> Iterator[Fact]:
    """Say of each array what it is, how it lies and how it is held."""
    for array in site.array:
        optimisers = "an optimiser on each" if array.optimisers else "no optimisers"
        yield Fact(
            f"Array {array.name}",
            f"{site.count(array)} × {site.module(array).pmax_w:g} W on {array.roof}, tilt "
            f"{site.tilt_deg(array):g}°, facing {bearing(site.azimuth_deg(array))}, "
            f"{site.mounting(array)}, {optimisers}",
            "survey",
        )


def _hot_water(site: Site) -> tuple[str, str]:
    water, count = site.hot_water, site.home.occupants
    if water is None:
        return "no cylinder in this estimate", "survey"
    elements = " and ".join(f"{kw:g} kW" for kw in water.immersion_kw)
    diverter = "with" if water.diverter else "without"
    text = f"{water.cylinder_litres:g} litre cylinder, {elements}, {diverter} a diverter, "
    text += "1 person" if count == 1 else f"{count:g} people"
    return text, _origin(water, "cylinder_litres", "immersion_kw", "diverter")


def _price_keys(site: Site) -> tuple[str, ...]:
    gas = ("gas_gbp_per_kwh",) if site.hot_water is not None else ()
    files = [site.tariff.import_file, site.tariff.export_file]
    both = zip(("import", "export"), files, strict=True)
    return (*(f"{side}_{'gbp_per_kwh' if file is None else 'file'}" for side, file in both), *gas)


def _devices(site: Site) -> Iterator[Fact]:
    """Name battery, car and export limit, as far as the home has them."""
    battery, car, limit = site.battery, site.car, site.supply.export_limit_kw
    if battery is not None and battery.capacity_kwh > 0:
        text = f"{battery.capacity_kwh:g} kWh, {battery.power_kw:g} kW, on the "
        text += f"{'a.c.' if battery.coupling == 'ac' else 'd.c.'} side"
        yield Fact("Battery", text, _origin(battery, "capacity_kwh", "power_kw", "coupling"))
    if car is not None:
        text = f"{car.yearly_miles:,.0f} miles a year, at home on {car.days_at_home} days of a week"
        text += f", charged at {car.charger_kw:g} kW"
        yield Fact("Electric car", text, _origin(car, "yearly_miles", "days_at_home", "charger_kw"))
    if limit is not None:
        yield Fact("Export limit", f"{limit:g} kW, held by a device", "survey")


def _changes(site: Site) -> tuple[str, str]:
    """Say how prices are taken to move."""
    prices, parts, keys = site.prices, [], []
    names = [("bought", "import"), ("sold", "export")]
    names += [("gas", "gas")] if site.hot_water is not None else []
    for word, name in names:
        if getattr(prices, f"{name}_index_by_year") is not None:
            parts.append(f"{word} by a list of years")
            continue
        keys.append(f"{name}_change_per_year")
        change = getattr(site.tariff, f"{name}_change_per_year")
        if change != 0:
            parts.append(f"{word} {rate(change)}")
    terms = "above inflation" if prices.terms == "real" else "inflation in it"
    text = f"{', '.join(parts)} ({terms})" if parts else "held at today's, inflation left out"
    return text, _origin(site.tariff, *keys) if keys else "survey"


def _price(estimate: Estimate) -> tuple[str, str]:
    lines = ", ".join(f"{line.name} {pounds(line.gbp)}" for line in estimate.price_lines)
    if estimate.site.costs.items is None:
        return f"{lines}; no quotation yet", "stand-in"
    return f"{lines}; together {pounds(estimate.capital_gbp)}", "survey"


def _later(site: Site) -> tuple[str, str]:
    costs, span = site.costs, site.finance.years
    parts = [f"visits {pounds(costs.visit_gbp_per_year)} a year"]
    if costs.insurance_gbp_per_year > 0:
        parts.append(f"insurance {pounds(costs.insurance_gbp_per_year)} a year")
    if costs.cleaning_gbp > 0:
        every = spell(costs.cleaning_every_years)
        parts.append(f"cleaning {pounds(costs.cleaning_gbp)} every {every}")
    bought = replacements(costs, span, site.battery)
    parts += [f"{part.name} {pounds(part.gbp)} in year {part.year}" for part in bought]
    return "; ".join(parts), _origin(costs, "visit_gbp_per_year", "replacements")
