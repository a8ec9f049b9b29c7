"""Draw spans and small bar charts on the screen: plotly JSON for a notebook."""

import json
from collections.abc import Iterator
from math import ceil
from typing import Any

from pvkit.present import colours
from pvkit.present.colours import Ink
from pvkit.present.picture import Small, Smalls, Spans
from pvkit.present.screen_charts import layout, pattern

# A little beyond the widest span, so that the words at its ends are not cut [-].
_WORDS_SHARE = 0.42
# Small charts in a row; height of a row and of the names above [px].
_BESIDE, _ROW_PX, _HEAD_PX = 2, 118, 62


def spans_json(picture: Spans) -> dict[str, Any]:
    """Draw each span to both sides of where they all start; its ends in words."""
    import plotly.graph_objects as go

    lows, highs = zip(*picture.said, strict=True)
    traces = [
        _side(picture, picture.low, lows, ("cautious", colours.CAUTIOUS)),
        _side(picture, picture.high, highs, ("hopeful", colours.HOPEFUL)),
    ]
    figure = go.Figure(traces, layout(picture.x_title, "", grid=True))
    figure.update_layout(barmode="overlay", margin={"l": 180, "r": 10, "t": 30})
    ends = (*picture.low, *picture.high, picture.base)
    beyond = _WORDS_SHARE * max(max(ends) - min(ends), 1.0)
    figure.update_xaxes(range=[min(ends) - beyond, max(ends) + beyond])
    figure.update_yaxes(autorange="reversed", showgrid=False, type="category")
    figure.add_vline(x=picture.base, line_width=2, line_color="#808080",
                     annotation_text=picture.base_words, annotation_position="top")  # fmt: skip
    return dict(json.loads(figure.to_json()))


def _side(
    picture: Spans, ends: tuple[float, ...], said: tuple[str, ...], named: tuple[str, Ink]
) -> dict[str, Any]:
    name, ink = named
    return {
        "type": "bar", "orientation": "h", "name": name, "y": list(picture.labels),
        "x": [round(end - picture.base, 1) for end in ends], "base": picture.base,
        "text": list(said), "textposition": "outside", "cliponaxis": False, "showlegend": False,
        "marker": {"color": ink.colour, "pattern": pattern(ink.pattern)},
        "hovertemplate": "%{y}: %{text}<extra></extra>",
    }  # fmt: skip


def smalls_json(picture: Smalls) -> dict[str, Any]:
    """Draw the small charts two beside each other, each bar with its figure in words."""
    from plotly.subplots import make_subplots

    charts = picture.charts
    rows = ceil(len(charts) / _BESIDE)
    figure = make_subplots(rows, _BESIDE, subplot_titles=[chart.title for chart in charts],
                           horizontal_spacing=0.06, vertical_spacing=0.3 / rows)  # fmt: skip
    for n, chart in enumerate(charts):
        for bar in _bars(picture, chart, first=n == 0):
            figure.add_trace(bar, row=n // _BESIDE + 1, col=n % _BESIDE + 1)
    look = layout("", "")
    figure.update_layout(look, height=_ROW_PX * rows + _HEAD_PX)
    figure.update_layout(margin={"t": _HEAD_PX, "b": 12, "l": 8}, legend={"y": 1 + 0.2 / rows})
    figure.update_xaxes({**look["xaxis"], "showticklabels": False}, type="category")
    figure.update_yaxes({**look["yaxis"], "showticklabels": False})
    figure.update_annotations(font_size=12)
    return dict(json.loads(figure.to_json()))


def _bars(picture: Smalls, chart: Small, *, first: bool) -> Iterator[dict[str, Any]]:
    """Give each bar as a trace of its own, so that the legend names it."""
    for label, ink, value, said in zip(
        picture.labels, picture.inks, chart.values, chart.said, strict=True
    ):
        yield {
            "type": "bar", "x": [label], "y": [value or 0.0], "name": label, "text": [said],
            "legendgroup": label, "showlegend": first, "textposition": "outside",
            "cliponaxis": False, "textangle": 0, "constraintext": "none",
            "textfont": {"size": 10},
            "marker": {"color": ink.colour, "pattern": pattern(ink.pattern)},
            "hovertemplate": "%{x}: %{text}<extra></extra>",
        }  # fmt: skip
