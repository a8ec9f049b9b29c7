"""The customer's report: one HTML file that opens offline and prints on A4, or a PDF."""

import datetime
from dataclasses import dataclass
from pathlib import Path

from markupsafe import Markup

from pvkit.errors import Fault, InputError
from pvkit.present import report_carbon, report_doubt, report_money, report_standard
from pvkit.present import report_tables as tables
from pvkit.present import report_words as words
from pvkit.present.files import write_bytes, write_text
from pvkit.present.firm import Firm
from pvkit.present.headlines import headlines, likely
from pvkit.present.money_pictures import avoid_picture, earn_picture, sway_picture
from pvkit.present.picture import Picture, Spans
from pvkit.present.pictures import MONTH_NAMES, lost_picture, when_picture, where_picture
from pvkit.present.plan_drawing import roof_plan_svg
from pvkit.present.print_charts import picture_svg
from pvkit.present.range_words import range_sentence
from pvkit.present.report_sources import source_groups
from pvkit.present.rounding import kwh
from pvkit.present.templates_folder import environment, template_text
from pvkit.site.survey import Site
from pvkit.study.estimate import Estimate
from pvkit.tables import Number

HTML, PDF, SHEET = (".html", ".htm"), (".pdf",), (".xlsx",)
ENDINGS = HTML + PDF + SHEET
_STYLES = ("report.css", "report_pages.css")
_SMALL_SCREEN_MM = (95, 72)
_SMALL_SCREEN_STEPS_MM = (95, 98)
# Width and height of each chart on paper [mm].
_PAPER_MM = {
    "where": (172, 57), "when": (172, 45), "lost": (172, 62), "earn": (172, 54),
    "avoid": (172, 52), "sway": (172, 56),
}  # fmt: skip
# Room for a roof on its plan: alone, and beside another.
_PLAN_MM, _PLANS_MM = (144.0, 56.0), (84.0, 52.0)


@dataclass(frozen=True, slots=True)
class Drawing:
    """One chart as the page shows it: drawn for paper and again for a small screen.

    ``small`` is empty where the page is made for paper alone.
    """

    question: str
    answer: str
    paper: Markup
    small: Markup


@dataclass(frozen=True, slots=True)
class Sender:
    """Who hands over a report, and when.

    Parameters
    ----------
    firm : name, logo, telephone and e-mail; None for a report without a letterhead
    issued : a date to print on it; without one the same estimate gives the same bytes
    """

    firm: Firm | None = None
    issued: datetime.date | None = None


def write_report(estimate: Estimate, file: Path, sender: Sender | None = None) -> None:
    """Write the customer's report, or the money as a spreadsheet of formulas.

    Parameters
    ----------
    estimate : the answer for one site
    file : ends in .html, .pdf or .xlsx
    sender : who hands it over

    Raises
    ------
    InputError
        If the ending is another, PDF is asked for and cannot be made, or nothing can be written.
    """
    ending = checked_ending(file)
    if ending in SHEET:
        from pvkit.present.spreadsheet import write_spreadsheet

        write_spreadsheet(estimate, file)
    elif ending in PDF:
        from pvkit.present.pdf import page_pdf

        write_bytes(file, page_pdf(report_html(estimate, sender, paper=True)))
    else:
        write_text(file, report_html(estimate, sender))


def checked_ending(file: Path) -> str:
    """Give a report's ending in small letters.

    Raises
    ------
    InputError
        If nothing can be written under it.
    """
    ending = file.suffix.lower()
    if ending not in ENDINGS:
        found = f"found the ending '{file.suffix}'"
        allowed = ".html, .pdf or .xlsx (the money as a spreadsheet)"
        raise InputError(Fault(str(file), found, allowed, "name it report.html"))
    return ending


def report_html(estimate: Estimate, sender: Sender | None = None, *, paper: bool = False) -> str:
    """Write the customer's report as a page.

    Parameters
    ----------
    estimate : the answer for one site
    sender : who hands it over
    paper : leave out the drawings for small screens

    Returns
    -------
    a whole HTML page: no script, nothing fetched, charts inside
    """
    page = environment().get_template("report.html.j2")
    found, site = sender or Sender(), estimate.site
    return page.render(
        style=Markup("".join(template_text(name) for name in _STYLES)),
        firm=found.firm,
        issued="" if found.issued is None else _day(found.issued),
        estimate=estimate,
        site=site,
        span=site.finance.years,
        headlines=tuple(zip(headlines(estimate), likely(estimate), strict=True)),
        range_sentence=range_sentence(estimate),
        plans=_plans(site),
        charts={name: _drawing(name, each, paper) for name, each in _pictures(estimate).items()},
        tables=tables,
        words=words,
        money=report_money,
        carbon=report_carbon,
        doubt=report_doubt,
        standard=() if estimate.standard is None else report_standard.standard_tables(
            estimate.standard
        ),
        groups=source_groups(_numbers(estimate)),
        kwh=kwh,
    )  # fmt: skip


def _pictures(estimate: Estimate) -> dict[str, Picture | Spans]:
    return {
        "where": where_picture(estimate),
        "when": when_picture(estimate, ranged=True),
        "lost": lost_picture(estimate),
        "earn": earn_picture(estimate),
        "avoid": avoid_picture(estimate),
        "sway": sway_picture(estimate),
    }


def _drawing(name: str, picture: Picture | Spans, paper: bool) -> Drawing:
    width, height = _PAPER_MM[name]
    tall = isinstance(picture, Spans) or picture.steps
    small_width, small_height = _SMALL_SCREEN_STEPS_MM if tall else _SMALL_SCREEN_MM
    return Drawing(
        picture.question,
        picture.answer,
        paper=Markup(picture_svg(picture, width_mm=width, height_mm=height)),
        small=Markup("" if paper else picture_svg(
            picture, width_mm=small_width, height_mm=small_height
        )),
    )  # fmt: skip


def _plans(site: Site) -> tuple[Markup, ...]:
    """Draw each roof with an array on its own; several stand side by side."""
    used = [roof.name for roof in site.roof if roof.name in {array.roof for array in site.array}]
    room = _PLAN_MM if len(used) == 1 else _PLANS_MM
    return tuple(Markup(roof_plan_svg(site, name, room_mm=room)) for name in used)


def _numbers(estimate: Estimate) -> tuple[Number, ...]:
    """List every number the report rests on: the estimate's, the doubts', the paper methods'."""
    paper = () if estimate.standard is None else report_standard.standard_numbers()
    return (*estimate.assumptions, *report_doubt.doubt_numbers(estimate), *paper)


def _day(date: datetime.date) -> str:
    return f"{date.day} {MONTH_NAMES[date.month - 1]} {date.year}"
