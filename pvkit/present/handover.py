"""The handover pack: everything the customer keeps, in one page to print or one PDF."""

from pathlib import Path

import jinja2
from markupsafe import Markup

from pvkit.errors import Fault, InputError
from pvkit.present import handover_words as words
from pvkit.present.files import write_bytes, write_text
from pvkit.present.handover_labels import labels
from pvkit.present.headlines import headlines
from pvkit.present.pdf import page_pdf
from pvkit.present.pictures import PICTURES, WHEN
from pvkit.present.print_charts import picture_svg
from pvkit.present.record_sheet import STYLES, day, record_section, status
from pvkit.present.report_tables import arrays_table, made_table, roofs_table
from pvkit.present.report_words import reading
from pvkit.present.templates_folder import environment, template_text
from pvkit.present.wiring_diagram import wiring_svg
from pvkit.present.wiring_parts import STAND_IN_NOTE, parts_list, system_wiring
from pvkit.site.survey import Site
from pvkit.study.estimate import Estimate
from pvkit.study.record import Record
from pvkit.study.study import estimate

_CHART_MM = (112, 72)
ENDINGS = (".html", ".htm", ".pdf")


def write_handover(record: Record, file: Path, answer: Estimate | None = None) -> None:
    """Write the handover pack.

    Parameters
    ----------
    record : judged; a pack of one that is not complete is marked as a draft on every page
    file : ends in .html or .pdf
    answer : the site's estimate; worked out if left out

    Raises
    ------
    InputError
        If the ending is another, PDF is asked for and cannot be made, or nothing can be written.
    """
    ending = file.suffix.lower()
    if ending not in ENDINGS:
        found = f"found the ending '{file.suffix}'"
        raise InputError(Fault(str(file), found, ".html or .pdf", "name it handover.html"))
    page = handover_html(record, estimate(record.site) if answer is None else answer)
    if ending == ".pdf":
        write_bytes(file, page_pdf(page))
    else:
        write_text(file, page)


def handover_html(record: Record, answer: Estimate) -> str:
    """Give the handover pack as one HTML page: no script, nothing fetched, prints on A4.

    Parameters
    ----------
    record : judged; only a complete one is called a handover pack
    answer : the site's estimate
    """
    site, wiring = record.site, system_wiring(record.site, record.file)
    head, rest = status(record)
    page: jinja2.Template = environment().get_template("handover.html.j2")
    styles = (*STYLES, "handover.css", "handover_sound.css" if record.complete else
              "handover_draft.css")  # fmt: skip
    return page.render(
        style=Markup("".join(template_text(name) for name in styles)),
        record=record,
        name=site.site.name,
        head=head,
        rest=rest,
        day=day(record.file.record.date),
        words=words,
        estimate=answer,
        plans=_plans(site),
        diagram=Markup(wiring_svg(wiring, site.site.name)),
        parts=parts_list(wiring),
        stand_in=STAND_IN_NOTE if wiring.stand_ins else "",
        site_tables=(roofs_table(site), arrays_table(site)),
        report=record_section(record),
        headlines=headlines(answer),
        reading=reading(answer),
        chart=Markup(_chart(answer)),
        made=made_table(answer),
        labels=labels(record),
        cautions=answer.cautions,
    )


def _plans(site: Site) -> tuple[Markup, ...]:
    """Draw each roof with an array on its own, so that each fits a page at its own scale."""
    from pvkit.present.plan_drawing import roof_plan_svg

    used = {array.roof for array in site.array}
    return tuple(Markup(roof_plan_svg(site, roof.name)) for roof in site.roof if roof.name in used)


def _chart(answer: Estimate) -> str:
    width, height = _CHART_MM
    return picture_svg(PICTURES[WHEN](answer), width_mm=width, height_mm=height)
