"""Draw a picture for paper: SVG text, the same bytes every time, readable without colour."""

import base64
import io
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import TYPE_CHECKING

from pvkit.present import colours
from pvkit.present.colours import Ink
from pvkit.present.pictures import Picture, Series
from pvkit.present.rounding import change, whole
from pvkit.present.svg import tidied

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# A wide typeface that matplotlib carries along: what readers see is narrower (see svg.SHOWN_IN), so
# no label outgrows its room.
_LAID_OUT_IN = "DejaVu Sans"
_MM_PER_INCH, _POINTS_PER_INCH = 25.4, 72
_TEXT_POINTS, _LINE_MM, _ROW_MM = 8.0, 3.5, 4.8
_TEXT, _FAINT, _GRID, _PAPER = "#222222", "#555555", "#D8D8D8", "#FFFFFF"
_STYLE = {
    "svg.hashsalt": "pvkit",
    "svg.fonttype": "none",
    "font.family": [_LAID_OUT_IN],
    "font.size": _TEXT_POINTS,
    "text.parse_math": False,
    "text.color": _TEXT,
    "axes.unicode_minus": True,
}
_NO_METADATA = {"Date": None, "Creator": None, "Format": None, "Type": None}
_DASHES = {"": (0, ()), "dash": (0, (4, 1.6)), "dot": (0, (1, 1.6))}
_BAR_WIDTH = 0.74
_NAME_SHARE = 4.5


@dataclass(frozen=True, slots=True)
class _Room:
    """The paper around the plot [mm]."""

    left: float
    right: float
    top: float
    bottom: float


def picture_svg(picture: Picture, *, width_mm: float = 170, height_mm: float = 80) -> str:
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
    size = (width_mm / _MM_PER_INCH, height_mm / _MM_PER_INCH)
    with style.context(["default", _STYLE]):
        figure = Figure(figsize=size, facecolor=_PAPER)
        _draw_steps(figure, picture) if picture.steps else _draw_plot(figure, picture)
        figure.savefig(buffer, format="svg", metadata=_NO_METADATA)
    inks = [series.ink for series in picture.series] + [colours.LOSS] * picture.steps
    return tidied(buffer.getvalue(), picture, {ink.colour.lower(): ink.pattern for ink in inks})


def picture_data_uri(picture: Picture) -> str:
    """Give the drawing as a ``data:`` address, for an image in a saved workbook."""
    svg = picture_svg(picture).encode("utf-8")
    return "data:image/svg+xml;base64," + base64.b64encode(svg).decode("ascii")


def _draw_plot(figure: "Figure", picture: Picture) -> None:
    bars = [series for series in picture.series if not series.line]
    lines = [series for series in picture.series if series.line]
    ends = {series.name: _wrapped(series.name, figure) for series in lines}
    named = _widest(part for text in ends.values() for part in text.split("\n"))
    room = _Room(
        left=_widest(f"{value:,.0f}" for s in picture.series for value in s.values) + 3.0,
        right=named + 3.0 if lines else 0.5,
        top=(2.1 if bars else 1.2) * _ROW_MM,
        bottom=2 * _ROW_MM,
    )
    axes = _axes(figure, room)
    _stack(axes, bars)
    for series in lines:
        axes.plot(series.values, color=series.ink.colour, linewidth=2.0, clip_on=False,
                  linestyle=_DASHES[series.ink.pattern], zorder=3)  # fmt: skip
    _scales(axes, picture, room, figure)
    _end_labels(axes, lines, ends)
    _above(axes, picture, bars)


def _axes(figure: "Figure", room: _Room) -> "Axes":
    width, height = _width_mm(figure), float(figure.get_size_inches()[1]) * _MM_PER_INCH
    axes = figure.add_axes((
        room.left / width,
        room.bottom / height,
        1 - (room.left + room.right) / width,
        1 - (room.top + room.bottom) / height,
    ))  # fmt: skip
    axes.spines[:].set_visible(False)
    axes.tick_params(length=0, labelcolor=_FAINT, pad=3)
    axes.set_axisbelow(True)
    return axes


def _stack(axes: "Axes", bars: Sequence[Series]) -> None:
    if not bars:
        return
    base = [0.0] * len(bars[0].values)
    for series in bars:
        axes.bar(range(len(base)), series.values, _BAR_WIDTH, base, label=series.name,
                 color=series.ink.colour, edgecolor=_PAPER, linewidth=0.6,
                 hatch=_hatch(series.ink), zorder=2)  # fmt: skip
        base = [low + value for low, value in zip(base, series.values, strict=True)]


def _scales(axes: "Axes", picture: Picture, room: _Room, figure: "Figure") -> None:
    from matplotlib.ticker import FuncFormatter, MaxNLocator

    count = len(picture.labels)
    bars = any(not series.line for series in picture.series)
    axes.set_xlim(*((-0.6, count - 0.4) if bars else (0, max(1, count - 1))))
    slot_mm = (_width_mm(figure) - room.left - room.right) / count
    shown = range(0, count, _label_step(count, (_widest(picture.labels) + 2.0) / slot_mm))
    axes.set_xticks(shown, [picture.labels[n] for n in shown])
    axes.set_xlabel(picture.x_title, color=_FAINT, labelpad=1)
    axes.yaxis.set_major_locator(MaxNLocator(6, steps=[1, 2, 2.5, 5, 10], min_n_ticks=4))
    axes.yaxis.set_major_formatter(FuncFormatter(lambda value, _: _tick(value)))
    if min(min(series.values) for series in picture.series) >= 0:
        axes.set_ylim(bottom=0)
    axes.grid(axis="y", color=_GRID, linewidth=0.6)
    axes.axhline(0, color=_FAINT, linewidth=0.8, zorder=2.5)


