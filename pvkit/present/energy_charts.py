"""Draw where a home's energy goes: bars above and below, flows between places, prices by path."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor, log10
from typing import Any

from pvkit.present.colours import Ink
from pvkit.present.picture import Series, rounded
from pvkit.present.screen_charts import layout, pattern

_TEXT, _EDGE, _CLEAR = "#808080", "rgba(128,128,128,0.8)", "rgba(0,0,0,0)"
_MOST_TICKS = 6
_ROOM = 1.3  # for the words above and below the bars


@dataclass(frozen=True, slots=True)
class Flow:
    """One flow between two places [kWh]."""

    start: str
    end: str
    kwh: float
    ink: Ink


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
    figure.update_xaxes(type="category", nticks=13)
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


def flows_json(flows: Sequence[Flow], inks: Mapping[str, Ink]) -> dict[str, Any]:
    """Draw flows between places; each place is named with its kWh.

    Parameters
    ----------
    flows : none of them empty
    inks : colour of each place
    """
    import plotly.graph_objects as go

    places = list(dict.fromkeys(name for flow in flows for name in (flow.start, flow.end)))
    sums = {name: max(sum(f.kwh for f in flows if f.start == name),
                      sum(f.kwh for f in flows if f.end == name)) for name in places}  # fmt: skip
    figure = go.Figure(
        go.Sankey(
            arrangement="snap",
            textfont={"color": _TEXT, "size": 13, "shadow": "none"},
            node={
                "label": [f"{name}: {sums[name]:,.0f} kWh" for name in places],
                "color": [inks[name].colour for name in places],
                "line": {"color": _EDGE, "width": 0.5}, "pad": 18, "thickness": 14,
                "hovertemplate": "%{label}<extra></extra>",
            },
            link={
                "source": [places.index(flow.start) for flow in flows],
                "target": [places.index(flow.end) for flow in flows],
                "value": [round(flow.kwh, 1) for flow in flows],
                "color": [_faint(flow.ink) for flow in flows],
                "hovertemplate": "%{source.label} to<br>%{target.label}<br>"
                                 "%{value:,.0f} kWh<extra></extra>",
            },
        ),
        layout("", ""),
    )  # fmt: skip
    figure.update_layout(margin={"l": 4, "r": 4, "t": 8, "b": 8})
    return _plain(figure)


def _faint(ink: Ink) -> str:
    red, green, blue = (int(ink.colour[at : at + 2], 16) for at in (1, 3, 5))
    return f"rgba({red},{green},{blue},0.55)"


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
    figure.update_xaxes(range=[min([bar.value for bar in bars] + [0.0]), 1.7 * most])
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
    titles : of the common axis, then of each upright one
    here : where the present case stands
    """
    from plotly.subplots import make_subplots

    figure = make_subplots(1, 2, horizontal_spacing=0.12)
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
                         col=column, annotation_text="now", annotation_position="top")  # fmt: skip
    look = layout("", "")
    figure.update_layout({key: look[key] for key in look if not key.endswith("axis")})
    for column, title in ((1, titles[1]), (2, titles[2])):
        figure.update_xaxes(look["xaxis"] | {"title": {"text": titles[0]}}, row=1, col=column)
        figure.update_yaxes(look["yaxis"] | {"title": {"text": title}}, row=1, col=column)
    return _plain(figure)


def _plain(figure: Any) -> dict[str, Any]:
    return dict(json.loads(figure.to_json()))
