"""The standard estimate beside ours, as the workbooks show it: one line that unfolds."""

from html import escape

from pvkit.present.report_standard import standard_tables
from pvkit.present.report_tables import Table
from pvkit.present.rounding import change_percent, kwh
from pvkit.study.standard_estimate import StandardEstimate


def standard_words(paper: StandardEstimate) -> str:
    """Say both figures in one line.

    Parameters
    ----------
    paper : the paper estimates of a site
    """
    above = 100.0 * (paper.ours_kwh / paper.standard_kwh - 1.0) if paper.standard_kwh > 0 else 0.0
    said = "the same" if abs(above) < 0.05 else change_percent(above)
    return (
        f"The trade's standard estimate is {kwh(paper.standard_kwh)} a year; ours is "
        f"{kwh(paper.ours_kwh)} ({said})."
    )


def standard_html(paper: StandardEstimate | None) -> str:
    """Show the line, with the reasons why ours differs folded below it; nothing outside the UK."""
    if paper is None:
        return ""
    tables = "".join(_table(each) for each in standard_tables(paper))
    words = "".join(f"<p style='margin:4px 0'>{escape(text)}</p>" for text in paper.statements)
    return (
        "<details style='font-size:.85em;line-height:1.4;color:var(--jp-ui-font-color1)'>"
        f"<summary>{escape(standard_words(paper))} Why?</summary>{tables}{words}</details>"
    )


def _table(table: Table) -> str:
    rows = (*table.rows, table.foot)
    cells = "".join(
        f"<tr><th scope='row' style='text-align:left;font-weight:normal'>{escape(label)}</th>"
        f"<td style='text-align:right'>{escape(figure)}</td></tr>"
        for label, figure in rows
    )
    return (
        "<table style='width:100%;margin:4px 0'>"
        f"<caption style='text-align:left;font-weight:600'>{escape(table.caption)}, kWh a year"
        f"</caption><tbody>{cells}</tbody></table>"
    )
