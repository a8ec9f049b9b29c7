"""The money of the customer's report: five figures, the loan, year by year."""

from collections.abc import Iterator

from pvkit.home.tariff import import_prices
from pvkit.present.report_tables import Column, Table
from pvkit.present.report_words import Fact
from pvkit.present.rounding import pence, pounds, rate, spell, whole, years
from pvkit.study.estimate import Estimate

_PATH_WORDS = {
    "house": "Used as it is made", "battery": "Through the battery", "car": "Into the car",
    "cylinder": "Heats water", "export": "Sold to the grid",
}  # fmt: skip


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
        *_loan(estimate),
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
        if tariff.import_file is not None or tariff.periods:
            mean = float(import_prices(tariff).mean())
            bought = f"{pence(mean)} on the mean of the year's half-hours"
        yield Fact(
            "Cost of each kWh made", pence(estimate.lcoe_gbp_per_kwh),
            "The price, visits and replacements shared over every kWh it makes (levelised cost of "
            f"electricity); a kWh bought today costs {bought}.",
        )  # fmt: skip


def _loan(estimate: Estimate) -> Iterator[Fact]:
    """Set the loan beside the purchase in cash, if one is asked for."""
    plan, loan = estimate.loan, estimate.site.loan
    if plan is None or loan is None:
        return
    yield Fact(
        "Bought with a loan", f"{pounds(plan.monthly_gbp)} a month",
        f"{pounds(plan.deposit_gbp)} on the first day and {pounds(plan.borrowed_gbp)} lent at "
        f"{rate(loan.apr)} (APR) for {spell(loan.years)}; {pounds(plan.paid_back_gbp)} paid back, "
        f"{pounds(plan.interest_gbp)} of it interest. In {spell(plan.years_out_of_pocket)} the "
        "payments are more than the system brings in.",
    )  # fmt: skip
    yield Fact(
        "Net present value with the loan", pounds(plan.npv_gbp),
        "Payments are fixed in pounds of their day, so inflation makes them lighter.",
    )  # fmt: skip


def of_the_year_words(estimate: Estimate) -> str:
    """Say what the last sum would be in pounds of its year."""
    last, inflation = estimate.cash_nominal.iloc[-1], estimate.site.finance.inflation_per_year
    return (
        "All sums are in pounds of today: rises of prices in general are left out on both sides. "
        f"In pounds of each year, at {rate(inflation)} of inflation, the sums would add up to "
        f"{pounds(float(last.cumulative_gbp))}: more pounds, each of which buys less."
    )


def worth_table(estimate: Estimate) -> Table:
    """Show what a kWh was worth on each path it took."""
    rows = tuple(
        (_PATH_WORDS[each.path], whole(each.kwh), pounds(each.gbp), pence(each.gbp_per_kwh))
        for each in estimate.path_sums
    )
    sums = estimate.path_sums
    columns = (Column("Solar energy of a year", text=True), Column("kWh"), Column("Worth"),
               Column("For each kWh"))  # fmt: skip
    foot = ("Together", whole(sum(e.kwh for e in sums)), pounds(sum(e.gbp for e in sums)), "")
    return Table("What it is worth at today's prices, panels new", columns, rows, foot)


def cash_table(estimate: Estimate) -> Table:
    """Show every year's energy and money; year 0 is the outlay."""
    cash, loan = estimate.cash, estimate.loan
    columns = [
        ("Made, kWh", cash["yield_kwh"]),
        ("Used at home, kWh", cash[["direct_kwh", "battery_in_kwh", "car_solar_kwh",
                                    "cylinder_kwh"]].sum(axis=1)),
        ("To the grid, kWh", cash["export_kwh"]),
        ("Saving, £", cash["saving_gbp"]), ("Costs, £", cash["costs_gbp"]),
        ("Still worth, £", cash["residual_gbp"]), ("Left over, £", cash["net_gbp"]),
        ("In hand, £", cash["cumulative_gbp"]),
        ("In hand, later pounds counting less, £", cash["discounted_gbp"]),
    ]  # fmt: skip
    if not cash["residual_gbp"].any():
        del columns[5]
    if loan is not None:
        columns.append(("In hand with the loan, £", cash["residual_gbp"] * 0 + loan.cumulative_gbp))
    rows = tuple(
        (str(year), *(whole(float(values.loc[year])) for _, values in columns))
        for year in cash.index
    )
    heads = (Column("Year", text=True), *(Column(head) for head, _ in columns))
    return Table("Year by year, in today's pounds; year 0 is the day it is paid for", heads, rows)
