"""Write the engineer's sheet and the plan of a site to files."""

from collections.abc import Sequence
from pathlib import Path

from pvkit.errors import Fault, InputError
from pvkit.present.engineer_sheet import engineer_sheet_html
from pvkit.present.files import write_bytes, write_text
from pvkit.present.pdf import page_pdf
from pvkit.present.plan_drawing import plan_svg
from pvkit.site.survey import Site


def write_engineer_sheet(site: Site, file: Path, tried: Sequence[str] = ()) -> None:
    """Write the structural engineer's sheet.

    Parameters
    ----------
    site : the survey
    file : a name ending in .html, or in .pdf
    tried : what of the survey was tried otherwise, in words

    Raises
    ------
    InputError
        If the name has another ending, the place cannot be written to, or there is no PDF library.
    """
    _ending(file, (".html", ".htm", ".pdf"))
    page = engineer_sheet_html(site, tried=tried)
    if file.suffix.lower() == ".pdf":
        write_bytes(file, page_pdf(page))
    else:
        write_text(file, page)


def write_plan(site: Site, file: Path) -> None:
    """Write the plans of all roofs with an array, to scale.

    Parameters
    ----------
    site : the survey
    file : a name ending in .svg

    Raises
    ------
    InputError
        If the name has another ending, or the place cannot be written to.
    """
    _ending(file, (".svg",))
    write_text(file, plan_svg(site) + "\n")


def _ending(file: Path, allowed: tuple[str, ...]) -> None:
    if file.suffix.lower() not in allowed:
        found = f"found the ending '{file.suffix}'" if file.suffix else "found no ending"
        raise InputError(
            Fault(str(file), found, " or ".join(allowed), f"name it {file.stem}{allowed[0]}")
        )
