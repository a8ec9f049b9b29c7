"""What the system costs on the first day, in the years after it, and is worth at the end."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.ledger.deal import Deal
from pvkit.site.money import Costs, Finance, Replacement
from pvkit.site.storage import Battery
from pvkit.tables import default

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class PriceLine:
    """One line of what is paid on the first day [GBP]."""

    name: str
    gbp: float


@dataclass(frozen=True, slots=True, eq=False)
class RunningCosts:
    """What each year costs by kind, all (years,) [GBP/year, today's pounds]."""

    visits_gbp: Array
    cleaning_gbp: Array
    insurance_gbp: Array
    replacements_gbp: Array

    @property
    def total_gbp(self) -> Array:
        """The kinds added up [GBP/year]."""
        return self.visits_gbp + self.cleaning_gbp + self.insurance_gbp + self.replacements_gbp


def price_lines(costs: Costs, kwp: float, battery: Battery | None = None) -> tuple[PriceLine, ...]:
    """List what is paid on the first day; the lines add up to the price.

    Parameters
    ----------
    costs : the quotation; without items a typical price for the size, value-added tax in it
    kwp : rated d.c. power [kWp]
    battery : priced by its capacity where there is no quotation

    Returns
    -------
    items, then discount, value-added tax (always named) and grant as far as there are any

    Examples
    --------
    >>> from pvkit.site.money import CostItem
    >>> quote = Costs(items=(CostItem(name="all", gbp=100.0),), discount_gbp=20, vat_fraction=0.05)
    >>> [(line.name, line.gbp) for line in price_lines(quote, 1.0)]
    [('all', 100.0), ('discount', -20.0), ('value-added tax at 5 %', 4.0)]
    """
    if costs.items is None:
        typical = float(default("costs.typical_gbp_per_kw") * kwp)
        lines = [PriceLine("typical price of a system of this size", typical)]
        if battery is not None and battery.capacity_kwh > 0:
            lines.append(
                PriceLine("typical price of the battery", _new_battery_gbp(costs, battery))
            )
    else:
        lines = [PriceLine(item.name, item.gbp) for item in costs.items]
        if costs.discount_gbp > 0:
            lines.append(PriceLine("discount", -costs.discount_gbp))
        rate = costs.vat_fraction
        taxed = sum(line.gbp for line in lines)
        lines.append(PriceLine(f"value-added tax at {100 * rate:g} %", rate * taxed))
    if costs.grant_gbp > 0:
        paid = min(costs.grant_gbp, sum(line.gbp for line in lines))
        lines.append(PriceLine("grant", -paid))
    return tuple(lines)


def outlay(costs: Costs, kwp: float, battery: Battery | None = None) -> float:
    """Sum of the price's lines: what the customer pays on the first day [GBP]."""
    return sum(line.gbp for line in price_lines(costs, kwp, battery))


def running_costs(costs: Costs, finance: Finance, battery: Battery | None = None) -> RunningCosts:
    """List the costs of each year by kind.

    Parameters
    ----------
    costs : yearly visit, insurance, cleaning every few years, replacements in given years (those
        after the span are left out); without a list the inverter is replaced as it wears out
    finance : span
    battery : bought again below the capacity floor of ``costs``

    Returns
    -------
    (years,) columns
    """
    span = finance.years
    year = np.arange(1, span + 1)
    replaced = np.zeros(span)
    for part in replacements(costs, span, battery):
        replaced[part.year - 1] += part.gbp
    return RunningCosts(
        visits_gbp=np.full(span, costs.visit_gbp_per_year),
        cleaning_gbp=np.where(year % costs.cleaning_every_years == 0, costs.cleaning_gbp, 0.0),
        insurance_gbp=np.full(span, costs.insurance_gbp_per_year),
        replacements_gbp=replaced,
    )


def replacements(
    costs: Costs, span: int, battery: Battery | None = None
) -> tuple[Replacement, ...]:
    """List what is bought again within the span.

    Without a list an inverter wears out every so many years; a second one is not bought in the
    very last year counted. Beside the list, a battery with a capacity floor is bought again in
    the first year in which it would hold less.

    Parameters
    ----------
    costs : the list, and the floor
    span : years counted
    battery : its capacity, fade and life

    Examples
    --------
    >>> [part.year for part in replacements(Costs(), 40)]
    [13, 26, 39]
    """
    batteries = _batteries(costs, span, battery)
    if costs.replacements is not None:
        return (*(part for part in costs.replacements if part.year <= span), *batteries)
    every = int(default("costs.inverter_replacement_year"))
    gbp = float(default("costs.inverter_replacement_gbp"))
    years = (every, *range(2 * every, span, every)) if every <= span else ()
    return (*(Replacement(name="inverter", year=year, gbp=gbp) for year in years), *batteries)


def _batteries(costs: Costs, span: int, battery: Battery | None) -> tuple[Replacement, ...]:
    """Buy a battery again each time it falls below the floor, or is worn out before that."""
    floor = costs.battery_floor_fraction
    if battery is None or floor is None or battery.capacity_kwh == 0:
        return ()
    ages = range(1, battery.life_years + 1)
    left = ((1.0 - battery.fade_per_year) ** age if age < battery.life_years else 0.0
            for age in ages)  # fmt: skip
    age = next((age for age, share in zip(ages, left, strict=True) if share < floor), None)
    years = () if age is None else range(1 + age, span + 1, age)
    gbp = _new_battery_gbp(costs, battery)
    return tuple(Replacement(name="battery", year=year, gbp=gbp) for year in years)


def _new_battery_gbp(costs: Costs, battery: Battery) -> float:
    return costs.battery_gbp_per_kwh * battery.capacity_kwh


def residual_gbp(deal: Deal) -> float:
    """Give what the system is still worth when the years counted end [GBP, today's pounds].

    Parameters
    ----------
    deal : price, span and the way it is worked out: nothing, a given share of the price, or the
        price on a straight line to nothing at the end of the system's life

    Examples
    --------
    >>> from pvkit.site.tariff import Tariff
    >>> finance = Finance(years=20, residual="straight-line", life_years=30)
    >>> round(residual_gbp(Deal(Tariff(), Costs(), finance, kwp=1.0)), 2)
    625.33
    """
    finance = deal.finance
    if finance.residual == "none":
        return 0.0
    share = (
        finance.residual_fraction
        if finance.residual == "share"
        else max(0.0, 1.0 - finance.years / finance.life_years)
    )
    return share * outlay(deal.costs, deal.kwp, deal.battery)
