"""Draw a home's energy and prices: bars above and below a line, bars with words, two lines."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, log10
from typing import Any

from pvkit.present.colours import Ink
from pvkit.present.picture import Series, rounded
from pvkit.present.screen_charts import layout, pattern

_TEXT, _EDGE = "#808080", "rgba(128,128,128,0.8)"
_MOST_TICKS, _MOST_LABELS = 6, 8
_BAR_ROOM = 1.6  # for the words behind the longest bar
_ROOM = 1.3  # for the words above and below the bars


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar with its words behind it."""

    name: str
    value: float
    words: str
    ink: Ink


def mirrored_json(
    labels: Sequence[str], above: Sequence[Series], below: Sequence[Series],
    titles: tuple[str, str], sides: tuple[str, str],
) -> dict[str, Any]:  # fmt: skip
    """Draw stacked bars above a line and others below it.

    Parameters
    ----------
    labels : along the horizontal axis
    above, below : what is stacked on each side; a name that stands on both is in the legend once
    titles : of the two axes, with units
    sides : what stands above and below, in words
    """
    import plotly.graph_objects as go

    named = {series.name for series in above}
    traces = [_bars(series, labels, 1.0, legend=True) for series in above]
    traces += [_bars(series, labels, -1.0, legend=series.name not in named) for series in below]
    figure = go.Figure(traces, layout(*titles))
    figure.update_layout(barmode="relative", bargap=0.1)
    ends = [max((sum(c) for c in zip(*(s.values for s in side), strict=True)), default=0.0)
            for side in (above, below)]  # fmt: skip
    high, low = (_ROOM * max(end, 1e-3) for end in ends)
    marks = _marks(low, high)
    figure.update_yaxes(range=[-low, high], tickvals=marks, ticktext=[f"{abs(m):g}" for m in marks])
    every = max(1, len(labels) // _MOST_LABELS)
    figure.update_xaxes(type="category", tickvals=list(labels[::every]), tickangle=0)
    for words, place, anchor in zip(sides, (1.0, 0.0), ("top", "bottom"), strict=True):
        figure.add_annotation(text=words, xref="paper", yref="paper", x=0.01, y=place,
                              yanchor=anchor, xanchor="left", showarrow=False)  # fmt: skip
    return _plain(figure)


def _bars(series: Series, labels: Sequence[str], sign: float, *, legend: bool) -> dict[str, Any]:
    values = [round(sign * value, 3) for value in series.values]
    marker = {"color": series.ink.colour, "pattern": pattern(series.ink.pattern),
              "line": {"color": _EDGE, "width": 0.4}}  # fmt: skip
    return {
        "type": "bar", "name": series.name, "x": list(labels), "y": values, "marker": marker,
        "legendgroup": series.name, "showlegend": legend,
        "customdata": [abs(value) for value in values],
        "hovertemplate": "%{x}: %{customdata:.2f} kWh<extra>" + series.name + "</extra>",
    }  # fmt: skip


def _marks(low: float, high: float) -> list[float]:
    """Give round values on both sides of zero."""
    rough = (low + high) / _MOST_TICKS
    size = 10.0 ** floor(log10(rough))
    step = next(size * each for each in (1.0, 2.0, 5.0, 10.0) if size * each >= rough)
    return [round(step * n, 9) for n in range(-floor(low / step), floor(high / step) + 1)]


def bars_json(bars: Sequence[Bar], x_title: str) -> dict[str, Any]:
    """Draw bars across the page, each with its words behind it."""
    import plotly.graph_objects as go

    trace = {
        "type": "bar", "orientation": "h", "showlegend": False, "cliponaxis": False,
        "x": rounded(bar.value for bar in bars), "y": [bar.name for bar in bars],
        "text": [bar.words for bar in bars], "textposition": "outside",
        "hoverinfo": "skip",
        "marker": {"color": [bar.ink.colour for bar in bars],
                   "pattern": pattern([bar.ink.pattern for bar in bars]),
                   "line": {"color": _EDGE, "width": 0.4}},
    }  # fmt: skip
    figure = go.Figure(trace, layout(x_title, "", grid=True))
    most = max([bar.value for bar in bars] + [1.0])
    figure.update_xaxes(range=[min([bar.value for bar in bars] + [0.0]), _BAR_ROOM * most])
    figure.update_yaxes(autorange="reversed", showgrid=False)
    figure.update_layout(margin={"t": 8})
    return _plain(figure)


def pair_json(
    x: Sequence[float], left: Series, right: Series, titles: tuple[str, str, str], here: float
) -> dict[str, Any]:
    """Draw two lines over the same axis side by side, with the present case marked.

    Parameters
    ----------
    x : along both axes
    left, right : the lines
    titles : of the common axis, then above each picture, with its unit
    here : where the present case stands
    """
    from plotly.subplots import make_subplots

    figure = make_subplots(1, 2, horizontal_spacing=0.12, subplot_titles=titles[1:])
    for column, line in ((1, left), (2, right)):
        figure.add_trace(
            {
                "type": "scatter", "mode": "lines+markers", "name": line.name, "x": list(x),
                "y": list(line.values), "line": {"color": line.ink.colour, "width": 2.5},
                "marker": {"size": 6}, "showlegend": False,
            },
            row=1, col=column,
        )  # fmt: skip
        figure.add_vline(x=here, line={"color": _TEXT, "dash": "dot", "width": 2}, row=1,
                         col=column, annotation_text="now",
                         annotation_position="bottom right")  # fmt: skip
    look = layout("", "")
    figure.update_layout({key: look[key] for key in look if not key.endswith("axis")})
    figure.update_xaxes(look["xaxis"] | {"title": {"text": titles[0]}})
    figure.update_yaxes(look["yaxis"])
    figure.update_annotations(font={"size": 13})
    return _plain(figure)


def _plain(figure: Any) -> dict[str, Any]:
    return dict(json.loads(figure.to_json()))
