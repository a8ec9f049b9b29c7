"""The paper that charts for print are drawn on: typeface, inks, room round the plot."""

import textwrap
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pvkit.present.colours import Ink

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# A wide typeface that matplotlib carries along: what readers see is narrower (see svg.SHOWN_IN), so
# no label outgrows its room.
LAID_OUT_IN = "DejaVu Sans"
MM_PER_INCH, POINTS_PER_INCH = 25.4, 72
TEXT_POINTS, LINE_MM, ROW_MM = 8.0, 3.5, 4.8
TEXT, FAINT, GRID, PAPER = "#222222", "#555555", "#D8D8D8", "#FFFFFF"
STYLE = {
    "svg.hashsalt": "pvkit",
    "svg.fonttype": "none",
    "font.family": [LAID_OUT_IN],
    "font.size": TEXT_POINTS,
    "text.parse_math": False,
    "text.color": TEXT,
    "axes.unicode_minus": True,
}
NO_METADATA = {"Date": None, "Creator": None, "Format": None, "Type": None}
DASHES = {
    "": (0, ()), "dash": (0, (4, 1.6)), "dot": (0, (1, 1.6)), "dashdot": (0, (5, 1.6, 1, 1.6)),
}  # fmt: skip
BAR_WIDTH = 0.74
NAME_SHARE = 4.5


@dataclass(frozen=True, slots=True)
class Room:
    """The paper around the plot [mm]."""

    left: float
    right: float
    top: float
    bottom: float


def axes_with(figure: "Figure", room: Room) -> "Axes":
    """Give a plot without a box, with room around it."""
    width, height = page_mm(figure), float(figure.get_size_inches()[1]) * MM_PER_INCH
    axes = figure.add_axes((
        room.left / width,
        room.bottom / height,
        1 - (room.left + room.right) / width,
        1 - (room.top + room.bottom) / height,
    ))  # fmt: skip
    axes.spines[:].set_visible(False)
    axes.tick_params(length=0, labelcolor=FAINT, pad=3)
    axes.set_axisbelow(True)
    return axes


def tick(value: float) -> str:
    """Write a number beside an axis."""
    return f"{value:,.10g}".replace("-", "−")


def wrapped(name: str, figure: "Figure") -> str:
    """Break a line's name so that it takes about a fifth of the width."""
    letters = int(page_mm(figure) / NAME_SHARE / widest(["n"]))
    return "\n".join(textwrap.wrap(name, max(9, letters)))


def page_mm(figure: "Figure") -> float:
    """Give the width of the paper [mm]."""
    return float(figure.get_size_inches()[0]) * MM_PER_INCH


def hatch_of(ink: Ink) -> str:
    """Mark a bar as patterned; the pattern itself is drawn by :mod:`pvkit.present.svg`."""
    return "/" if ink.pattern else ""


def widest(texts: Iterable[str]) -> float:
    """Width of the longest of some texts as laid out [mm]."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    font = FontProperties(family=LAID_OUT_IN, size=TEXT_POINTS)
    widths = [
        text_to_path.get_text_width_height_descent(text, font, False)[0] for text in texts if text
    ]
    return float(max(widths, default=0.0)) / POINTS_PER_INCH * MM_PER_INCH
