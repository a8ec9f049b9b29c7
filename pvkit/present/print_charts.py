"""Draw a picture for paper: SVG text, the same bytes every time, readable without colour."""

import base64
import io
from collections.abc import Sequence
from math import ceil
from typing import TYPE_CHECKING

from pvkit.present import colours
from pvkit.present.picture import Picture, Series, Spans
from pvkit.present.print_paper import (
    BAR_WIDTH,
    DASHES,
    FAINT,
    GRID,
    LINE_MM,
    MM_PER_INCH,
    NO_METADATA,
    PAPER,
    ROW_MM,
    STYLE,
    TEXT,
    Room,
    axes_with,
    hatch_of,
    page_mm,
    tick,
    widest,
    wrapped,
)
from pvkit.present.print_spans import draw_spans
from pvkit.present.print_steps import draw_steps
from pvkit.present.svg import tidied

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# Half a foot of a likely range, in bars; what stands beside a name of the legend, and between a
# line's end and its name [mm].
FOOT, KEY_MM, THREAD_MM = 0.12, 10.0, 2.5


def picture_svg(picture: Picture | Spans, *, width_mm: float = 170, height_mm: float = 80) -> str:
    """Draw a picture as SVG for print and for pages without a script.

    Parameters
    ----------
    picture : what to draw
    width_mm, height_mm : size of the drawing; text keeps its size

    Returns
    -------
    one ``<svg>`` element with role, title and description, no XML head; the same bytes for the
    same picture, and ids that two drawings on one page do not share
    """
    from matplotlib import style
    from matplotlib.figure import Figure

    buffer = io.StringIO()
    size = (width_mm / MM_PER_INCH, height_mm / MM_PER_INCH)
    with style.context(["default", STYLE]):
        figure = Figure(figsize=size, facecolor=PAPER)
        _draw(figure, picture)
        figure.savefig(buffer, format="svg", metadata=NO_METADATA)
    return tidied(buffer.getvalue(), picture, _patterns(picture))


def _draw(figure: "Figure", picture: Picture | Spans) -> None:
    if isinstance(picture, Spans):
        draw_spans(figure, picture)
    elif picture.steps:
        draw_steps(figure, picture)
    else:
        _draw_plot(figure, picture)


def _patterns(picture: Picture | Spans) -> dict[str, str]:
    """Give the pattern of each colour that bars of the picture have."""
    if isinstance(picture, Spans):
        inks = [colours.CAUTIOUS, colours.HOPEFUL]
    else:
        inks = [series.ink for series in picture.series] + [colours.LOSS] * picture.steps
    return {ink.colour.lower(): ink.pattern for ink in inks}


def picture_data_uri(picture: Picture | Spans) -> str:
    """Give the drawing as a ``data:`` address, for an image in a saved workbook."""
    svg = picture_svg(picture).encode("utf-8")
    return "data:image/svg+xml;base64," + base64.b64encode(svg).decode("ascii")


def _draw_plot(figure: "Figure", picture: Picture) -> None:
    bars = [series for series in picture.series if not series.line]
    lines = [series for series in picture.series if series.line]
    ends = {series.name: wrapped(series.name, figure) for series in lines}
    named = widest(part for text in ends.values() for part in text.split("\n"))
    columns = _legend_columns(bars, figure)
    legend_rows = ceil(len(bars) / columns)
    room = Room(
        left=widest(f"{v:,.0f}" for s in picture.series for v in (*s.values, *s.high)) + 3.0,
        right=named + THREAD_MM + 1.0 if lines else 0.5,
        top=(1.1 + legend_rows if bars else 1.2) * ROW_MM,
        bottom=2 * ROW_MM,
    )
    axes = axes_with(figure, room)
    _stack(axes, bars)
    for series in lines:
        axes.plot(series.values, color=series.ink.colour, linewidth=2.0, clip_on=False,
                  linestyle=DASHES[series.ink.pattern], zorder=3)  # fmt: skip
    _scales(axes, picture, room, figure)
    _end_labels(axes, lines, ends)
    _above(axes, picture, bars, columns)


def _stack(axes: "Axes", bars: Sequence[Series]) -> None:
    if not bars:
        return
    base = [0.0] * len(bars[0].values)
    for series in bars:
        axes.bar(range(len(base)), series.values, BAR_WIDTH, base, label=series.name,
                 color=series.ink.colour, edgecolor=PAPER, linewidth=0.6,
                 hatch=hatch_of(series.ink), zorder=2)  # fmt: skip
        base = [low + value for low, value in zip(base, series.values, strict=True)]
        _whiskers(axes, series)


def _whiskers(axes: "Axes", series: Series) -> None:
    """Span each bar's likely range with a thin line that has feet."""
    for n, (low, high) in enumerate(zip(series.low, series.high, strict=True)):
        axes.plot([n, n], [low, high], color=TEXT, linewidth=0.9, zorder=4)
        for end in (low, high):
            axes.plot([n - FOOT, n + FOOT], [end, end], color=TEXT, linewidth=0.9, zorder=4)


