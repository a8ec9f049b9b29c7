"""The sentences of the customer's report."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pvkit.present.report_sources import value_text
from pvkit.present.rounding import kilograms, kwh, pence, percent, pounds, rate, spell, years
from pvkit.site.money import Costs
from pvkit.site.survey import Site
from pvkit.study.estimate import Estimate
from pvkit.tables import default

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
        Fact("Inverter", f"{sheet.ac_w:,.0f} W a.c. ({site.inverter.part or 'own data sheet'})",
             "survey"),
        Fact("Cables", f"{cables.dc_length_m:g} m d.c. of {cables.dc_mm2:g} mm², "
             f"{cables.ac_length_m:g} m a.c. of {cables.ac_mm2:g} mm²",
             _origin(cables, "dc_length_m", "dc_mm2", "ac_length_m", "ac_mm2")),
        Fact("Electricity used", f"{kwh(home.yearly_kwh)} a year, {_DAY[home.day]}",
             _origin(home, "yearly_kwh", "day")),
        Fact("Hot water", *_hot_water(site)),
        Fact("Prices today", _prices(site), _origin(site.tariff, *_price_keys(site))),
        Fact("What it costs", *_price(estimate)),
        Fact("Costs later", *_later(site.costs)),
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


def _hot_water(site: Site) -> tuple[str, str]:
    water, count = site.hot_water, site.home.occupants
    if water is None:
        return "no cylinder in this estimate", "survey"
    elements = " and ".join(f"{kw:g} kW" for kw in water.immersion_kw)
    diverter = "with" if water.diverter else "without"
    text = f"{water.cylinder_litres:g} litre cylinder, {elements}, {diverter} a diverter, "
    text += "1 person" if count == 1 else f"{count:g} people"
    return text, _origin(water, "cylinder_litres", "immersion_kw", "diverter")


def _prices(site: Site) -> str:
    tariff = site.tariff
    bands = "".join(
        f", {band.name} {pence(band.gbp_per_kwh)} from {band.start} to {band.end}"
        for band in tariff.import_bands
    )
    text = f"bought {pence(tariff.import_gbp_per_kwh)}{bands}; sold "
    text += pence(tariff.export_gbp_per_kwh) if tariff.export_gbp_per_kwh > 0 else "for nothing"
    return text + (f"; gas {pence(tariff.gas_gbp_per_kwh)}" if site.hot_water is not None else "")


def _price_keys(site: Site) -> tuple[str, ...]:
    gas = ("gas_gbp_per_kwh",) if site.hot_water is not None else ()
    return ("import_gbp_per_kwh", "export_gbp_per_kwh", *gas)


def _price(estimate: Estimate) -> tuple[str, str]:
    items, whole = estimate.site.costs.items, pounds(estimate.capital_gbp)
    if items is None:
        return f"{whole}, the typical price of a system of this size; no quotation yet", "stand-in"
    return (
        f"{', '.join(f'{item.name} {pounds(item.gbp)}' for item in items)}; together {whole}",
        "survey",
    )


def _later(costs: Costs) -> tuple[str, str]:
    parts = costs.replacements
    text = f"visits {pounds(costs.visit_gbp_per_year)} a year"
    if parts is None:
        gbp, year = (default(f"costs.inverter_replacement_{what}") for what in ("gbp", "year"))
        text += f"; a new inverter {pounds(gbp)} in year {year}"
    else:
        text += "".join(f"; {p.name} {pounds(p.gbp)} in year {p.year}" for p in parts)
    return text, _origin(costs, "visit_gbp_per_year", "replacements")


def money_facts(estimate: Estimate) -> tuple[Fact, ...]:
    """Give each money figure with what it means in one plain sentence."""
    span, rate_used = estimate.site.finance.years, estimate.site.finance.discount_rate
    less = f"{rate(rate_used)} less" if rate_used > 0 else "in full"
    return (
        Fact("Paid for itself", years(estimate.simple_payback_years, span),
             "When savings, less visits and replacements, have made up the price for good."),
        Fact("The same, later pounds counting less", years(estimate.discounted_payback_years, span),
             f"With each later pound counted {less}, because money can earn elsewhere."
             if rate_used > 0 else "No yearly discount was asked for, so nothing counts less."),
        Fact("Net present value", pounds(estimate.npv_gbp), _worth(estimate, less)),
        Fact("Rate of return", *_return(estimate)),
        *_cost_of_a_kwh(estimate),
    )  # fmt: skip


def _worth(estimate: Estimate, less: str) -> str:
    span = estimate.site.finance.years
    end = (
        "below zero, so in money alone it does not reach that return"
        if estimate.npv_gbp < 0
        else "not below zero, so it does at least as well as that"
    )
    return (
        f"All that it saves less all that it costs over {spell(span)}, each later pound counted "
        f"{less}: {end}."
    )


def _return(estimate: Estimate) -> tuple[str, str]:
    if estimate.irr is None:
        return "no one rate", (
            "The sums of the years do not come to one rate of interest; judge by the other figures."
        )
    return rate(estimate.irr), (
        "The interest, above inflation, that the price would have to earn elsewhere to do as well."
    )


def _cost_of_a_kwh(estimate: Estimate) -> Iterator[Fact]:
    if estimate.lcoe_gbp_per_kwh is not None:
        tariff = estimate.site.tariff
        bought = pence(tariff.import_gbp_per_kwh)
        bought += " outside hours with a price of their own" if tariff.import_bands else ""
        yield Fact(
            "Cost of each kWh made", pence(estimate.lcoe_gbp_per_kwh),
            "The price, visits and replacements shared over every kWh it makes (levelised cost of "
            f"electricity); a kWh bought today costs {bought}.",
        )  # fmt: skip


def carbon_facts(estimate: Estimate) -> tuple[Fact, ...]:
    """Give the carbon figures, the path of the grid taken, and how well each is known."""
    table, span = estimate.stages.carbon, estimate.site.finance.years
    kinds = {number.name: number for number in estimate.assumptions}
    fall, floor, made = (
        kinds[f"carbon.{name}"]
        for name in ("grid_fall_per_year", "grid_floor_kgco2e_per_kwh", "embodied_kgco2e_per_kwp")
    )
    return (
        Fact("Avoided in the first year", kilograms(estimate.carbon_first_year_kgco2e),
             "Power stations and lines that work less" +
             (", gas that is not burnt." if estimate.cylinder_kwh > 0 else ".")),
        Fact("Making the system", kilograms(table.embodied_kg),
             f"{value_text(made)} ({made.kind}): panels, mounting and inverter, mine to roof."),
        Fact("Made good after", years(table.carbon_payback_years, span),
             "When it has avoided as much as its making put into the air."),
        Fact(f"Avoided over {spell(span)}", kilograms(estimate.carbon_saved_kgco2e),
             "All years together, less the making."),
        Fact("Carbon of the grid", f"{table.factors.grid_generated[0]:.3f} kg/kWh in "
             f"{table.calendar_years[0]}",
             "UK Government yearly factors (published) to their last edition, then falling by "
             f"{value_text(fall)} ({fall.kind}), never below {value_text(floor)} ({floor.kind}). A "
             "cleaner grid leaves less to avoid."),
    )  # fmt: skip
