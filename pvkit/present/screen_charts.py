"""Draw a picture on the screen: plotly JSON that a notebook shows, in light and dark themes."""

from collections.abc import Sequence
from typing import Any

from pvkit.present import colours
from pvkit.present.picture import Picture, Series
from pvkit.present.rounding import whole

HEIGHT_PX = 300
# Readable on white and on JupyterLab's dark theme alike.
_TEXT, _GRID, _CLEAR = "#808080", "rgba(128,128,128,0.35)", "rgba(0,0,0,0)"


def picture_json(picture: Picture, faint: Picture | None = None) -> dict[str, Any]:
    """Give a picture as plotly's JSON.

    Parameters
    ----------
    picture : what to draw
    faint : the same picture for the surveyed case, drawn as thin outlines behind

    Returns
    -------
    the figure, for a notebook's ``application/vnd.plotly.v1+json``
    """
    look = layout(picture.x_title, picture.y_title, grid=picture.steps)
    if picture.steps:
        look["yaxis"] |= {"autorange": "reversed", "showgrid": False}
        look["margin"] |= {"l": 215, "r": 50, "t": 6}
        return plain_figure([_steps(picture)], look)
    traces = [_trace(series, picture.labels) for series in picture.series]
    return plain_figure(traces if faint is None else [*traces, _faint(picture, faint)], look)


def plain_figure(traces: Sequence[dict[str, Any]], look: dict[str, Any]) -> dict[str, Any]:
    """Give a figure as it is sent to the screen.

    Plotly's own figures would check every key on the way, each time a slider moves; the tests do
    that instead.
    """
    return {"data": list(traces), "layout": {k: v for k, v in look.items() if k != "template"}}


def layout(x_title: str, y_title: str, *, grid: bool = False) -> dict[str, Any]:
    """Give the look that every screen chart has: no box, a light grid, text for both themes."""
    axis = {"gridcolor": _GRID, "zerolinecolor": _GRID, "automargin": True, "fixedrange": True}
    return {
        "template": "none",
        "height": HEIGHT_PX,
        "barmode": "stack",
        "dragmode": False,
        "paper_bgcolor": _CLEAR,
        "plot_bgcolor": _CLEAR,
        "font": {"color": _TEXT, "size": 12},
        "margin": {"l": 56, "r": 10, "t": 44, "b": 40},
        "legend": {"orientation": "h", "y": 1.02, "yanchor": "bottom", "x": 0},
        "xaxis": {**axis, "title": {"text": x_title}, "showgrid": grid},
        "yaxis": {**axis, "title": {"text": y_title}, "rangemode": "tozero"},
    }


def _trace(series: Series, labels: tuple[str, ...]) -> dict[str, Any]:
    common = {"name": series.name, "x": list(labels), "y": list(series.values)}
    ink = series.ink
    if series.line:
        line = {"color": ink.colour, "width": 3, "dash": ink.pattern or "solid"}
        return {"type": "scatter", "mode": "lines", "line": line, **common}
    marker = {"color": ink.colour, "pattern": pattern(ink.pattern)}
    return {"type": "bar", "marker": marker, **common, **_whiskers(series)}


def _whiskers(series: Series) -> dict[str, Any]:
    """Span each bar's likely range."""
    if not series.low:
        return {}
    above = [high - value for high, value in zip(series.high, series.values, strict=True)]
    below = [value - low for low, value in zip(series.low, series.values, strict=True)]
    look = {"color": _TEXT, "thickness": 1.5, "width": 4}
    return {"error_y": {"type": "data", "array": above, "arrayminus": below, **look}}


def pattern(shape: str | list[str]) -> dict[str, Any]:
    """Lay the pattern in white over the bar's own colour."""
    return {"shape": shape, "fillmode": "overlay", "fgcolor": "rgba(255,255,255,0.7)", "size": 6}


def _faint(picture: Picture, faint: Picture) -> dict[str, Any]:
    """Draw the surveyed case as one dotted line: the top of its bars, or its first line."""
    bars = [series.values for series in faint.series if not series.line]
    values = [sum(column) for column in zip(*bars, strict=True)] if bars else faint.series[0].values
    ink = colours.SURVEYED
    return {
        "type": "scatter",
        "mode": "lines",
        "line": {"color": ink.colour, "width": 2, "dash": ink.pattern,
                 "shape": "hvh" if bars else "linear"},
        "name": "as surveyed",
        "x": list(picture.labels),
        "y": list(values),
    }  # fmt: skip


def _steps(picture: Picture) -> dict[str, Any]:
    """Falling steps: each bar hangs where the one above it ended."""
    values = picture.series[0].values
    last = len(values) - 1
    ends = [sum(values[: n + 1]) for n in range(last)]
    bases = (
        [0.0] + [end - value for end, value in zip(ends[1:], values[1:last], strict=True)] + [0.0]
    )
    inks = [
        colours.LEVEL if n in (0, last) else colours.GAIN if value > 0 else colours.LOSS
        for n, value in enumerate(values)
    ]
    return {
        "type": "bar",
        "orientation": "h",
        "y": list(picture.labels),
        "x": list(values),
        "base": bases,
        "text": [whole(value) for value in values],
        "textposition": "outside",
        "cliponaxis": False,
        "marker": {
            "color": [ink.colour for ink in inks],
            "pattern": pattern([ink.pattern for ink in inks]),
        },
        "showlegend": False,
    }  # fmt: skip
