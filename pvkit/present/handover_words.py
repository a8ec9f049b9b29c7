"""The sentences and lists of the handover pack."""

from collections.abc import Iterator

from pvkit.electrical.commissioning import string_records
from pvkit.electrical.on_site import dc_isolator_rating
from pvkit.electrical.readings import MODULE_VOLTS
from pvkit.electrical.string_volts import longest, string_plans
from pvkit.present.record_sheet import day
from pvkit.present.report_tables import Column, Table
from pvkit.present.rounding import kwh, percent
from pvkit.present.wiring_parts import fitted_battery, system_wiring
from pvkit.study.estimate import Estimate
from pvkit.study.record import Record
from pvkit.study.visit_checklist import items_of
from pvkit.tables import constant

PAPERS = (
    "electrical installation certificate, with its schedule of tests",
    "data sheets and guarantees of panels, inverter, optimisers and mounting",
    "the structural engineer’s note on roof and ballast or fixings",
    "the network operator’s notice or consent, and its reply",
    "building-regulations notice of completion",
    "scheme certificate, and the export meter’s number for the export tariff",
    "contract, with its terms and the right to cancel",
)
_BATTERY = (
    "Switch the battery off at its own isolator. Inside it stays live all the same; keep away "
    "from it if it smokes, swells or gets hot."
)


def system_facts(record: Record) -> tuple[tuple[str, str], ...]:
    """List the system's data: what, where, since when, under which numbers."""
    site, file = record.site, record.file
    sheet, place = site.inverter_sheet(), site.site
    panels = sum(plan.count for plan in string_plans(site))
    meter = file.meter
    return (
        ("Rated power", f"{site.kwp():.2f} kWp, {panels} panels"),
        ("Inverter", f"{sheet.ac_w:,.0f} W a.c., {sheet.phases} phase{'s' * (sheet.phases > 1)}"),
        ("Place", f"{place.latitude:g}°, {place.longitude:g}° (latitude, longitude)"),
        ("Switched on", day(file.record.date)),
        ("Tested by", file.record.by or "not recorded"),
        ("Network operator’s reference", file.network.reference or "to be written in"),
        ("Generation meter", _reading(meter.generation_kwh, meter.serial)),
        ("Import and export registers", f"{_reading(meter.import_kwh)} and "
                                        f"{_reading(meter.export_kwh)}"),
    )  # fmt: skip


def _reading(total: float | None, serial: str | None = None) -> str:
    words = "not read" if total is None else f"{total:,.10g} kWh on that day"
    return f"{words}, number {serial}" if serial else words


def to_write_in(record: Record) -> tuple[str, ...]:
    """List what the pack cannot know and somebody has to write in, or has to answer for."""
    return tuple(_blanks(record))


def _blanks(record: Record) -> Iterator[str]:
    yield "installer’s and designer’s name, address and telephone"
    if system_wiring(record.site, record.file).stand_ins:
        yield "every size on the wiring diagram that is marked *"
    if not record.file.network.reference:
        yield "the network operator’s reference"
    if not record.site.supply.earthing:
        yield "the kind of earthing at the cut-out"
    if fitted_battery(record.site) is not None:
        yield "the battery’s own record of its tests and settings, which this one does not hold"
    for row in record.rows:
        if row.verdict == "ask":
            yield f"{row.what}: {row.value}"


def shutdown(record: Record) -> tuple[str, ...]:
    """Say how to switch the system off in an emergency, and what stays live.

    Source
    ------
    Order of switching off: common practice, no source; a.c. first takes the load off the d.c.
    isolator.
    """
    volts = max(dc_isolator_rating(plan)[0] for plan in string_plans(record.site))
    stored = fitted_battery(record.site) is not None
    return (
        "Switch off the solar a.c. isolator beside the inverter, or the breaker marked “Solar "
        "supply” at the board. The inverter stops at once.",
        "Switch off the solar d.c. isolator.",
        *((_BATTERY,) if stored else ()),
        f"The panels and the cables down to the d.c. isolator stay live in daylight, at up to "
        f"{volts:.0f} V. {_optimisers(record)}Nobody touches a broken panel or a bare cable.",
        "In a fire leave the house, ring 999 and say that there are solar panels on the roof"
        f"{' and a battery in the house' if stored else ''}.",
        "Do not switch on again before a competent electrician has looked at it. Then: d.c. "
        "isolator first, a.c. isolator after it.",
    )


def _optimisers(record: Record) -> str:
    """Tell what the optimisers' maker promises, and that nobody should trust it with a life."""
    fitted, found = any(array.optimisers for array in record.site.array), record.file.optimisers
    if not fitted or found.before_start == MODULE_VOLTS or found.safe_v_each is None:
        return ""
    most = max(longest(plan) for plan in string_plans(record.site) if plan.optimisers)
    return (
        f"By the word of their maker the optimisers bring this down to about "
        f"{most * found.safe_v_each:g} V once the inverter is off; treat the cables as live all "
        "the same. "
    )


def care(record: Record, estimate: Estimate) -> tuple[str, ...]:
    """Say how to look after the system through the year and the years."""
    looks = "; ".join(f"{item.what[0].lower()}{item.what[1:]}" for item in items_of(record.site))
    low = percent(constant("visit.attention_fraction"))
    return (
        f"Write down the generation meter’s total on the same day each year. An ordinary year "
        f"makes about {kwh(estimate.ac_kwh)} with new panels; a bright or a dull year moves that "
        f"by up to a tenth. Below {low} of what the year’s light allowed, have it looked at.",
        f"Have it visited once a year. What is looked at: {looks}.",
        f"Have the electrical tests made again every {constant('commission.retest_years'):g} "
        "years, and after any work on roof or board.",
        "Rain washes tilted panels. Nearly level ones may need a wash of plain water and a soft "
        "brush; nobody steps on panels, and nobody goes on the roof without guard rails.",
        "A new tree, aerial or flue in the light costs more than its own shadow: ask before it "
        "stands.",
        "Leave air round the inverter, and its switches within reach. A red light or a fault on "
        "its display: note it, switch nothing on and off in a hurry, ring the installer.",
        "Tell the insurer of house and contents that the system is there.",
    )


def strings_plan(record: Record) -> Table:
    """List which panels of the plan are in which string, in the order of their numbers."""
    tests = string_records(record.site, record.file)
    rows = tuple(
        (test.name, str(test.modules), _numbers((test.number - 1) * test.modules + 1, test.modules))
        for test in tests
    )
    columns = (Column("String", text=True), Column("Panels"),
               Column("Numbers on the plan", text=True))  # fmt: skip
    return Table(
        "Strings, as planned: change by hand what was wired in another order", columns, rows
    )


def _numbers(first: int, count: int) -> str:
    return f"{first}" if count == 1 else f"{first} to {first + count - 1}"
