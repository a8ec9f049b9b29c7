"""Small pieces of HTML that the visit's workbook shows."""

from html import escape

from pvkit.present.check_sheet import SIGNS, summary_line
from pvkit.present.print_charts import picture_data_uri
from pvkit.present.visit_sheet import visit_picture
from pvkit.study.visit_result import Visit
from pvkit.study.visit_verdict import LITTLE_LOW, LOW
from pvkit.study.visit_words import figures_sentence

NOTHING = "Not judged: no readings yet, or none that can be read."
_INK, _WARNING = "#0072B2", "#D55E00"


def visit_page_html(visit: Visit) -> str:
    """Show the verdict, where to look and the rows that fail, announced by a screen reader."""
    facts = visit.facts()
    colour = _WARNING if visit.level in (LITTLE_LOW, LOW) else _INK
    look = "".join(f"<li>{escape(place)}</li>" for place in facts["look_at"])
    fails = "".join(
        f"<li><b>{SIGNS['fail']}</b> {escape(row.what)}: {escape(row.value)}</li>"
        for row in visit.failing
    )
    notes = "".join(f"<li>{escape(text)}</li>" for text in (*visit.cautions, *facts["notes"]))
    return (
        "<div role='status' aria-live='polite' style='line-height:1.4;"
        f"border-left:5px solid {colour};padding:2px 10px;color:var(--jp-ui-font-color1)'>"
        f"<div style='font-size:1.3em;font-weight:600'>{escape(visit.level.capitalize())}</div>"
        f"{escape(figures_sentence(visit))}"
        + (f"<div>Look at:</div><ul style='margin:2px 0'>{look}</ul>" if look else "")
        + f"<div>{escape(summary_line(visit))}</div><ul style='margin:2px 0'>{fails}</ul>"
        f"<details><summary>Cautions and notes</summary><ul>{notes}</ul></details></div>"
    )


def visit_twin_html(visit: Visit | None) -> str:
    """Show what a saved workbook shows: the verdict, the check sheet and the picture."""
    how = "<p><b>To fill in the form: Run &gt; Run All Cells.</b></p>"
    if visit is None:
        return f"<p>{NOTHING}</p>{how}"
    rows = "".join(
        f"<tr><td>{SIGNS[row.verdict]}</td><th scope='row'>{escape(row.what)}</th>"
        f"<td>{escape(row.value)}</td><td>{escape(row.limit)}</td></tr>"
        for group in visit.groups
        for row in group.rows
    )
    picture = visit_picture(visit)
    image = "" if picture is None else (
        f"<img alt='{escape(picture.answer, quote=True)}' src='{picture_data_uri(picture)}' "
        "style='max-width:680px;width:100%'>"
    )  # fmt: skip
    caption = escape(visit.site.site.name)
    sentence = escape(str(visit.facts()["sentence"]))
    return f"<p>{sentence}</p><table><caption>{caption}</caption>{rows}</table>{image}{how}"
