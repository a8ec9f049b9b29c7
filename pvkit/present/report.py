"""The customer's report: one HTML file that opens offline and prints on A4."""

import datetime
from dataclasses import dataclass

from markupsafe import Markup

from pvkit.home.demand import demand_notes
from pvkit.present import report_tables as tables
from pvkit.present import report_words as words
from pvkit.present.headlines import headlines
from pvkit.present.pictures import AVOID, EARN, LOST, MONTH_NAMES, PICTURES, WHEN, WHERE, Picture
from pvkit.present.print_charts import picture_svg
from pvkit.present.report_sources import source_groups
from pvkit.present.rounding import kwh
from pvkit.present.templates_folder import environment, template_text
from pvkit.study.estimate import Estimate

_SMALL_SCREEN_MM = (95, 72)
_SMALL_SCREEN_STEPS_MM = (95, 98)
# Width and height of each chart on paper [mm].
_PAPER_MM = {WHEN: (112, 72), WHERE: (170, 80), LOST: (170, 74), EARN: (170, 60), AVOID: (170, 52)}


@dataclass(frozen=True, slots=True)
class Drawing:
    """One chart as the page shows it: drawn for paper and again for a small screen."""

    question: str
    answer: str
    paper: Markup
    small: Markup


def report_html(estimate: Estimate, *, issued: datetime.date | None = None) -> str:
    """Write the customer's report.

    Parameters
    ----------
    estimate : the answer for one site
    issued : a date to print on it; without one the same estimate gives the same bytes

    Returns
    -------
    a whole HTML page: no script, nothing fetched, charts inside
    """
    page = environment().get_template("report.html.j2")
    return page.render(
        style=Markup(template_text("report.css")),
        issued="" if issued is None else _day(issued),
        estimate=estimate,
        site=estimate.site,
        span=estimate.site.finance.years,
        headlines=headlines(estimate),
        charts={_short(question): _drawing(make(estimate)) for question, make in PICTURES.items()},
        tables=tables,
        words=words,
        groups=source_groups(estimate.assumptions),
        doubt=demand_notes(estimate.site.home)[:1],
        kwh=kwh,
    )


def _drawing(picture: Picture) -> Drawing:
    width, height = _PAPER_MM[picture.question]
    small_width, small_height = _SMALL_SCREEN_STEPS_MM if picture.steps else _SMALL_SCREEN_MM
    return Drawing(
        picture.question,
        picture.answer,
        paper=Markup(picture_svg(picture, width_mm=width, height_mm=height)),
        small=Markup(picture_svg(picture, width_mm=small_width, height_mm=small_height)),
    )


def _short(question: str) -> str:
    names = {WHEN: "when", WHERE: "where", LOST: "lost", EARN: "earn", AVOID: "avoid"}
    return names[question]


def _day(date: datetime.date) -> str:
    return f"{date.day} {MONTH_NAMES[date.month - 1]} {date.year}"
