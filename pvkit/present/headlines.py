"""The four figures a customer asks for first, in their words."""

from dataclasses import dataclass

from pvkit.present.rounding import kwh, percent, pounds, years
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
    used = estimate.direct_kwh + estimate.cylinder_kwh
    saved = "electricity, gas and sales" if estimate.cylinder_kwh > 0 else "electricity and sales"
    return (
        Headline("Makes in a year", kwh(estimate.ac_kwh),
                 f"{estimate.specific_yield_kwh_per_kwp:,.0f} kWh for each kWp"),
        Headline("Used in the home", percent(estimate.used_at_home_fraction),
                 f"{kwh(used)}, the rest goes to the grid"),
        Headline("Saves in the first year", pounds(estimate.first_year_saving_gbp),
                 f"{saved}, today's prices"),
        Headline("Has paid for itself" if payback is None else "Has paid for itself in",
                 years(payback, span), f"price {pounds(estimate.capital_gbp)}"),
    )  # fmt: skip
