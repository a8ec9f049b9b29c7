"""Spans for paper: a bar from a cautious to a hopeful figure on each line, both in words."""

from typing import TYPE_CHECKING

from pvkit.present import colours
from pvkit.present.picture import Spans
from pvkit.present.print_paper import (
    BAR_WIDTH,
    FAINT,
    GRID,
    PAPER,
    ROW_MM,
    TEXT,
    Room,
    axes_with,
    hatch_of,
    page_mm,
    tick,
    widest,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


def draw_spans(figure: "Figure", picture: Spans) -> None:
    """Draw each span to both sides of where they all start; the words stand at its ends."""
    from matplotlib.ticker import MaxNLocator

    words = widest(word for pair in picture.said for word in pair) + 2.0
    room = Room(widest(picture.labels) + 3.0, 0.5, 1.2 * ROW_MM, 2.0 * ROW_MM)
    axes = axes_with(figure, room)
    for n, (low, high) in enumerate(zip(picture.low, picture.high, strict=True)):
        for end, ink in ((low, colours.CAUTIOUS), (high, colours.HOPEFUL)):
            axes.barh(n, end - picture.base, BAR_WIDTH, picture.base, color=ink.colour,
                      edgecolor=PAPER, linewidth=0, hatch=hatch_of(ink), zorder=2)  # fmt: skip
        _words(axes, picture, n)
    _limits(axes, picture, words / (page_mm(figure) - room.left - room.right))
    axes.set_yticks(range(len(picture.labels)), picture.labels)
    axes.tick_params(axis="y", labelcolor=TEXT)
    axes.set_ylim(len(picture.labels) - 0.4, -0.6)
    axes.xaxis.set_major_locator(MaxNLocator(6, steps=[1, 2, 2.5, 5, 10]))
    axes.xaxis.set_major_formatter(lambda value, _: tick(value))
    axes.set_xlabel(picture.x_title, color=FAINT, labelpad=2)
    axes.grid(axis="x", color=GRID, linewidth=0.6)
    axes.axvline(picture.base, color=TEXT, linewidth=1.0, zorder=3)
    axes.annotate(picture.base_words, (picture.base, 1), xycoords=("data", "axes fraction"),
                  xytext=(0, 3), textcoords="offset points", ha="center", color=FAINT,
                  annotation_clip=False)  # fmt: skip


def _words(axes: "Axes", picture: Spans, n: int) -> None:
    ends = sorted((picture.low[n], picture.high[n]))
    for end, word, side in zip(ends, picture.said[n], ("right", "left"), strict=True):
        axes.annotate(word, (end, n), xytext=(-3 if side == "right" else 3, 0),
                      textcoords="offset points", ha=side, va="center", annotation_clip=False,
                      fontweight="bold" if n == 0 else "normal")  # fmt: skip


def _limits(axes: "Axes", picture: Spans, word_share: float) -> None:
    """Leave room for the words at the ends of the widest span."""
    low = min(*picture.low, *picture.high, picture.base)
    high = max(*picture.low, *picture.high, picture.base)
    wide = max(high - low, 1.0) / max(1.0 - 2.0 * word_share, 0.3)
    axes.set_xlim(low - word_share * wide, high + word_share * wide)
