"""What a reader should know about battery, car, cylinder and export limit of an estimate."""

from collections.abc import Iterator

from pvkit.site.storage import Battery
from pvkit.study.stages import Stages
from pvkit.tables import constant


def home_notes(stages: Stages) -> Iterator[str]:
    """Give a sentence or two on each thing the home has beside its demand.

    Parameters
    ----------
    stages : a site taken through every stage
    """
    site, year = stages.site, stages.year
    if stages.home.battery is not None and site.battery is not None:
        yield from _battery(stages, site.battery)
    if stages.home.car is not None:
        sun, grid = float(year.car_kwh.sum()), float(year.car_grid_kwh.sum())
        yield (
            f"The car is charged at home with {sun:,.0f} kWh of spare solar energy and {grid:,.0f} "
            "kWh from the grid a year. Without the system it would charge at the same hours, and "
            "that is what the saving is counted against. Many charging points stop when the mains "
            "leave 207 to 253 V (BS 7671, 722.411.4.1), which midday sun can bring about."
        )
    yield from _cylinder(stages)
    limit, spilled = site.supply.export_limit_kw, float(year.spilled_kwh.sum())
    if limit is not None:
        yield (
            f"The network's export limit of {limit:g} kW, held minute by minute, cuts off "
            f"{spilled:,.0f} kWh a year."
        )
    if site.home.order == ("value",):
        yield (
            "Spare solar energy goes first to what it is worth most to at today's prices, and to "
            "nothing that is worth less than its export."
        )


def _battery(stages: Stages, battery: Battery) -> Iterator[str]:
    year, usable = stages.year, battery.capacity_kwh * (1.0 - battery.reserve_fraction)
    sun, grid, out, own = (
        f"{values.sum():,.0f} kWh"
        for values in (
            year.battery_in_kwh, year.battery_grid_kwh, year.battery_out_kwh, year.standby_kwh,
        )
    )  # fmt: skip
    yield (
        f"The battery of {battery.capacity_kwh:g} kWh ({usable:.1f} kWh used) takes {sun} of solar "
        f"energy and {grid} at cheap hours, and gives {out}, in a year when new; its electronics "
        f"draw {own}."
    )
    yield from _cheap_hours(stages)
    yield (
        f"The battery is taken to lose {100 * battery.fade_per_year:g} % of its capacity a year "
        f"and to be worn out after {battery.life_years} years. {_after(stages)}"
    )
    if battery.coupling == "dc":
        yield (
            f"On the d.c. side the battery takes {year.rescued_kwh.sum():,.0f} kWh a year that the "
            "inverter's limit would cut off; this is not in the metered energy of the loss table."
        )


def _cheap_hours(stages: Stages) -> Iterator[str]:
    levels = stages.steering.level
    if not stages.steering.mark.any() or levels.max() <= 0.0:
        return
    low, high = 100 * max(levels.min(), 0.0), 100 * levels.max()
    span = f"{high:.0f} %" if low == high else f"{low:.0f} to {high:.0f} %"
    yield (
        f"At cheap hours the battery is charged to {span}, set once a month to what costs least in "
        "such a month; the weather of the day is not foreseen."
    )


def _after(stages: Stages) -> str:
    """Say what follows a worn-out battery in the years counted."""
    without = int((stages.life.battery_left == 0.0).sum())
    if without:
        return (
            f"{without} of the years counted are therefore without one, unless the costs hold a "
            'replacement with "battery" in its name or costs.battery_floor_fraction.'
        )
    return "The costs hold a new one where the years counted are more."


def _cylinder(stages: Stages) -> Iterator[str]:
    water, hot = stages.site.hot_water, constant("water.weekly_degc")
    if water is None:
        return
    if water.diverter and water.control == "relay":
        yield (
            "The diverter is taken as a relay that switches the element on at full power in the "
            "minutes with that much to spare; one that follows the surplus takes more."
        )
    if water.boiler_set_point_degc < hot:
        yield (
            f"Where a week has passed without the whole cylinder at {hot:g} °C, the "
            f"{water.weekly_heat} heats it to that, and its energy is counted."
        )
