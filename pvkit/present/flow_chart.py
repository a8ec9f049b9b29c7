"""Draw flows of energy between places that stand in columns."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pvkit.present.colours import Ink
from pvkit.present.screen_charts import HEIGHT_PX, layout

Columns = Sequence[Sequence[str]]

_EDGE, _GROUND = "rgba(128,128,128,0.8)", "#5A5A5A"
_FIELD_EDGE = 1e-3  # places at 0 or 1 are moved by the drawing itself
_PAD_PX, _MARGIN_PX = 16, 8
_FIRST_THIRD = 1 / 3


@dataclass(frozen=True, slots=True)
class Flow:
    """One flow between two places [kWh]."""

    start: str
    end: str
    kwh: float
    ink: Ink


def flows_json(flows: Sequence[Flow], columns: Columns, inks: Mapping[str, Ink]) -> dict[str, Any]:
    """Draw flows between places, each named with its kWh beside the flows, on clear ground.

    Parameters
    ----------
    flows : none of them empty
    columns : the places from left to right, each column from above
    inks : colour of each place
    """
    import plotly.graph_objects as go

    places, sums, spots = placed(flows, columns)
    figure = go.Figure(
        go.Sankey(
            arrangement="fixed",
            node={
                "label": [""] * len(places),
                "customdata": places,
                "x": [spots[name][0] for name in places],
                "y": [spots[name][1] for name in places],
                "color": [inks[name].colour for name in places],
                "line": {"color": _EDGE, "width": 0.5}, "pad": _PAD_PX, "thickness": 14,
                "hovertemplate": "%{customdata}: %{value:,.0f} kWh<extra></extra>",
            },
            link={
                "source": [places.index(flow.start) for flow in flows],
                "target": [places.index(flow.end) for flow in flows],
                "value": [round(flow.kwh, 1) for flow in flows],
                "color": [_faint(flow.ink) for flow in flows],
                "customdata": [f"{flow.start} to {flow.end}" for flow in flows],
                "hovertemplate": "%{customdata}: %{value:,.0f} kWh<extra></extra>",
            },
        ),
        layout("", ""),
    )  # fmt: skip
    figure.update_layout(margin={"l": 84, "r": 104, "t": _MARGIN_PX, "b": _MARGIN_PX})
    figure.update_layout(annotations=[_named(name, sums[name], spots[name]) for name in places])
    return dict(json.loads(figure.to_json()))


def placed(
    flows: Sequence[Flow], columns: Columns
) -> tuple[list[str], dict[str, float], dict[str, tuple[float, float]]]:
    """Place each place in its column: names, kWh through each, and middles as shares of the field.

    Every column has its places spread over the whole height, each as tall as its energy.

    Examples
    --------
    >>> flow = Flow("sun", "home", 10.0, Ink("#000000"))
    >>> placed([flow], (("sun",), ("home",)))[2]
    {'sun': (0.001, 0.5), 'home': (0.999, 0.5)}
    """
    out, into = ({flow.start: 0.0 for flow in flows}, {flow.end: 0.0 for flow in flows})
    for flow in flows:
        out[flow.start] += flow.kwh
        into[flow.end] += flow.kwh
    sums = {name: max(out.get(name, 0.0), into.get(name, 0.0)) for name in {**out, **into}}
    shown = [[name for name in column if name in sums] for column in columns]
    a_pad = _PAD_PX / (HEIGHT_PX - 2 * _MARGIN_PX)
    # A kWh is as tall as the fullest column allows, the least room between its places counted.
    kwh_height = min((1.0 - a_pad * (len(column) - 1)) / sum(sums[name] for name in column)
                     for column in shown if column)  # fmt: skip
    spots = {}
    for number, column in enumerate(shown):
        x = min(max(number / (len(shown) - 1), _FIELD_EDGE), 1.0 - _FIELD_EDGE)
        heights = [kwh_height * sums[name] for name in column]
        gap = (1.0 - sum(heights)) / max(len(column), 1)
        top = gap / 2
        for name, height in zip(column, heights, strict=True):
            spots[name] = (x, round(top + height / 2, 4))
            top += height + gap
    return list(spots), sums, spots


def _named(name: str, kwh: float, spot: tuple[float, float]) -> dict[str, Any]:
    """Name a place: on the left before it, on the right behind it, in the middle above it."""
    x, y = spot
    side = "right" if x < _FIRST_THIRD else "left" if x > 1.0 - _FIRST_THIRD else "center"
    shift = {"right": -12, "left": 12, "center": 0}[side]
    # What stands amid the flows has a ground of its own, to be read in either theme.
    ground = {"bgcolor": _GROUND, "font": {"color": "#FFFFFF"}} if side == "center" else {}
    return {
        "text": f"<b>{name}</b><br>{kwh:,.0f} kWh", "xref": "paper", "yref": "paper", "x": x,
        "y": 1.0 - y, "xanchor": side, "yanchor": "middle", "xshift": shift, "showarrow": False,
        "align": side, **ground,
    }  # fmt: skip


def _faint(ink: Ink) -> str:
    red, green, blue = (int(ink.colour[at : at + 2], 16) for at in (1, 3, 5))
    return f"rgba({red},{green},{blue},0.55)"
