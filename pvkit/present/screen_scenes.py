"""Draw places on the screen: roof sketches, the roof from the sun, heat maps, curves."""

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pvkit.present import colours
from pvkit.present.colours import Ink
from pvkit.present.screen_charts import layout
from pvkit.roof.sketch import Role, Shape, Sketch
from pvkit.roof.sun_eye import Patch
from pvkit.tables import MONTHS

Array = NDArray[np.float64]
Outline = Sequence[tuple[float, float]]

_FILL: dict[Role, str] = {
    "roof": "rgba(128,128,128,0.18)",
    "module": colours.BLUE,
    "box": colours.VERMILION,
    "cylinder": colours.VERMILION,
    "parapet": colours.GREY,
    "ridge": colours.GREY,
    "wall": colours.GREY,
    "tree": colours.GREEN,
}
_SHADE = "#1A1A1A"
_ROOM_M = 1.5


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a curve chart: a name, its points, its colour and dash."""

    name: str
    x: Sequence[float]
    y: Sequence[float]
    ink: Ink


@dataclass(frozen=True, slots=True)
class Mark:
    """One marked point of a curve chart, with its words beside it."""

    words: str
    x: float
    y: float


def sketch_json(sketch: Sketch, height_px: int = 300) -> dict[str, Any]:
    """Draw a roof's plan (left) with its north arrow, and its side (right), to scale in metres."""
    from plotly.subplots import make_subplots

    figure = make_subplots(1, 2, column_widths=[0.6, 0.4], subplot_titles=["plan, m", "side, m"])
    for column, shapes in ((1, sketch.plan), (2, sketch.side)):
        figure.add_traces([_shape(shape) for shape in shapes], rows=1, cols=column)
    figure.update_layout(layout("", ""), showlegend=False, height=height_px)
    for column in (1, 2):
        figure.update_yaxes(scaleanchor=f"x{'' if column == 1 else column}", row=1, col=column)
    figure.add_annotation(_north_arrow(sketch.north_deg))
    return _plain(figure)


def sun_eye_json(patches: Iterable[Patch], height_px: int = 300) -> dict[str, Any]:
    """Draw the roof as the sun sees it; parts of modules in shade are dark and say so."""
    import plotly.graph_objects as go

    drawn = tuple(patches)
    figure = go.Figure([_patch(patch) for patch in drawn])
    figure.update_layout(layout("m across the sun's view", "m up it"), showlegend=False)
    figure.update_layout(height=height_px)
    figure.update_yaxes(scaleanchor="x", rangemode="normal")
    for roof in (patch for patch in drawn if patch.role == "roof"):
        across, up = zip(*roof.outline, strict=True)
        figure.update_xaxes(range=_with_margin(across))
        figure.update_yaxes(range=_with_margin(up))
    return _plain(figure)


def _with_margin(values: Sequence[float]) -> list[float]:
    """Leave a little room round the roof; what stands farther off is cut."""
    return [min(values) - _ROOM_M, max(values) + _ROOM_M]


def heat_map_json(values: Array, title: str, unit: str = "%") -> dict[str, Any]:
    """Draw a quantity by month (down) and local hour (across).

    Parameters
    ----------
    values : (12, 24); NaN where there is nothing to show
    title : what the colours mean
    unit : of the values
    """
    import plotly.graph_objects as go

    hours = [f"{hour:02d}" for hour in range(24)]
    months = [month.title() for month in MONTHS]
    shown = np.where(np.isfinite(values), np.round(values, 2), np.nan)
    bar = {"title": {"text": title}, "thickness": 12}
    figure = go.Figure(
        go.Heatmap(z=shown.tolist(), x=hours, y=months, colorscale="Cividis", colorbar=bar,
                   hovertemplate=f"%{{y}} %{{x}}:00, %{{z:.3g}} {unit}<extra></extra>")
    )  # fmt: skip
    figure.update_layout(layout("hour of the day, local clock", ""))
    figure.update_yaxes(autorange="reversed")
    figure.update_xaxes(type="category")
    return _plain(figure)


def curves_json(
    lines: Sequence[Line], marks: Sequence[Mark], titles: tuple[str, str]
) -> dict[str, Any]:
    """Draw lines over numbers, with points marked and named."""
    import plotly.graph_objects as go

    traces: list[dict[str, Any]] = [
        {
            "type": "scatter", "mode": "lines", "name": line.name,
            "x": list(line.x), "y": list(line.y),
            "line": {"color": line.ink.colour, "width": 2.5, "dash": line.ink.pattern or "solid"},
        }
        for line in lines
    ]  # fmt: skip
    traces += [
        {
            "type": "scatter", "mode": "markers+text", "x": [mark.x], "y": [mark.y],
            "text": [mark.words], "textposition": "top left", "showlegend": False,
            "marker": {"size": 11, "color": colours.VERMILION, "symbol": "diamond"},
        }
        for mark in marks
    ]  # fmt: skip
    figure = go.Figure(traces, layout(*titles))
    return _plain(figure)


def _shape(shape: Shape) -> dict[str, Any]:
    x, y = _closed(shape.outline)
    words = f"{shape.name} {shape.number}" if shape.number else shape.name
    trace: dict[str, Any] = {
        "type": "scatter", "x": x, "y": y, "mode": "lines", "fill": "toself", "name": words,
        "fillcolor": _FILL[shape.role], "opacity": 0.55 if shape.role != "roof" else 1.0,
        "line": {"color": _SHADE if shape.role == "module" else _FILL[shape.role], "width": 1.5},
        "hoverinfo": "name",
    }  # fmt: skip
    return trace


def _patch(patch: Patch) -> dict[str, Any]:
    x, y = _closed(patch.outline)
    colour = _FILL[patch.role]
    if patch.role == "module":
        colour = _mixed(_SHADE, colours.SKY_BLUE, patch.lit)
    words = f"{patch.name} {patch.number}: {patch.lit:.0%} lit" if patch.number else patch.name
    return {
        "type": "scatter", "x": x, "y": y, "mode": "lines", "fill": "toself", "name": words,
        "fillcolor": colour, "line": {"color": "#808080", "width": 0.7}, "hoverinfo": "name",
        "opacity": 0.75 if patch.role in ("tree", "wall", "ridge") else 1.0,
    }  # fmt: skip


def _closed(outline: Outline) -> tuple[list[float], list[float]]:
    points = [*outline, outline[0]]
    return [round(x, 3) for x, _ in points], [round(y, 3) for _, y in points]


def _mixed(dark: str, bright: str, share: float) -> str:
    pairs = zip(_rgb(dark), _rgb(bright), strict=True)
    red, green, blue = (round(a + (b - a) * share) for a, b in pairs)
    return f"rgb({red},{green},{blue})"


def _rgb(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _north_arrow(north_deg: float) -> dict[str, Any]:
    """Point an arrow to north in the plan's upper left corner."""
    turn = np.radians(north_deg)
    return {
        "xref": "paper", "yref": "paper", "x": 0.03, "y": 0.93, "text": "N", "showarrow": True,
        "ax": -26 * float(np.sin(turn)), "ay": 26 * float(np.cos(turn)), "axref": "pixel",
        "ayref": "pixel", "arrowhead": 2, "arrowwidth": 2, "arrowcolor": "#808080",
    }  # fmt: skip


def _plain(figure: Any) -> dict[str, Any]:
    return dict(json.loads(figure.to_json()))
