"""Small pieces of HTML that the money workbook shows beside its charts."""

from html import escape

from pvkit.ledger.carbon import CarbonTable
from pvkit.present.comparison_table import comparison_rows
from pvkit.present.headlines import Headline, headlines, likely
from pvkit.present.money_pictures import PATHS
from pvkit.present.picture import Smalls
from pvkit.present.rounding import kilograms, pounds, rate, spell
from pvkit.study.comparison import Comparison
from pvkit.study.doubt import Range
from pvkit.study.estimate import Estimate

_CELL = "padding:1px 6px;text-align:right"


def money_headlines(estimate: Estimate) -> tuple[Headline, ...]:
    """Give saving, payback, worth over the years, and carbon avoided."""
    span, loan = estimate.site.finance.years, estimate.loan
    worth = (
        f"rate of return {rate(estimate.irr)}"
        if loan is None
        else f"with the loan {pounds(loan.npv_gbp)}, {pounds(loan.monthly_gbp)} a month"
    )
    _, _, saves, paid = headlines(estimate)
    return (
        saves, paid,
        Headline(f"Worth over {spell(span)}", pounds(estimate.npv_gbp), worth),
        Headline(f"Avoids over {spell(span)}", kilograms(estimate.carbon_saved_kgco2e),
                 "CO₂e, less the making"),
    )  # fmt: skip


def money_likely(estimate: Estimate) -> tuple[str, ...]:
    """Give the likely range of each; carbon has the other paths of the grid in its place."""
    _, _, saves, paid = likely(estimate)
    return (saves, paid, f"likely {_pounds(estimate.ranges.npv_gbp)}",
            _other_paths(estimate.carbon_paths[1:]))  # fmt: skip


def _pounds(found: Range) -> str:
    low, high = (pounds(value or 0.0) for value in (found.p90, found.p10))
    return low if low == high else f"{low} to {high}"


def _other_paths(tables: tuple[CarbonTable, ...]) -> str:
    parts = [
        f"{kilograms(table.saved_kg)} ({PATHS[table.path][0].partition(':')[0]})"
        for table in tables
    ]
    return f"else {' or '.join(parts)}"


def loan_words(estimate: Estimate) -> str:
    """Say what the loan costs and what it does to the worth; nothing without one."""
    plan, loan = estimate.loan, estimate.site.loan
    if plan is None or loan is None:
        return ""
    return (
        f" The loan takes {pounds(plan.monthly_gbp)} a month for {spell(loan.years)}, "
        f"{pounds(plan.interest_gbp)} of it interest; the system is then worth "
        f"{pounds(plan.npv_gbp)}, against {pounds(estimate.npv_gbp)} paid on the first day."
    )


def comparison_html(comparison: Comparison) -> str:
    """Show cases side by side as a table."""
    heads = "".join(
        f"<th scope='col' style='{_CELL}'>{escape(c.name)}</th>" for c in comparison.columns
    )
    rows = "".join(
        f"<tr><th scope='row' style='text-align:left;font-weight:normal'>{escape(label.strip())}"
        f"</th>{''.join(f'<td style={_CELL!r}>{escape(cell)}</td>' for cell in cells)}</tr>"
        for label, cells in comparison_rows(comparison)
    )
    notes = "".join(f"<p style='margin:3px 0'>{escape(note)}</p>" for note in comparison.notes)
    return (
        "<div style='overflow-x:auto;font-size:.85em;line-height:1.3;"
        "color:var(--jp-ui-font-color1)'><table><caption style='text-align:left'>Every case meets "
        f"the same draws of sun, prices and habits</caption><thead><tr><th></th>{heads}</tr>"
        f"</thead><tbody>{rows}</tbody></table>{notes}</div>"
    )


def smalls_html(picture: Smalls) -> str:
    """Show small bar charts as a table, for a saved workbook."""
    heads = "".join(f"<th scope='col'>{escape(label)}</th>" for label in picture.labels)
    rows = "".join(
        f"<tr><th scope='row'>{escape(chart.title)}</th>"
        + "".join(f"<td>{said.replace('<br>', ' ')}</td>" for said in chart.said)
        + "</tr>"
        for chart in picture.charts
    )
    return (
        f"<p>{escape(picture.question)} {escape(picture.answer)}</p>"
        f"<table><thead><tr><th></th>{heads}</tr></thead><tbody>{rows}</tbody></table>"
        "<p><b>To use the controls: Run &gt; Run All Cells.</b></p>"
    )
