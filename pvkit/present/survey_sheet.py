"""The survey sheet: the questions of ``pvkit new`` on paper, with room to write and to draw."""

from markupsafe import Markup

from pvkit.present.templates_folder import environment, template_text
from pvkit.site.questions import SECTIONS


def survey_sheet_html() -> str:
    """Write the sheet as one HTML page that prints on the two sides of one A4 sheet."""
    numbered, number = [], 0
    for title, questions in SECTIONS:
        rows = []
        for question in questions:
            number += 1
            rows.append((number, question))
        numbered.append((title, rows))
    page = environment().get_template("survey_sheet.html.j2")
    return page.render(
        style=Markup(template_text("survey_sheet.css")),
        sections=numbered,
        kinds=("chimney or dormer (box)", "flue or vent", "tree", "wall or house", "parapet",
               "ridge"),
    )  # fmt: skip