def _scales(axes: "Axes", picture: Picture, room: Room, figure: "Figure") -> None:
    from matplotlib.ticker import FuncFormatter, MaxNLocator

    count = len(picture.labels)
    bars = any(not series.line for series in picture.series)
    axes.set_xlim(*((-0.6, count - 0.4) if bars else (0, max(1, count - 1))))
    slot_mm = (page_mm(figure) - room.left - room.right) / count
    shown = range(0, count, _label_step(count, (widest(picture.labels) + 2.0) / slot_mm))
    axes.set_xticks(shown, [picture.labels[n] for n in shown])
    axes.set_xlabel(picture.x_title, color=FAINT, labelpad=1)
    axes.yaxis.set_major_locator(MaxNLocator(6, steps=[1, 2, 2.5, 5, 10], min_n_ticks=4))
    axes.yaxis.set_major_formatter(FuncFormatter(lambda value, _: tick(value)))
    if min(min(series.values) for series in picture.series) >= 0:
        axes.set_ylim(bottom=0)
    axes.grid(axis="y", color=GRID, linewidth=0.6)
    axes.axhline(0, color=FAINT, linewidth=0.8, zorder=2.5)


def _label_step(count: int, slots: float) -> int:
    """Give every how many labels are shown, if one takes so many slots; the last one if it fits."""
    fits = [step for step in (1, 2, 5, 10, 20, count) if slots <= step]
    return next((step for step in fits if (count - 1) % step == 0), fits[0] if fits else count)


def _end_labels(axes: "Axes", lines: Sequence[Series], texts: dict[str, str]) -> None:
    """Name each line where it ends, moved apart where two would touch, with a thread to it."""
    low, high = axes.get_ylim()
    row = LINE_MM * (high - low) / _plot_height_mm(axes)
    ordered = sorted(lines, key=lambda series: series.values[-1])
    halves = [row * (texts[series.name].count("\n") + 1) / 2 for series in ordered]
    ends = [series.values[-1] for series in ordered]
    last = len(lines[0].values) - 1 if lines else 0
    beside = 1.0 + THREAD_MM / (float(axes.get_position().width) * _paper_mm(axes)[0])
    for series, end, middle in zip(ordered, ends, apart(ends, halves, (low, high)), strict=True):
        thread = {"arrowstyle": "-", "color": FAINT, "linewidth": 0.6, "shrinkA": 0, "shrinkB": 0,
                  "relpos": (0, 0.5)}  # fmt: skip
        axes.annotate(texts[series.name], (last, end), xycoords="data",
                      xytext=(beside, middle), textcoords=axes.get_yaxis_transform(),
                      va="center", linespacing=1.1,
                      arrowprops=thread if abs(middle - end) > row / 3 else None,
                      annotation_clip=False)  # fmt: skip


def apart(ends: Sequence[float], halves: Sequence[float], room: tuple[float, float]) -> list[float]:
    """Move names apart so that none touches the next, and keep them within the room.

    Parameters
    ----------
    ends : where each would stand, rising
    halves : half the height of each
    room : lowest and highest place

    Examples
    --------
    >>> apart([1.0, 1.1, 9.9], [0.5, 0.5, 0.5], (0.0, 10.0))
    [1.0, 2.0, 9.5]
    """
    placed, floor = [], room[0]
    for end, half in zip(ends, halves, strict=True):
        placed.append(max(end, floor + half))
        floor = placed[-1] + half
    ceiling = room[1]
    for n in reversed(range(len(placed))):
        placed[n] = min(placed[n], ceiling - halves[n])
        ceiling = placed[n] - halves[n]
    return placed


def _plot_height_mm(axes: "Axes") -> float:
    return float(axes.get_position().height) * _paper_mm(axes)[1]


def _paper_mm(axes: "Axes") -> tuple[float, float]:
    figure = axes.get_figure(root=True)
    assert figure is not None  # made by axes_with on a figure
    width, height = figure.get_size_inches()
    return float(width) * MM_PER_INCH, float(height) * MM_PER_INCH


def _legend_columns(bars: Sequence[Series], figure: "Figure") -> int:
    """Give how many names of bars fit beside each other."""
    return max(1, int(page_mm(figure) / (widest(series.name for series in bars) + KEY_MM)))


def _above(axes: "Axes", picture: Picture, bars: Sequence[Series], columns: int) -> None:
    """Put the unit over the axis, and the names of the bars over that."""
    figure, place = axes.get_figure(root=True), axes.get_position()
    assert figure is not None  # made by axes_with on a figure
    row = ROW_MM / MM_PER_INCH / float(figure.get_size_inches()[1])
    figure.text(0, place.y1 + row * 0.45, picture.y_title, color=FAINT)
    if bars:
        handles, names = axes.get_legend_handles_labels()
        # The legend fills its columns one by one; the names are to be read along its rows.
        order = [n for column in range(columns) for n in range(column, len(names), columns)]
        axes.legend([handles[n] for n in order], [names[n] for n in order], loc="lower left",
                    bbox_to_anchor=(0, place.y1 + row * 1.1), frameon=False,
                    bbox_transform=figure.transFigure, ncols=columns, handlelength=1.4,
                    handleheight=1.0, columnspacing=1.4, handletextpad=0.5, borderaxespad=0,
                    borderpad=0.1, labelspacing=0)  # fmt: skip
