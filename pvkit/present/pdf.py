"""Turn a page into PDF, or say plainly what is missing for it."""

import re
from typing import cast

from pvkit.errors import Fault, InputError


def page_pdf(page: str) -> bytes:
    """Print a page of HTML to PDF.

    Parameters
    ----------
    page : whole HTML page; nothing is fetched

    Raises
    ------
    InputError
        If the PDF library, or the text library of the system that it needs, is not there.
    """
    try:
        from weasyprint import HTML
    except ImportError as error:
        raise InputError(
            _fault("no PDF library", "install it: pip install 'pvkit[pdf]'")
        ) from error
    except OSError as error:  # the Python part is there, the system's own library is not
        how = "install Pango with your system's packages (on Debian: libpango-1.0-0)"
        raise InputError(_fault("a PDF library without the system library Pango", how)) from error
    return cast(bytes, HTML(string=_edges_first(page)).write_pdf())


# Letters of a drawing with a white edge below them, which the library would draw above them.
_EDGED = re.compile(r'<text([^>]*?)( stroke="#fff" [^>]*?paint-order="stroke")([^>]*)>(.*?)</text>')


def _edges_first(page: str) -> str:
    """Draw the white edge of letters on its own, before the letters.

    Examples
    --------
    >>> edged = '<text x="1" stroke="#fff" stroke-width="1" paint-order="stroke">a</text>'
    >>> _edges_first(edged)
    '<text x="1" stroke="#fff" stroke-width="1" aria-hidden="true">a</text><text x="1">a</text>'
    """

    def both(found: re.Match[str]) -> str:
        before, edge, after, words = found.groups()
        edge = edge.replace(' paint-order="stroke"', ' aria-hidden="true"')
        return f"<text{before}{edge}{after}>{words}</text><text{before}{after}>{words}</text>"

    return _EDGED.sub(both, page)


def _fault(found: str, how: str) -> Fault:
    return Fault("PDF", f"found {found}", "a name ending in .html, or a working PDF library",
                 f"{how}; or write .html and print it from a browser")  # fmt: skip
