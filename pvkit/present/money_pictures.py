"""What the charts of money, carbon and doubt show, apart from how they are drawn."""

from pvkit.ledger.carbon import CarbonTable
from pvkit.ledger.grid_paths import Path
from pvkit.present import colours
from pvkit.present.colours import Ink
from pvkit.present.picture import Picture, Series, Spans, rounded
from pvkit.present.rounding import kilograms, pounds, rate, spell, years
from pvkit.study.estimate import Estimate

EARN = "What does it earn?"
OF_THE_YEAR = "What does it earn in pounds of each year?"
AVOID = "What carbon does it avoid?"
SWAY = "What moves the answer most?"

# How each path of the grid is named and drawn.
PATHS: dict[Path, tuple[str, Ink]] = {
    "falling": ("grid gets cleaner", colours.CARBON),
    "monthly": ("the procedure’s months", colours.CARBON_MONTHLY),
    "flat": ("today’s grid held: overstates", colours.CARBON_HELD),
    "file": ("the series of the file", colours.CARBON_FILE),
}
_AXIS = "years after the installation"


def earn_picture(estimate: Estimate) -> Picture:
    """Year by year: savings less costs, added up; with the loan beside it if there is one."""
    table, loan = estimate.cash, estimate.loan
    series = [
        Series("in hand", rounded(table["cumulative_gbp"]), colours.MONEY, line=True),
        Series(
            "in hand, later pounds counting less",
            rounded(table["discounted_gbp"]),
            colours.MONEY_DISCOUNTED,
            line=True,
        ),
    ]
    if loan is not None:
        name = "in hand, bought with the loan"
        series.append(Series(name, rounded(loan.cumulative_gbp), colours.MONEY_LOAN, line=True))
    return Picture(
        EARN, _earned(estimate), _years(len(table)), tuple(series), _AXIS, "£, today's money"
    )


def of_the_year_picture(estimate: Estimate) -> Picture:
    """Show the same sum in pounds of each year, with general inflation in it, beside today's."""
    real, nominal = estimate.cash["cumulative_gbp"], estimate.cash_nominal["cumulative_gbp"]
    span, inflation = len(real) - 1, estimate.site.finance.inflation_per_year
    answer = (
        f"In hand after {spell(span)} are {pounds(float(real.iloc[-1]))} in pounds of today. With "
        f"prices in general rising by {rate(inflation)} the sums of the years would add up to "
        f"{pounds(float(nominal.iloc[-1]))}: more pounds, each of which buys less."
    )
    series = (
        Series("pounds of each year", rounded(nominal), colours.MONEY_DISCOUNTED, line=True),
        Series("pounds of today", rounded(real), colours.MONEY, line=True),
    )
    return Picture(OF_THE_YEAR, answer, _years(len(real)), series, _AXIS, "£")


def _earned(estimate: Estimate) -> str:
    payback, span = estimate.simple_payback_years, len(estimate.cash) - 1
    end = float(estimate.cash["cumulative_gbp"].iloc[-1])
    if payback is None:
        return f"After {spell(span)} it is still {pounds(-end)} short of what it cost."
    return (
        f"It has paid for itself after {years(payback, span)}; after {spell(span)} it has earned "
        f"{pounds(end)} beyond what it cost."
    )


def avoid_picture(estimate: Estimate) -> Picture:
    """Year by year: carbon avoided so far, less the making; a line for each path of the grid."""
    paths = estimate.carbon_paths
    return Picture(
        AVOID,
        _avoided(estimate),
        _years(len(paths[0].cumulative_kg) + 1),
        tuple(_path(table) for table in paths),
        _AXIS,
        "kg CO₂e",
    )


def _path(table: CarbonTable) -> Series:
    name, ink = PATHS[table.path]
    values = (-table.embodied_kg, *table.cumulative_kg.tolist())
    return Series(name, rounded(values), ink, line=True)


def _avoided(estimate: Estimate) -> str:
    table, saved = estimate.stages.carbon, estimate.carbon_saved_kgco2e
    span = len(table.cumulative_kg)
    first = f"It avoids {kilograms(estimate.carbon_first_year_kgco2e)} in its first year"
    made = f"the {kilograms(table.embodied_kg)} of making it"
    if saved < 0:
        return (
            f"{first}, and after {spell(span)} is {kilograms(-saved)} short of making good {made}."
        )
    return f"{first} and {kilograms(saved)} over {spell(span)}, beyond making good {made}."


def sway_picture(estimate: Estimate) -> Spans:
    """Show what each doubt alone does to the net present value, and all of them together."""
    found, base = estimate.ranges, estimate.npv_gbp
    pairs = [(found.npv_gbp.p90 or 0.0, found.npv_gbp.p10 or 0.0)]
    pairs += [(sway.npv_gbp.p90 or 0.0, sway.npv_gbp.p10 or 0.0) for sway in found.sways]
    labels = ("everything below together", *(sway.doubt.words for sway in found.sways))
    return Spans(
        SWAY,
        _swayed(estimate),
        labels,
        rounded(low for low, _ in pairs),
        rounded(high for _, high in pairs),
        tuple((pounds(low), pounds(high)) for low, high in pairs),
        round(base, 1),
        f"as estimated, {pounds(base)}",
        f"net present value over {spell(estimate.site.finance.years)}, £",
    )


def _swayed(estimate: Estimate) -> str:
    found = estimate.ranges
    if not found.sways:
        return "No doubt is counted, so there is nothing that could move it."
    low, high = (pounds(value or 0.0) for value in (found.npv_gbp.p90, found.npv_gbp.p10))
    first = found.sways[0]
    ends = (pounds(value or 0.0) for value in (first.npv_gbp.p90, first.npv_gbp.p10))
    return (
        f"In eight cases of ten the system is worth {low} to {high} over its life; what moves that "
        f"most is {first.doubt.words}, which alone makes it {' to '.join(ends)}."
    )


def _years(count: int) -> tuple[str, ...]:
    return tuple(str(year) for year in range(count))
