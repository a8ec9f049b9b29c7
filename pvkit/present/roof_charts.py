"""The flat roof workbook's charts: tilt and pitch against energy, coefficient against ballast."""

import json
import re
from typing import Any

import numpy as np
import pandas as pd

from pvkit.present import colours
from pvkit.present.colours import Ink
from pvkit.present.screen_charts import layout
from pvkit.roof.ballast_plan import ballast_by_coefficient
from pvkit.roof.ballast_words import signed
from pvkit.roof.hold_plan import BallastPlan
from pvkit.study.roof_case import RoofCase

Chart = tuple[dict[str, Any], str]
_Said = tuple[str, float, float]
_CURVE = np.round(np.arange(-1.6, -0.049, 0.05), 3)
_INKS = (
    Ink(colours.BLUE, "solid"), Ink(colours.GREEN, "dash"), Ink(colours.VERMILION, "dot"),
    Ink(colours.PURPLE, "dashdot"),
)  # fmt: skip
_PLACES = {"solid": "bottom left", "dash": "bottom right", "dot": "top right",
           "dashdot": "top center"}  # fmt: skip
# Points nearer than this on both axes share one label [kWh/kWp, kWh/m2].
_NEAR = (8.0, 1.5)
TRADE_PX = 340
_SHORT = {"row standing alone, space below": "alone,", "as proven in a wind tunnel,": "tunnel,",
          "rows tied and closed at the back": "tied and closed",
          "rows tied, or closed at the back": "tied or closed"}  # fmt: skip


def trade_chart(table: pd.DataFrame) -> Chart:
    """Chart what each kWp makes against what each square metre of roof makes.

    Parameters
    ----------
    table : from :func:`pvkit.study.layout_choice.layout_choices`

    Returns
    -------
    plotly's JSON, and the sentence beside it
    """
    ways, said = _ways(table), list[_Said]()
    traces = [_way(*way, _INKS[n % len(_INKS)], said) for n, way in enumerate(ways)]
    best = table.sort_values("kwh_per_m2").iloc[-1]
    words = (
        f"Each point is the largest array of its kind, marked tilt: panels. Most from the roof: "
        f"{best['arrangement']} at {best['surface_tilt']:g}°, {best['count']} panels, "
        f"{best['kwh_per_m2']:.0f} kWh/m². D.c., panels new."
    )
    look = layout("kWh a year from each kWp", "kWh a year from each m² of roof", grid=True)
    look["yaxis"] |= {"rangemode": "normal", "showgrid": True}
    look["height"] = TRADE_PX
    return _plain(traces, look), words


def _ways(table: pd.DataFrame) -> list[tuple[str, pd.DataFrame]]:
    words = {
        (arrangement, spaced): f"rows by {spaced.partition(',')[0]}"
        if arrangement == "rows"
        else arrangement
        for arrangement, spaced in zip(table["arrangement"], table["spaced_for"], strict=True)
    }
    return [
        (name, table[(table["arrangement"] == a) & (table["spaced_for"] == s)])
        for (a, s), name in words.items()
    ]


def _way(name: str, rows: pd.DataFrame, ink: Ink, said: list[_Said]) -> dict[str, Any]:
    """Draw one way of covering the roof; what a label close by says already is not said again."""
    places = list(zip(_labels(rows), rows["kwh_per_kwp"], rows["kwh_per_m2"], strict=True))
    labels = ["" if any(_same(place, other) for other in said) else place[0] for place in places]
    said += places
    return {
        "type": "scatter", "mode": "lines+markers+text", "name": name,
        "x": [round(float(v), 1) for v in rows["kwh_per_kwp"]],
        "y": [round(float(v), 2) for v in rows["kwh_per_m2"]],
        "text": labels, "textposition": _PLACES[ink.pattern], "textfont": {"size": 11},
        "hovertext": [f"{name}, {label}" for label in _labels(rows, apart=True)],
        "hoverinfo": "text", "cliponaxis": False, "marker": {"size": 8},
        "line": {"color": ink.colour, "width": 2, "dash": ink.pattern},
    }  # fmt: skip


def _same(one: _Said, other: _Said) -> bool:
    near = abs(one[1] - other[1]) < _NEAR[0] and abs(one[2] - other[2]) < _NEAR[1]
    return one[0] == other[0] and near


