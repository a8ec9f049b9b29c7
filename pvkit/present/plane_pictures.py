"""Pictures of tilt and direction: the map, two planes' months, east and west against south."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pvkit.present import colours
from pvkit.present.colours import Ink
from pvkit.present.pictures import MONTH_NAMES, Picture, Series
from pvkit.present.rounding import bearing, kwh
from pvkit.present.screen_charts import layout, plain_figure
from pvkit.roof.light import Array

CLOSE_PERCENT, NEAR_PERCENT = 95.0, 90.0
# Both are dark: near the best the map is bright.
_LINES = ((CLOSE_PERCENT, "solid"), (NEAR_PERCENT, "dash"))
_LINE_INK = "#1A1A1A"
# Where a mark's name stands, so that names of near marks do not cover each other.
_BESIDE = {"roof": "bottom center", "A": "middle left", "B": "middle right"}
_INKS = (Ink(colours.ORANGE), Ink(colours.BLUE, "dash"))


@dataclass(frozen=True, slots=True)
class Plane:
    """One plane on the map: what it is called, and where it points [deg]."""

    name: str
    tilt_deg: float
    azimuth_deg: float

    def say(self) -> str:
        """Say the plane in words.

        Examples
        --------
        >>> Plane("A", 30.0, 180.0).say(), Plane("B", 0.0, 180.0).say()
        ('30° facing south (180°)', 'level')
        """
        if self.tilt_deg == 0:
            return "level"
        return f"{self.tilt_deg:.3g}° facing {bearing(self.azimuth_deg)}"


@dataclass(frozen=True, slots=True, eq=False)
class PlaneGrid:
    """Values over tilt (down) and direction (across), with the colours' title."""

    tilts_deg: tuple[float, ...]
    azimuths_deg: tuple[float, ...]
    values: Array
    title: str


def plane_map_json(grid: PlaneGrid, planes: Sequence[Plane]) -> dict[str, Any]:
    """Draw the map with lines at 95 and 90 % of the best, and the planes by name.

    Parameters
    ----------
    grid : what is mapped
    planes : to mark; those on one spot share a mark
    """
    place = {"x": list(grid.azimuths_deg), "y": list(grid.tilts_deg)}
    colour_bar = {"title": {"text": grid.title, "side": "right"}, "thickness": 12}
    shades = {
        "type": "contour", "z": np.round(grid.values, 1).tolist(), **place, "ncontours": 16,
        "colorscale": "Cividis", "line": {"width": 0}, "colorbar": colour_bar,
        "hovertemplate": "%{y}° tilt, facing %{x}°: %{z:,.0f}<extra></extra>",
    }  # fmt: skip
    percent = np.round(100.0 * grid.values / max(float(grid.values.max()), 1e-9), 2).tolist()
    lines = [_line({"z": percent, **place}, level, dash) for level, dash in _LINES]
    look = layout("direction it faces (° from north)", "tilt from level (°)")
    look["margin"] |= {"t": 10}
    look["xaxis"] |= {
        "tickvals": [0, 90, 180, 270, 360], "range": [0, 360],
        "ticktext": ["north", "east 90", "south 180", "west 270", "north"],
    }  # fmt: skip
    look["yaxis"] |= {"tickvals": [0, 15, 30, 45, 60, 75, 90], "range": [0, 90], "showgrid": False}
    return plain_figure([shades, *lines, *_marks(planes)], look | {"showlegend": False})


def _line(values: dict[str, Any], percent: float, dash: str) -> dict[str, Any]:
    """Draw one line at a share of the best, with the share written on it."""
    return {
        "type": "contour", **values, "showscale": False, "hoverinfo": "skip", "autocontour": False,
        "contours": {"start": percent, "end": percent, "size": 1, "coloring": "none",
                     "showlabels": True, "labelfont": {"color": _LINE_INK, "size": 12},
                     "labelformat": ".0f"},
        "line": {"color": _LINE_INK, "width": 2, "dash": dash},
    }  # fmt: skip


def _marks(planes: Sequence[Plane]) -> list[dict[str, Any]]:
    places: dict[tuple[float, float], list[str]] = {}
    for plane in planes:
        places.setdefault((plane.azimuth_deg, plane.tilt_deg), []).append(plane.name)
    return [
        {
            "type": "scatter", "mode": "markers+text", "x": [azimuth], "y": [tilt],
            "text": [f"<b>{', '.join(names)}</b>"], "cliponaxis": False, "hoverinfo": "skip",
            "textposition": _BESIDE.get(names[-1], "top center"),
            "textfont": {"color": _LINE_INK, "size": 14},
            "marker": {"size": 12, "color": colours.VERMILION, "symbol": "diamond",
                       "line": {"color": "white", "width": 1.5}},
        }
        for (azimuth, tilt), names in places.items()
    ]  # fmt: skip


def months_picture(planes: Sequence[Plane], monthly_kwh: Sequence[Array]) -> Picture:
    """Put the months of two planes side by side.

    Parameters
    ----------
    planes : the two
    monthly_kwh : (12,) of each
    """
    more = monthly_kwh[1] - monthly_kwh[0]
    most = int(np.abs(more).argmax())
    words = "In every month the two make the same."
    if abs(more[most]) >= 0.05:
        ahead = planes[1] if more[most] > 0 else planes[0]
        words = (
            f"They differ most in {MONTH_NAMES[most]}: {ahead.name}, {ahead.say()}, makes "
            f"{kwh(abs(float(more[most])))} more."
        )
    names = [f"{plane.name}: {plane.say()}" for plane in planes]
    labels = tuple(name[:3] for name in MONTH_NAMES)
    return Picture("How do the months differ?", words, labels, _two(names, monthly_kwh), "month",
                   "kWh a month")  # fmt: skip


def days_picture(names: Sequence[str], day_kw: Sequence[Array], words: str) -> Picture:
    """Put the mean days of two ways to face beside the home's demand.

    Parameters
    ----------
    names : of the two
    day_kw : (48,) by local half-hour, of the two and of the demand [kW]
    words : what the picture shows
    """
    labels = tuple(f"{half / 2:g}" for half in range(48))
    demand = Series("the home's use", _short(day_kw[2], 3), colours.DEMAND, line=True)
    series = (*_two(names, day_kw[:2], 3), demand)
    return Picture("East and west, or south?", words, labels, series,
                   "hour of the local clock, mean of the year's days", "kW")  # fmt: skip


def _two(names: Sequence[str], values: Sequence[Array], digits: int = 1) -> tuple[Series, ...]:
    return tuple(
        Series(name, _short(one, digits), ink, line=True)
        for name, one, ink in zip(names, values, _INKS, strict=True)
    )


def _short(values: Array, digits: int) -> tuple[float, ...]:
    return tuple(np.round(values, digits).tolist())