def _label_step(count: int, slots: float) -> int:
    """Give every how many labels are shown, if one takes so many slots; the last one if it fits."""
    fits = [step for step in (1, 2, 5, 10, 20, count) if slots <= step]
    return next((step for step in fits if (count - 1) % step == 0), fits[0] if fits else count)


def _tick(value: float) -> str:
    return f"{value:,.10g}".replace("-", "−")


def _end_labels(axes: "Axes", lines: Sequence[Series], texts: dict[str, str]) -> None:
    """Name each line where it ends, moved apart where two would touch."""
    low, high = axes.get_ylim()
    floor = low
    for series in sorted(lines, key=lambda series: series.values[-1]):
        rows = texts[series.name].count("\n") + 1
        half = rows * _LINE_MM * (high - low) / _plot_height_mm(axes) / 2
        middle = max(series.values[-1], floor + half)
        floor = middle + half
        axes.annotate(texts[series.name], (1, middle), xycoords=("axes fraction", "data"),
                      xytext=(5, 0), textcoords="offset points", va="center", linespacing=1.1,
                      annotation_clip=False)  # fmt: skip


def _plot_height_mm(axes: "Axes") -> float:
    figure = axes.get_figure(root=True)
    assert figure is not None  # made by _axes on a figure
    return float(axes.get_position().height * figure.get_size_inches()[1] * _MM_PER_INCH)


def _above(axes: "Axes", picture: Picture, bars: Sequence[Series]) -> None:
    """Put the unit over the axis, and the names of the bars over that."""
    figure, place = axes.get_figure(root=True), axes.get_position()
    assert figure is not None  # made by _axes on a figure
    row = _ROW_MM / _MM_PER_INCH / float(figure.get_size_inches()[1])
    figure.text(0, place.y1 + row * 0.45, picture.y_title, color=_FAINT)
    if bars:
        axes.legend(loc="lower left", bbox_to_anchor=(0, place.y1 + row * 1.1), frameon=False,
                    bbox_transform=figure.transFigure, ncols=len(bars), handlelength=1.4,
                    handleheight=1.0, columnspacing=1.4, handletextpad=0.5, borderaxespad=0,
                    borderpad=0.1, labelspacing=0)  # fmt: skip


def _draw_steps(figure: "Figure", picture: Picture) -> None:
    """Draw falling steps down the page: each bar hangs where the one above it ended."""
    values = picture.series[0].values
    last = len(values) - 1
    said = [whole(v) if n in (0, last) else change(v) for n, v in enumerate(values)]
    axes = _axes(figure, _Room(_widest(picture.labels) + 3.0, _widest(said) + 4.0, 1.0, 8.0))
    ends = [*accumulate(values[:last]), values[last]]
    starts = [0.0, *ends[: last - 1], 0.0]
    for n, (start, end) in enumerate(zip(starts, ends, strict=True)):
        ink = colours.LEVEL if n in (0, last) else _step_ink(values[n])
        axes.barh(n, end - start, _BAR_WIDTH, start, color=ink.colour, edgecolor=_PAPER,
                  linewidth=0, hatch=_hatch(ink), zorder=2)  # fmt: skip
        if n < last:
            axes.plot([end, end], [n, n + 1], color=_FAINT, linewidth=0.6, zorder=3)
        axes.annotate(said[n], (1, n), xycoords=("axes fraction", "data"), xytext=(4, 0),
                      textcoords="offset points", va="center", annotation_clip=False,
                      fontweight="bold" if n in (0, last) else "normal")  # fmt: skip
    axes.set_yticks(range(last + 1), picture.labels)
    axes.tick_params(axis="y", labelcolor=_TEXT)
    axes.set_ylim(last + 0.6, -0.6)
    axes.set_xlim(0, max(1.0, *starts, *ends))
    axes.xaxis.set_major_formatter(lambda value, _: _tick(value))
    axes.set_xlabel(picture.x_title, color=_FAINT, labelpad=2)
    axes.grid(axis="x", color=_GRID, linewidth=0.6)


def _step_ink(value: float) -> Ink:
    return colours.GAIN if value > 0 else colours.LOSS


def _wrapped(name: str, figure: "Figure") -> str:
    """Break a line's name so that it takes about a fifth of the width."""
    letters = int(_width_mm(figure) / _NAME_SHARE / _widest(["n"]))
    return "\n".join(textwrap.wrap(name, max(9, letters)))


def _width_mm(figure: "Figure") -> float:
    return float(figure.get_size_inches()[0]) * _MM_PER_INCH


def _hatch(ink: Ink) -> str:
    """Mark a bar as patterned; the pattern itself is drawn by :mod:`pvkit.present.svg`."""
    return "/" if ink.pattern else ""


def _widest(texts: Iterable[str]) -> float:
    """Width of the longest of some texts as laid out [mm]."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    font = FontProperties(family=_LAID_OUT_IN, size=_TEXT_POINTS)
    widths = [
        text_to_path.get_text_width_height_descent(text, font, False)[0] for text in texts if text
    ]
    return float(max(widths, default=0.0)) / _POINTS_PER_INCH * _MM_PER_INCH
