"""Small pieces of HTML that the commissioning form shows."""

from html import escape

from pvkit.present.check_sheet import SIGNS
from pvkit.present.record_sheet import status
from pvkit.study.record import Record
from pvkit.verdict import CheckRow

NOT_JUDGED = "Not judged"
_INK, _WARNING = "#0072B2", "#D55E00"
_CELL = "style='text-align:left;vertical-align:top;padding:1px 8px 1px 0'"

_VERDICT = _CELL.replace("padding", "white-space:nowrap;padding")


def status_html(record: Record) -> str:
    """Show whether the record is complete and what is left, announced by a screen reader."""
    head, rest = status(record)
    reasons = "".join(f"<li>{escape(reason)}</li>" for reason in record.blocking)
    left = (
        f"<details><summary>What is left ({len(record.blocking)})</summary>"
        f"<ul style='margin:2px 0'>{reasons}</ul></details>"
        if reasons
        else ""
    )
    return _banner(head, f"{escape(rest)}{left}", _INK if record.complete else _WARNING)


def unread_html() -> str:
    """Show that what is typed cannot be judged yet: no earlier end may stay on the screen."""
    return _banner(NOT_JUDGED, "Put right what is said below; nothing is judged before.", _WARNING)


def _banner(head: str, inside: str, colour: str) -> str:
    return (
        "<div role='status' aria-live='polite' style='line-height:1.4;"
        f"border-left:5px solid {colour};padding:2px 10px;color:var(--jp-ui-font-color1)'>"
        f"<div style='font-size:1.3em;font-weight:600'>{escape(head)}</div>{inside}</div>"
    )


def rows_html(title: str, rows: tuple[CheckRow, ...]) -> str:
    """Show the rows of one part of the report, each with its verdict in sign and word."""
    lines = "".join(
        f"<tr><td {_VERDICT}><b>{SIGNS[row.verdict]}</b></td><td {_CELL}>{escape(row.what)}</td>"
        f"<td {_CELL}>{escape(row.value)}</td><td {_CELL}>{escape(row.limit)}</td></tr>"
        for row in rows
    )
    heads = "".join(f"<th {_CELL}>{head}</th>" for head in ("", "What", "Found", "Allowed"))
    return (
        "<div style='color:var(--jp-ui-font-color1);line-height:1.35;max-width:100%;"
        f"overflow-x:auto'><table><caption style='text-align:left'><b>{escape(title)}</b>"
        f"</caption><tr>{heads}</tr>{lines}</table></div>"
    )


def cautions_html(record: Record) -> str:
    """Show the cautions that stand beside every record."""
    items = "".join(f"<li>{escape(text)}</li>" for text in record.cautions)
    return (
        "<div style='font-size:.85em;line-height:1.4;color:var(--jp-ui-font-color1)'>"
        f"<ul style='margin:4px 0;padding-left:1.2em'>{items}</ul></div>"
    )


def record_twin_html(record: Record) -> str:
    """Show what a saved workbook shows: the end, and every test in a table."""
    tables = "".join(rows_html(group.title, group.rows) for group in record.groups)
    how = "<p><b>To fill in the form: Run &gt; Run All Cells.</b></p>"
    return f"{status_html(record)}{tables}{how}"