def _labels(rows: pd.DataFrame, *, apart: bool = False) -> list[str]:
    """Give each point its tilt and panels; points that lie together share the last one's label."""
    points = list(
        zip(rows["surface_tilt"], rows["count"], rows["kwh_per_kwp"], rows["kwh_per_m2"],
            strict=True)
    )  # fmt: skip
    found, tilts = [], ""
    for point, after in zip(points, [*points[1:], None], strict=True):
        tilt, count, across, up = point
        tilts += f"{', ' if tilts else ''}{tilt:g}°"
        near = after is not None and count == after[1] and _same(("", across, up), ("", *after[2:]))
        if near and not apart:
            found.append("")
        else:
            found.append(f"{tilts}: {count}")
            tilts = ""
    return found


def coefficient_chart(case: RoofCase) -> Chart:
    """Chart the ballast of one inner module against the coefficient, known ones marked.

    Parameters
    ----------
    case : a roof as covered and held; of several arrays the one that weighs most is taken

    Returns
    -------
    plotly's JSON, and the sentence beside it
    """
    plan = case.hold.worst
    taken = plan.coefficient.value
    if not plan.holdable:
        words = "No weight holds these panels: the roof falls too much for the friction."
        return _plain([], layout("", "")), words
    values = np.union1d(_CURVE, [taken])
    masses = ballast_by_coefficient(case.site, plan.array, values)
    line = {
        "type": "scatter", "mode": "lines", "name": "inner panel", "showlegend": False,
        "x": values.tolist(), "y": [round(float(mass), 1) for mass in masses],
        "line": {"color": colours.BLUE, "width": 2.5},
    }  # fmt: skip
    highest = max(plan.cases, key=lambda known: known.ballast_kg)
    words = (
        f"One inner panel needs {plan.inner_kg:,.0f} kg at {signed(taken)}, and "
        f"{highest.ballast_kg:,.0f} kg at {signed(float(highest.coefficient.value))}, "
        f"{highest.coefficient.name}: the coefficient decides everything. Only the mounting "
        "maker's report for the very system entitles anybody to a low one."
    )
    look = layout("net pressure coefficient", "kg of ballast for one panel", grid=True)
    look["xaxis"] |= {"range": [min(-1.65, taken - 0.1), 0.12]}
    return _plain([line, _known(plan), _taken(plan)], look), words


def _known(plan: BallastPlan) -> dict[str, Any]:
    """Mark every coefficient of the tables; those of one value share their words."""
    by_value: dict[float, list[str]] = {}
    for known in plan.cases:
        by_value.setdefault(float(known.coefficient.value), []).append(known.coefficient.name)
    masses = {float(known.coefficient.value): known.ballast_kg for known in plan.cases}
    return {
        "type": "scatter", "mode": "markers+text", "name": "in the tables", "showlegend": False,
        "x": list(by_value), "y": [round(masses[value], 1) for value in by_value],
        "text": [_label(names) for names in by_value.values()],
        "textposition": "top right", "cliponaxis": False, "textfont": {"size": 10},
        "hovertext": ["; ".join(names) for names in by_value.values()], "hoverinfo": "text",
        "marker": {"size": 8, "color": colours.GREY},
    }  # fmt: skip


def _label(names: list[str]) -> str:
    pattern = "|".join(map(re.escape, _SHORT))
    return "; ".join(re.sub(pattern, lambda found: _SHORT[found[0]], name) for name in names)


def _taken(plan: BallastPlan) -> dict[str, Any]:
    return {
        "type": "scatter", "mode": "markers+text", "name": "taken here", "showlegend": False,
        "x": [plan.coefficient.value], "y": [round(plan.inner_kg, 1)],
        "text": [f"taken here: {plan.inner_kg:,.0f} kg"], "textposition": "bottom left",
        "cliponaxis": False,
        "marker": {"size": 12, "color": colours.VERMILION, "symbol": "diamond"},
    }  # fmt: skip


def _plain(traces: list[dict[str, Any]], look: dict[str, Any]) -> dict[str, Any]:
    import plotly.graph_objects as go

    return dict(json.loads(go.Figure(traces, look).to_json()))
