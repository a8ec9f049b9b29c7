"""Draw spans and small bar charts on the screen: plotly JSON for a notebook."""

import json
from typing import Any

from pvkit.present import colours
from pvkit.present.colours import Ink
from pvkit.present.picture import Small, Smalls, Spans
from pvkit.present.screen_charts import layout, pattern

# A little beyond the widest span, so that the words at its ends are not cut [-].
_WORDS_SHARE = 0.16


def spans_json(picture: Spans) -> dict[str, Any]:
    """Draw each span to both sides of where they all start; its ends in words."""
    import plotly.graph_objects as go

    lows, highs = zip(*picture.said, strict=True)
    traces = [
        _side(picture, picture.low, lows, ("cautious", colours.CAUTIOUS)),
        _side(picture, picture.high, highs, ("hopeful", colours.HOPEFUL)),
    ]
    figure = go.Figure(traces, layout(picture.x_title, "", grid=True))
    figure.update_layout(barmode="overlay", margin={"l": 195, "r": 10, "t": 30})
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
    """Draw the small charts side by side; a bar that there is not says so in words."""
    from plotly.subplots import make_subplots

    charts = picture.charts
    figure = make_subplots(1, len(charts), subplot_titles=[chart.title for chart in charts],
                           horizontal_spacing=0.07)  # fmt: skip
    for n, chart in enumerate(charts, start=1):
        figure.add_trace(_bars(picture, chart), row=1, col=n)
    figure.update_layout(layout("", ""), showlegend=False, margin={"t": 40, "b": 60, "l": 40})
    figure.update_xaxes(layout("", "")["xaxis"], type="category", tickangle=-35)
    figure.update_yaxes(layout("", "")["yaxis"], showticklabels=False)
    figure.update_annotations(font_size=12)
    return dict(json.loads(figure.to_json()))


def _bars(picture: Smalls, chart: Small) -> dict[str, Any]:
    return {
        "type": "bar", "x": list(picture.labels), "y": [value or 0.0 for value in chart.values],
        "text": list(chart.said), "textposition": "outside", "cliponaxis": False,
        "textfont": {"size": 10},
        "marker": {
            "color": [ink.colour for ink in picture.inks],
            "pattern": pattern([ink.pattern for ink in picture.inks]),
        },
        "hovertemplate": "%{x}: %{text}<extra></extra>",
    }  # fmt: skip
