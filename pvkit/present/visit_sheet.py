"""The record of a yearly visit: a page to print, and the same for the terminal."""

from typing import Any

import jinja2
from markupsafe import Markup

from pvkit.present import colours
from pvkit.present.check_sheet import SIGNS, check_section, check_text
from pvkit.present.pictures import Picture, Series
from pvkit.present.print_charts import picture_svg
from pvkit.present.report_tables import Column, Table
from pvkit.present.rounding import whole
from pvkit.present.templates_folder import environment, template_text
from pvkit.study.visit_result import Visit
from pvkit.study.visit_words import figures_sentence

QUESTION = "Did it make what it should?"
LEAST_BARS = 3
_PAPER_MM = (170, 62)
_NAMES = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def visit_html(visit: Visit) -> str:
    """Write a visit's record as a whole HTML page: no script, nothing fetched, prints on A4.

    Parameters
    ----------
    visit : a judged visit
    """
    page: jinja2.Template = environment().get_template("visit_sheet.html.j2")
    styles = ("report.css", "check_sheet.css", "visit_sheet.css")
    picture = visit_picture(visit)
    return page.render(
        style=Markup("".join(template_text(name) for name in styles)),
        visit=visit,
        facts=visit.facts(),
        figures=figures_sentence(visit),
        table=months_table(visit),
        earlier=earlier_table(visit),
        chart=None if picture is None else Markup(_drawn(picture)),
        answer="" if picture is None else picture.answer,
        section=check_section(visit),
        sign=SIGNS,
    )


def _drawn(picture: Picture) -> str:
    width, height = _PAPER_MM
    return picture_svg(picture, width_mm=width, height_mm=height)


def visit_picture(visit: Visit) -> Picture | None:
    """Stretch by stretch: what it made beside what it should have made; None for one or two."""
    spans = visit.facts()["spans"]
    if len(spans) < LEAST_BARS:
        return None
    made = tuple(round(span["made_kwh"], 1) for span in spans)
    should = tuple(round(span["expected_kwh"], 1) for span in spans)
    return Picture(
        QUESTION,
        visit.facts()["sentence"],
        tuple(_short(span) for span in spans),
        (Series("made", made, colours.SOLAR),
         Series("should have made", should, colours.DEMAND, line=True)),
        "month" if all(_is_month(span) for span in spans) else "stretch, from",
        "kWh",
    )  # fmt: skip


def _short(span: dict[str, Any]) -> str:
    """Name a calendar month's stretch by its month, another by its first day."""
    year, month, day = span["first_day"].split("-")
    name = f"{_NAMES[int(month) - 1]} {year[2:]}"
    return name if _is_month(span) else f"{int(day)} {name}"


def _is_month(span: dict[str, Any]) -> bool:
    return bool(span["first_day"][:7] == span["last_day"][:7])


def months_table(visit: Visit) -> Table:
    """List the stretches: made, expected, share, and the light where a stretch is one month."""
    facts = visit.facts()
    light = {entry["month"]: entry for entry in facts["light"]}
    rows = tuple(_span_row(span, light) for span in facts["spans"])
    columns = (Column("From", text=True), Column("To", text=True), Column("Made, kWh"),
               Column("Should have made, kWh"), Column("Share"),
               Column("Light over the estimate’s"))  # fmt: skip
    foot = ("Together", "", whole(facts["made_kwh"]), whole(facts["expected_kwh"]),
            _share(facts["ratio"]), "")  # fmt: skip
    return Table("What it made, stretch by stretch", columns, rows, foot if len(rows) > 1 else ())


def _span_row(span: dict[str, Any], light: dict[str, Any]) -> tuple[str, ...]:
    known = light[span["first_day"][:7]] if _is_month(span) else None
    over = "–"
    if known is not None and known["over_usual"] is not None:
        over = _share(known["over_usual"]) + ("" if known["given"] else ", taken as usual")
    ratio = "–" if span["ratio"] is None else _share(span["ratio"])
    return (span["first_day"], span["last_day"], whole(span["made_kwh"]),
            whole(span["expected_kwh"]), ratio, over)  # fmt: skip


def _share(share: float) -> str:
    """Say a share that may be above 100 %, to a tenth."""
    return f"{100.0 * share:.1f} %"


def earlier_table(visit: Visit) -> Table | None:
    """List the visits before this one, and this one last; None if it is the first."""
    if not visit.earlier:
        return None
    rows = [(each.date, _share(each.ratio), each.verdict, each.light_source or "not known")
            for each in visit.earlier]  # fmt: skip
    facts = visit.facts()
    rows.append((facts["visit_date"], _share(facts["ratio"]), facts["verdict"],
                 facts["light_source"] or "not known"))  # fmt: skip
    columns = (Column("Visit", text=True), Column("Made over expected"),
               Column("Verdict", text=True), Column("Light from", text=True))  # fmt: skip
    return Table("Earlier visits and this one", columns, tuple(rows))


def visit_text(visit: Visit) -> str:
    """Give the record as plain text, 100 columns wide, no colours."""
    facts = visit.facts()
    lines = [f"Yearly visit of {facts['visit_date']}", "", facts["sentence"]]
    lines += [f"  Look at: {place}." for place in facts["look_at"]]
    lines += ["", *_text_table(months_table(visit)), ""]
    if facts["not_looked_at"]:
        lines += [f"Not looked at: {', '.join(facts['not_looked_at'])}.", ""]
    lines += [f"Note: {note}" for note in facts["notes"]]
    return "\n".join([*lines, "", check_text(visit)])


def _text_table(table: Table) -> list[str]:
    heads = [column.head for column in table.columns]
    rows = [heads, *map(list, table.rows), *([list(table.foot)] if table.foot else [])]
    widths = [max(len(row[place]) for row in rows) for place in range(len(heads))]
    return [
        "  ".join(
            cell.ljust(width) if column.text else cell.rjust(width)
            for cell, width, column in zip(row, widths, table.columns, strict=True)
        ).rstrip()
        for row in rows
    ]
