"""What the wiring diagram names: every part from the panels to the mains, with its size."""

from collections.abc import Iterator
from dataclasses import dataclass

from pvkit.electrical.ac_checks import ac_amps, breaker_a
from pvkit.electrical.cables import cable_kind
from pvkit.electrical.dc_cable_checks import fuse_sizes_a, needs_fuses
from pvkit.electrical.on_site import dc_isolator_rating
from pvkit.electrical.record_file import RecordFile
from pvkit.electrical.string_volts import StringPlan, longest, string_plans
from pvkit.site.storage import Battery
from pvkit.site.survey import Site

STAND_IN = "*"
STAND_IN_NOTE = "* A stand-in, not in the survey: write in what was fitted."


@dataclass(frozen=True, slots=True)
class ArrayWiring:
    """One array from its panels to the inverter.

    Parameters
    ----------
    name, panels, strings : what it is
    optimisers : whether each panel has one
    fuse : of each string; "" where none is fitted or needed
    cable : size and length
    isolator : what it must break
    """

    name: str
    panels: str
    strings: str
    optimisers: bool
    fuse: str
    cable: str
    isolator: str


@dataclass(frozen=True, slots=True)
class SystemWiring:
    """Every part of a system's wiring in words.

    Parameters
    ----------
    arrays : each with its own run to the inverter
    inverter, ac_isolator : ratings
    ac_size, ac_kind, ac_length : of the cable from inverter to board
    breaker, meter, earthing : from there to the mains
    bonded : whether the array frames are bonded to earth; None where that is not recorded
    battery, battery_side : what it is, and ``ac`` or ``dc`` of the inverter; "" without one
    """

    arrays: tuple[ArrayWiring, ...]
    inverter: str
    ac_isolator: str
    ac_size: str
    ac_kind: str
    ac_length: str
    breaker: str
    meter: str
    earthing: str
    bonded: bool | None
    battery: str = ""
    battery_side: str = ""

    @property
    def stand_ins(self) -> bool:
        """Whether anything shown is a stand-in that the fitter must replace."""
        shown = (*self.arrays, self.ac_size, self.ac_kind, self.ac_length, self.breaker)
        return any(STAND_IN in str(each) for each in shown)


def system_wiring(site: Site, file: RecordFile) -> SystemWiring:
    """Name every part of a site's wiring.

    Parameters
    ----------
    site : the survey; a size that it leaves out is marked as a stand-in
    file : the commissioning record, for bonding and the meter's number
    """
    inverter, cables = site.inverter_sheet(), site.cables
    given, battery = cables.model_fields_set, fitted_battery(site)
    breaker = breaker_a(inverter, cables)
    amps = "no usual size" if breaker is None else f"{breaker:g} A"
    phases = f"{inverter.phases} phase{'s' if inverter.phases > 1 else ''}"
    return SystemWiring(
        arrays=tuple(_array(site, plan) for plan in string_plans(site)),
        inverter=f"{inverter.ac_w / 1000:g} kW, {phases}",
        ac_isolator=f"{ac_amps(inverter):.1f} A or more",
        ac_size=f"{cables.ac_mm2:g} mm²{_mark('ac_mm2' in given)}",
        ac_kind=f"{cable_kind(cables)['about']}{_mark('ac_cable' in given)}",
        ac_length=f"{cables.ac_length_m:g} m{_mark('ac_length_m' in given)}",
        breaker=f"{amps}{_mark(cables.ac_breaker_a is not None)}",
        meter=file.meter.serial or "",
        earthing=site.supply.earthing or "",
        bonded=file.earth.frame_bonded,
        battery=f"{battery.capacity_kwh:g} kWh, {battery.power_kw:g} kW" if battery else "",
        battery_side=battery.coupling if battery else "",
    )


def fitted_battery(site: Site) -> Battery | None:
    """Give the site's battery, None where there is none or it holds nothing."""
    return site.battery if site.battery is not None and site.battery.capacity_kwh > 0 else None


def _array(site: Site, plan: StringPlan) -> ArrayWiring:
    cables, given = site.cables, site.cables.model_fields_set
    volts, amps = dc_isolator_rating(plan)
    plural = "s" if plan.strings > 1 else ""
    return ArrayWiring(
        name=plan.name,
        panels=f"{plan.count} × {plan.module.pmax_w:g} W",
        strings=f"{plan.strings} string{plural} of {longest(plan)}",
        optimisers=plan.optimisers,
        fuse=_fuse(site, plan),
        cable=f"{cables.dc_mm2:g} mm²{_mark('dc_mm2' in given)}, "
        f"{cables.dc_length_m:g} m{_mark('dc_length_m' in given)}",
        isolator=f"{volts:.0f} V, {amps:.1f} A",
    )


def _fuse(site: Site, plan: StringPlan) -> str:
    """Give the fuses that are fitted, else those that strings in parallel need."""
    if site.cables.string_fuse_a is not None:
        return f"{site.cables.string_fuse_a:g} A"
    sizes = fuse_sizes_a(plan.module) if needs_fuses(plan) else ()
    return f"{sizes[0]:g} A{STAND_IN}" if sizes else ""


def _mark(given: bool) -> str:
    return "" if given else STAND_IN


def parts_list(wiring: SystemWiring) -> tuple[tuple[str, str, str], ...]:
    """List the diagram's numbers: number, part, size and rating.

    Parameters
    ----------
    wiring : from :func:`system_wiring`
    """
    several = len(wiring.arrays) > 1
    rows = [row for array in wiring.arrays for row in _array_parts(array, several=several)]
    meter = f"number {wiring.meter}" if wiring.meter else "number not recorded"
    earthing = wiring.earthing or "kind of earthing not read: write it in"
    return (
        *rows,
        ("5", "Inverter", wiring.inverter),
        ("6", "A.c. isolator, lockable", wiring.ac_isolator),
        ("7", "A.c. cable", f"{wiring.ac_size} {wiring.ac_kind}, {wiring.ac_length}"),
        ("8", "Generation meter", meter),
        ("9", "Breaker of its own circuit", wiring.breaker),
        ("10", "Main switch, supply meter, cut-out", earthing),
        *_battery_part(wiring),
    )


def _battery_part(wiring: SystemWiring) -> Iterator[tuple[str, str, str]]:
    where = {"ac": "on its own circuit at the board", "dc": "at the inverter’s d.c. side"}
    if wiring.battery:
        yield "11", "Battery", f"{wiring.battery}, {where[wiring.battery_side]}"


def _array_parts(array: ArrayWiring, *, several: bool) -> Iterator[tuple[str, str, str]]:
    of = f" of {array.name}" if several else ""
    with_optimisers = ", an optimiser on each panel" if array.optimisers else ""
    yield "1", f"Panels{of}", f"{array.panels} in {array.strings}{with_optimisers}"
    yield "2", f"String fuses{of}", f"{array.fuse} gPV in both poles" if array.fuse else "none"
    yield "3", f"D.c. cable{of}", f"{array.cable} each way, double-insulated PV cable"
    yield "4", f"D.c. isolator{of}", f"breaks {array.isolator} or more, both poles"
