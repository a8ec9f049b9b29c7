"""Falling steps for paper: from the first level to the last, each bar where the last one ended."""

from itertools import accumulate
from typing import TYPE_CHECKING

from pvkit.present import colours
from pvkit.present.colours import Ink
from pvkit.present.picture import Picture
from pvkit.present.print_paper import (
    BAR_WIDTH,
    FAINT,
    GRID,
    PAPER,
    TEXT,
    Room,
    axes_with,
    hatch_of,
    tick,
    widest,
)
from pvkit.present.rounding import change, whole

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def draw_steps(figure: "Figure", picture: Picture) -> None:
    """Draw falling steps down the page: each bar hangs where the one above it ended."""
    values = picture.series[0].values
    last = len(values) - 1
    said = [whole(v) if n in (0, last) else change(v) for n, v in enumerate(values)]
    axes = axes_with(figure, Room(widest(picture.labels) + 3.0, widest(said) + 4.0, 1.0, 8.0))
    ends = [*accumulate(values[:last]), values[last]]
    starts = [0.0, *ends[: last - 1], 0.0]
    for n, (start, end) in enumerate(zip(starts, ends, strict=True)):
        ink = colours.LEVEL if n in (0, last) else _step_ink(values[n])
        axes.barh(n, end - start, BAR_WIDTH, start, color=ink.colour, edgecolor=PAPER,
                  linewidth=0, hatch=hatch_of(ink), zorder=2)  # fmt: skip
        if n < last:
            axes.plot([end, end], [n, n + 1], color=FAINT, linewidth=0.6, zorder=3)
        axes.annotate(said[n], (1, n), xycoords=("axes fraction", "data"), xytext=(4, 0),
                      textcoords="offset points", va="center", annotation_clip=False,
                      fontweight="bold" if n in (0, last) else "normal")  # fmt: skip
    axes.set_yticks(range(last + 1), picture.labels)
    axes.tick_params(axis="y", labelcolor=TEXT)
    axes.set_ylim(last + 0.6, -0.6)
    axes.set_xlim(0, max(1.0, *starts, *ends))
    axes.xaxis.set_major_formatter(lambda value, _: tick(value))
    axes.set_xlabel(picture.x_title, color=FAINT, labelpad=2)
    axes.grid(axis="x", color=GRID, linewidth=0.6)


def _step_ink(value: float) -> Ink:
    return colours.GAIN if value > 0 else colours.LOSS
