"""The four figures a customer asks for first, in their words, and how sure each is."""

from collections.abc import Callable
from dataclasses import dataclass

from pvkit.present.rounding import kwh, percent, pounds, spell, whole, years
from pvkit.study.doubt import Range, Ranges
from pvkit.study.estimate import Estimate


@dataclass(frozen=True, slots=True)
class Headline:
    """One figure.

    Parameters
    ----------
    label : what it is
    figure : the value with its unit
    note : one line below it
    """

    label: str
    figure: str
    note: str


def headlines(estimate: Estimate) -> tuple[Headline, Headline, Headline, Headline]:
    """Give what it makes, how much the home uses, what it saves, when it is paid for."""
    span, payback = estimate.site.finance.years, estimate.simple_payback_years
    used = (
        estimate.direct_kwh + estimate.battery_in_kwh + estimate.car_solar_kwh
        + estimate.cylinder_kwh
    )  # fmt: skip
    rest = "the rest goes to the grid" + (" or is cut off" if estimate.spilled_kwh > 0.5 else "")
    saved = "electricity, gas and sales" if estimate.cylinder_kwh > 0 else "electricity and sales"
    return (
        Headline("Makes in a year", kwh(estimate.ac_kwh),
                 f"{estimate.specific_yield_kwh_per_kwp:,.0f} kWh for each kWp"),
        Headline("Used in the home", percent(estimate.used_at_home_fraction),
                 f"{kwh(used)}, {rest}"),
        Headline("Saves in the first year", pounds(estimate.first_year_saving_gbp),
                 f"{saved}, today's prices"),
        Headline("Has paid for itself" if payback is None else "Has paid for itself in",
                 years(payback, span), f"price {pounds(estimate.capital_gbp)}"),
    )  # fmt: skip


def likely(estimate: Estimate) -> tuple[str, str, str, str]:
    """Give the likely range of each of the four figures: eight cases in ten lie within it.

    Parameters
    ----------
    estimate : the answer for one site; its cases are drawn if they have not been
    """
    found = estimate.ranges
    return (
        f"likely {_between(found.yield_kwh, whole)} kWh",
        f"likely {_between(estimate.used_range, percent).replace(' % to', ' to')}",
        f"likely {_between(found.saving_gbp, pounds)}",
        _paid_back(found, estimate.site.finance.years),
    )


def _between(found: Range, say: Callable[[float], str]) -> str:
    low, high = (say(0.0 if value is None else value) for value in (found.p90, found.p10))
    return low if low == high else f"{low} to {high}"


def _paid_back(found: Ranges, span: int) -> str:
    late, early = found.payback_years.p90, found.payback_years.p10
    if late is not None and early is not None:
        low, high = years(early, span), years(late, span)
        return f"likely {high if low == high else f'{low.split()[0]} to {high}'}"
    if found.paid_back_fraction == 0.0:
        return f"in no case within {spell(span)}"
    within = f"within {spell(span)} in {percent(found.paid_back_fraction)} of cases"
    return within if early is None else f"likely {years(early, span)} or more; {within}"
