"""Where the year goes, as flows from sun, grid and gas to the places that use them."""

from collections.abc import Iterator
from typing import Any

from pvkit.home.paths import Flows
from pvkit.present import colours
from pvkit.present.flow_chart import Flow, flows_json
from pvkit.present.rounding import kwh, percent
from pvkit.study.home_year import HomeYear

SUN, GRID, GAS = "sun", "bought", "gas burnt"
HOME, BATTERY, CAR, WATER = "home", "battery", "car", "hot water"
SOLD, LOST, CUT = "sold", "lost in battery", "cut off"

_INKS = {
    SUN: colours.SOLAR, GRID: colours.BOUGHT, GAS: colours.GAS, HOME: colours.DIRECT,
    BATTERY: colours.BATTERY, CAR: colours.CAR, WATER: colours.CYLINDER, SOLD: colours.EXPORT,
    LOST: colours.SPILLED, CUT: colours.SPILLED,
}  # fmt: skip
_COLUMNS = ((GRID, SUN, GAS), (BATTERY,), (HOME, LOST, CAR, WATER, SOLD, CUT))
_LEAST_KWH = 0.5


def year_flow_picture(year: HomeYear) -> tuple[dict[str, Any], str]:
    """Draw the year's flows, and say the two shares in words."""
    flows = [flow for flow in home_flows_of(year.stages.year) if flow.kwh >= _LEAST_KWH]
    words = (
        f"{percent(year.used_at_home_fraction)} of what the roof makes is used at home; "
        f"{percent(year.self_sufficiency_fraction)} of the electricity that would be bought "
        f"without it is not bought. {kwh(year.import_kwh)} are bought, {kwh(year.export_kwh)} sold."
    )
    standby = float(year.stages.year.standby_kwh.sum())
    if standby >= _LEAST_KWH:
        words += f" The home's figure holds {kwh(standby)} that the battery's electronics draw."
    return flows_json(flows, _COLUMNS, _INKS), words


def home_flows_of(year: Flows) -> Iterator[Flow]:
    """List a year's flows between places; what a place is given, it uses, gives on or loses."""
    sums = {name: float(getattr(year, name).sum()) for name in Flows.__slots__
            if name.endswith("_kwh")}  # fmt: skip
    grid = sums["battery_grid_kwh"] + sums["car_grid_kwh"] + sums["cylinder_grid_kwh"]
    stored = sums["battery_in_kwh"] + sums["battery_grid_kwh"]
    yield Flow(SUN, HOME, sums["direct_kwh"], colours.DIRECT)
    yield Flow(SUN, BATTERY, sums["battery_in_kwh"], colours.BATTERY)
    yield Flow(SUN, CAR, sums["car_kwh"], colours.CAR)
    yield Flow(SUN, WATER, sums["cylinder_kwh"], colours.CYLINDER)
    yield Flow(SUN, SOLD, sums["export_kwh"], colours.EXPORT)
    yield Flow(SUN, CUT, sums["spilled_kwh"], colours.SPILLED)
    yield Flow(BATTERY, HOME, sums["battery_out_kwh"], colours.BATTERY)
    yield Flow(BATTERY, LOST, stored - sums["battery_out_kwh"], colours.SPILLED)
    yield Flow(GRID, HOME, sums["import_kwh"] - grid, colours.BOUGHT)
    yield Flow(GRID, BATTERY, sums["battery_grid_kwh"], colours.BOUGHT)
    yield Flow(GRID, CAR, sums["car_grid_kwh"], colours.BOUGHT)
    yield Flow(GRID, WATER, sums["cylinder_grid_kwh"], colours.BOUGHT)
    yield Flow(GAS, WATER, sums["gas_with_kwh"], colours.GAS)
