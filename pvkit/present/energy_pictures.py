"""The energy workbook's pictures, each with one sentence that says what it shows."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pvkit.home.calendar import local_calendar
from pvkit.present import colours
from pvkit.present.energy_charts import Bar, bars_json, mirrored_json
from pvkit.present.energy_flows import year_flow_picture
from pvkit.present.energy_sizes import sizes_picture
from pvkit.present.picture import Picture, Series, rounded
from pvkit.present.pictures import MONTH_NAMES, PATHS
from pvkit.present.rounding import kwh, pence, percent
from pvkit.present.screen_scenes import heat_map_json
from pvkit.study.home_answers import FLOW_COLUMNS
from pvkit.study.home_year import HomeYear
from pvkit.study.typical_days import SLOTS, home_day

Array = NDArray[np.float64]
Drawn = tuple[dict[str, Any], str]

DAY, MONTH, YEAR = "Where does a day go?", "Where does each month go?", "Where does the year go?"
SPARE = "When is there power to spare?"
NEXT = "What is the next kWh worth?"
SIZES = "How much battery pays?"

_NOISE_KWH = 1e-9
_SIDES = ("▲ where the solar goes", "▼ what the home, its battery and car use")
# What the home uses comes from these; the sun's own part is drawn as above.
_SOURCES = (
    ("direct_kwh", "used in the home", colours.DIRECT),
    ("battery_out_kwh", "into the battery", colours.BATTERY),
    ("import_kwh", "bought", colours.BOUGHT),
)
_NEXT = {
    "house": ("used in the home", colours.DIRECT),
    "battery": ("into the battery", colours.BATTERY),
    "car": ("into the car", colours.CAR),
    "cylinder": ("heats water", colours.CYLINDER),
    "export": ("sent to the grid", colours.EXPORT),
}


@dataclass(frozen=True, slots=True, eq=False)
class HomeScene:
    """What a picture of the home is made from.

    Parameters
    ----------
    year : the home's year as the controls stand
    day : kind of day that the day's picture shows
    sizes : the year with each size of battery; asked for by the battery's picture alone
    """

    year: HomeYear
    day: str
    sizes: Callable[[], pd.DataFrame]


def _day(scene: HomeScene) -> Drawn:
    shown = home_day(scene.year.stages.year, scene.day, FLOW_COLUMNS)
    labels = [f"{slot // 2:02d}:{'30' if slot % 2 else '00'}" for slot in range(SLOTS)]
    titles = ("start of the half-hour, local clock", "kWh in each half-hour")
    made, used = (float(shown.flows[key].sum()) for key in ("solar_kwh", "demand_kwh"))
    parts = [(float(shown.flows[path.column].sum()), path.name) for path in PATHS]
    said = ", ".join(f"{name} {kwh(part)}" for part, name in parts if part > _NOISE_KWH)
    bought = float(shown.flows["import_kwh"].sum())
    words = (
        f"{shown.words[0].upper()}{shown.words[1:]}: {kwh(made)} made"
        f"{f' ({said})' if said else ''}. The home uses {kwh(used)}; {kwh(bought)} bought."
    )
    return _mirrored(labels, shown.flows, titles), words


def _month(scene: HomeScene) -> Drawn:
    table = scene.year.monthly
    flows = {name: table[name].to_numpy() for name in FLOW_COLUMNS}
    return _mirrored(list(table.index), flows, ("month", "kWh a month")), _month_words(scene.year)


def _month_words(year: HomeYear) -> str:
    table, made = year.monthly, year.ac_kwh
    taken = [(float(table[path.column].sum()), path.words) for path in PATHS]
    shares = [f"{percent(part / made)} {words}" for part, words in taken if part > _NOISE_KWH]
    bought = table["import_kwh"].to_numpy()
    least, most = int(bought.argmin()), int(bought.argmax())
    return (
        f"Of {kwh(made)} made in the year {', '.join(shares) or 'nothing is used'}. Least is "
        f"bought in {MONTH_NAMES[least]} ({kwh(bought[least])}), most in {MONTH_NAMES[most]} "
        f"({kwh(bought[most])})."
    )


def month_picture(year: HomeYear) -> Picture:
    """Give the months' picture for paper: where the solar goes, and what is bought."""
    table = year.monthly
    paths = [path for path in PATHS if path is PATHS[0] or table[path.column].sum() > _NOISE_KWH]
    series = [Series(path.name, rounded(table[path.column]), path.ink) for path in paths]
    bought = Series("bought", rounded(table["import_kwh"]), colours.DEMAND, line=True)
    return Picture(
        MONTH, _month_words(year), tuple(table.index), (*series, bought), "month", "kWh a month"
    )


def _mirrored(
    labels: list[str], flows: Mapping[str, Array], titles: tuple[str, str]
) -> dict[str, Any]:
    above = [
        Series(path.name, tuple(flows[path.column]), path.ink)
        for path in PATHS
        if path is PATHS[0] or float(flows[path.column].sum()) > _NOISE_KWH
    ]
    below = [
        Series(name, tuple(flows[column]), ink)
        for column, name, ink in _SOURCES
        if float(flows[column].sum()) > _NOISE_KWH
    ]
    return mirrored_json(labels, above, below, titles, _SIDES)


def _spare(scene: HomeScene) -> Drawn:
    year, calendar = scene.year.stages.year, local_calendar()
    spare = year.solar_kwh + year.rescued_kwh - year.direct_kwh
    cell = calendar.month * 24 + calendar.half_hour // 2
    halves_an_hour = 2.0
    counts = np.bincount(cell, minlength=288)
    kw = halves_an_hour * np.bincount(cell, weights=spare, minlength=288) / counts
    month, hour = divmod(int(kw.argmax()), 24)
    total = float(spare.sum())
    taken = float((year.battery_in_kwh + year.car_kwh + year.cylinder_kwh).sum())
    share = f" Battery, car and hot water take {percent(taken / total)} of it." if total > 0 else ""
    words = (
        f"Beyond what the house uses as it is made, {kwh(total)} a year are to spare, most at "
        f"{hour:02d}:00 in {MONTH_NAMES[month]}: {kw.max():.2f} kW in the mean.{share}"
    )
    return heat_map_json(kw.reshape(12, 24), "kW, mean", unit="kW"), words


def _next(scene: HomeScene) -> Drawn:
    found = scene.year.next_kwh
    bars = [
        Bar(_NEXT[path.path][0], 100 * path.gbp_per_kwh, _bar_words(path.gbp_per_kwh,
            path.next_share), _NEXT[path.path][1])
        for path in found.paths
    ]  # fmt: skip
    best = found.paths[0]
    words = (
        f"A kWh is worth most {'' if best.path == 'house' else 'where it '}"
        f"{_NEXT[best.path][0]} ({pence(best.gbp_per_kwh)}). The next kWh that a slightly larger "
        f"system would make takes {pence(found.gbp_per_kwh)} off the bills altogether, for it "
        "goes where there is room left."
    )
    return bars_json(bars, "p/kWh · share of the next kWh"), words


def _bar_words(gbp_per_kwh: float, share: float) -> str:
    return f"{pence(gbp_per_kwh)} · {'none' if share < 5e-4 else percent(share)}"


ENERGY_PICTURES: dict[str, Callable[[HomeScene], Drawn]] = {
    MONTH: _month,
    DAY: _day,
    YEAR: lambda scene: year_flow_picture(scene.year),
    SPARE: _spare,
    NEXT: _next,
    SIZES: lambda scene: sizes_picture(scene.sizes(), scene.year),
}
