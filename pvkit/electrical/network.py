"""Which way to the network operator: notify afterwards, or ask first."""

from collections.abc import Iterator
from dataclasses import dataclass

from pvkit.electrical.ac_checks import ac_amps
from pvkit.electrical.finding import line_source, where_from
from pvkit.site.kit import InverterSheet
from pvkit.site.supply import Supply
from pvkit.tables import constant, rows
from pvkit.verdict import CheckRow

ASK_FIRST = "ask the network operator's consent before installing"
NOTIFY = "notify the network operator within {days:g} days of switching on"
# Ratings are read off data sheets, sixteen amps is 3,680 W: rounding must not tip the scale.
ROUNDING_A = 1e-9


@dataclass(frozen=True, slots=True)
class Route:
    """What is connected to one phase, and what the network operator needs to hear of it.

    Parameters
    ----------
    rated_a : all inverters of the site by their ratings, on the fullest phase [A]
    declared_a : the same with this system at the rating to declare [A]
    declared_w : rating of this system to declare [W]
    others_w : other generation, and a battery's inverter [W]
    """

    rated_a: float
    declared_a: float
    declared_w: float
    others_w: tuple[float, float]

    @property
    def ask_first(self) -> bool:
        """Whether consent comes before the work."""
        return self.rated_a > constant("network.notify_a") + ROUNDING_A


def declared_w(inverter: InverterSheet, modules_w: float) -> float:
    """Give the rating to declare: the smaller of the inverter's and what the modules can drive [W].

    Examples
    --------
    >>> from pvkit.site.parts import inverter_sheet
    >>> declared_w(inverter_sheet("single-phase-2500"), 2000.0)
    1930.0
    """
    return min(inverter.ac_w, modules_w * inverter.efficiency_100)


def network_route(inverter: InverterSheet, modules_w: float, supply: Supply) -> Route:
    """Count every inverter of the site, storage too, on the phase that has most.

    Parameters
    ----------
    inverter : of the system to be built
    modules_w : rated power of its modules
    supply : what else is connected; all of it is taken to be on one phase

    Source
    ------
    EREC G98 (16 A a phase, all inverters together) and EREC G99.
    """
    declared = declared_w(inverter, modules_w)
    others = (supply.other_generation_w, supply.battery_inverter_w)
    others_a, own_a = sum(others) / constant("grid.nominal_v"), ac_amps(inverter)
    return Route(
        rated_a=own_a + others_a,
        declared_a=own_a * declared / inverter.ac_w + others_a,
        declared_w=declared,
        others_w=others,
    )


def network_rows(inverter: InverterSheet, modules_w: float, supply: Supply) -> Iterator[CheckRow]:
    """Say what to declare, which route to take, and what an export limit asks for."""
    route = network_route(inverter, modules_w, supply)
    rules = {row["id"]: row for row in rows("network_rules.csv")}
    yield CheckRow(
        "Rating to declare to the network operator",
        f"{route.declared_w / 1000:.2f} kW (inverter {inverter.ac_w / 1000:g} kW, modules "
        f"{modules_w / 1000:.2f} kW × {inverter.efficiency_100:g})",
        rules["declared"]["rule"],
        "pass",
        line_source(rules["declared"]),
    )
    yield CheckRow(
        "Network route",
        f"{route.rated_a:.1f} A a phase ({_parts(route, inverter)}): {_words(route, supply)}",
        f"up to {constant('network.notify_a'):g} A a phase, storage counted: connect, then notify; "
        "above it apply first",
        "ask" if route.ask_first else "pass",
        where_from("network.notify_a", "network.notify_days"),
    )
    if supply.export_limit_kw is not None:
        yield CheckRow(
            "Export limit",
            f"{supply.export_limit_kw:g} kW held by a device",
            rules["export_limit"]["rule"],
            "ask",
            line_source(rules["export_limit"]),
        )


def _parts(route: Route, inverter: InverterSheet) -> str:
    other_w, battery_w = route.others_w
    words = [f"inverter {inverter.ac_w / 1000:g} kW"]
    words += [f"other generation {other_w / 1000:g} kW"] if other_w else []
    words += [f"battery {battery_w / 1000:g} kW"] if battery_w else []
    return " + ".join(words)


def _words(route: Route, supply: Supply) -> str:
    """Name the route; the shorter ones only the network operator can grant."""
    notify_a = constant("network.notify_a")
    if not route.ask_first:
        return NOTIFY.format(days=constant("network.notify_days"))
    if route.declared_a <= notify_a + ROUNDING_A:
        return f"{ASK_FIRST}, unless it takes the rating to declare ({route.declared_a:.1f} A)"
    limit_w = notify_a * constant("grid.nominal_v") * supply.phases
    if supply.export_limit_kw is not None and supply.export_limit_kw * 1000.0 <= limit_w:
        return f"{ASK_FIRST}, and whether the export limit opens a shorter way"
    return ASK_FIRST
