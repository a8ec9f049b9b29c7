"""What a notebook cell shows, live or saved: drawings, tables of words, lines of words."""

import base64
from collections.abc import Sequence
from html import escape

from pvkit.present.check_sheet import SIGNS
from pvkit.verdict import CheckRow

_PAPER = "width:100%;max-width:900px;background:#fff;padding:8px;box-sizing:border-box"
_INK = "color:var(--jp-ui-font-color1);line-height:1.4"
_CELL = "text-align:left;vertical-align:top;white-space:normal;padding:3px 12px 3px 0"


class Drawing:
    """Show an SVG on white ground, so that it reads in a dark theme too.

    Parameters
    ----------
    svg : one ``<svg>`` element
    words : what it shows, in one line, for those who do not see it

    Examples
    --------
    >>> Drawing("<svg/>", "An empty drawing")
    An empty drawing
    """

    def __init__(self, svg: str, words: str) -> None:
        self._svg = svg
        self._words = words

    def __repr__(self) -> str:
        """Say what it shows."""
        return self._words

    def _repr_html_(self) -> str:
        data = base64.b64encode(self._svg.encode("utf-8")).decode("ascii")
        source = f"data:image/svg+xml;base64,{data}"
        return f"<img alt='{escape(self._words)}' src='{source}' style='{_PAPER}'>"


class Listing:
    """Show a table of words, each column as wide as it needs, nothing cut short.

    Parameters
    ----------
    heads : of the columns
    rows : the cells, the first of which names its row

    Examples
    --------
    >>> Listing(("part", "size"), [("fuse", "16 A"), ("cable", "4 mm²")])
    part | size
    fuse | 16 A
    cable | 4 mm²
    """

    def __init__(self, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
        self._heads = tuple(heads)
        self._rows = tuple(tuple(row) for row in rows)

    def __repr__(self) -> str:
        """Give the same as lines of text."""
        return "\n".join(" | ".join(row) for row in (self._heads, *self._rows))

    def _repr_html_(self) -> str:
        heads = "".join(_cell("th", head, "col") for head in self._heads)
        lines = "".join(
            f"<tr>{_cell('th', first, 'row')}{''.join(_cell('td', cell) for cell in rest)}</tr>"
            for first, *rest in self._rows
        )
        return f"<table style='{_INK};table-layout:auto'><tr>{heads}</tr>{lines}</table>"


class Words:
    """Show lines of words, each wrapped between words.

    Parameters
    ----------
    lines : one paragraph each

    Examples
    --------
    >>> Words(["One.", "Two."])
    One.
    Two.
    """

    def __init__(self, lines: Sequence[str]) -> None:
        self._lines = tuple(lines)

    def __repr__(self) -> str:
        """Give the lines as they are."""
        return "\n".join(self._lines)

    def _repr_html_(self) -> str:
        items = "".join(f"<li>{escape(line)}</li>" for line in self._lines)
        return f"<ul style='{_INK};margin:0;padding-left:1.2em'>{items}</ul>"


def rows_shown(rows: Sequence[CheckRow]) -> Listing:
    """Show check rows: what, verdict in sign and word, what was found, what is allowed.

    Parameters
    ----------
    rows : of any check
    """
    cells = [(row.what, SIGNS[row.verdict], row.value, row.limit) for row in rows]
    return Listing(("What", "Verdict", "Found", "Allowed"), cells)


def sources_shown(rows: Sequence[CheckRow]) -> Listing:
    """Show where the limits of check rows are from, each source once, with what it judges.

    Parameters
    ----------
    rows : of any check
    """
    known = dict.fromkeys(row.source for row in rows)
    cells = [(source, "; ".join(row.what for row in rows if row.source == source))
             for source in known]  # fmt: skip
    return Listing(("Source, and how good it is", "Judges"), cells)


def _cell(tag: str, text: str, scope: str = "") -> str:
    look = f"{_CELL};font-weight:{600 if scope == 'col' else 400}"
    heads = f" scope='{scope}'" if scope else ""
    return f"<{tag}{heads} style='{look}'>{escape(text)}</{tag}>"
