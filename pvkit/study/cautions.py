"""What must be said beside the figures: the standing statement, cautions and warnings."""

from collections.abc import Iterator
from datetime import UTC, datetime

from pvkit.home.demand import demand_notes
from pvkit.home.meter_spread import spread_note
from pvkit.home.tariff_bill import tariff_notes
from pvkit.ledger.carbon import carbon_notes
from pvkit.ledger.deal import deal
from pvkit.ledger.notes import flat_grid_note, money_notes
from pvkit.study.home_notes import home_notes
from pvkit.study.stages import Stages
from pvkit.tables import constant

STATEMENT = (
    "This is an estimate, not a promise: sunlight, prices and habits differ from year to year, "
    "and nobody can know them in advance."
)
STRUCTURE = (
    "Any figure for wind, ballast or roof loading is indicative and no proof. Before any work a "
    "competent structural engineer and the maker of the mounting must confirm that the roof can "
    "carry the array and that the array stays put."
)
ELECTRICAL = (
    "Electrical design and work must be done by a competent, registered person to the wiring rules "
    "and the network operator's rules in force. Modules are live whenever there is light."
)
HOT_WATER = (
    "Hot water: keep the back-up thermostat at 60 °C or above and let the whole cylinder reach "
    "60 °C at least once a week, against legionella; fit a blending valve against scalds where "
    "the rules ask for one."
)


def cautions(stages: Stages) -> tuple[str, ...]:
    """List the cautions that must stand wherever this site's figures are shown."""
    hot = (HOT_WATER,) if stages.site.hot_water is not None else ()
    return (STATEMENT, STRUCTURE, ELECTRICAL, *hot)


def warnings(stages: Stages) -> tuple[str, ...]:
    """List what the reader should know about this estimate in particular."""
    site = stages.site
    found = (*stages.sky.notes, *stages.output.notes, *demand_notes(site.home))
    found += (*_metered(stages), *tariff_notes(site.tariff, datetime.now(UTC).date()))
    found += (*carbon_notes(site.carbon), *_ledger_notes(stages))
    return (*found, *home_notes(stages), *_odd_values(stages))


def _metered(stages: Stages) -> Iterator[str]:
    """Say what the minutes within a metered half-hour change."""
    year = stages.year
    if stages.site.home.meter_file is not None:
        yield spread_note(year.solar_kwh, year.demand_kwh, year.direct_kwh)


def _ledger_notes(stages: Stages) -> Iterator[str]:
    terms = deal(stages.site)
    yield from flat_grid_note(stages.years, stages.carbon, stages.site.carbon, terms)
    yield from money_notes(terms)


def _odd_values(stages: Stages) -> Iterator[str]:
    """Possible but unusual values: allowed, and said."""
    site = stages.site
    steep = constant("flat_roof.steep_tilt_deg")
    for array in site.array:
        if site.roof_of(array).kind == "flat" and site.tilt_deg(array) > steep:
            yield (
                f"Array '{array.name}' stands at {site.tilt_deg(array):g}° on a flat roof; more "
                f"than {steep:g}° is unusual because the wind's pull grows fast."
            )
    if site.hot_water is not None and site.hot_water.boiler_set_point_degc < constant(
        "water.safe_store_degc"
    ):
        yield "The boiler's cylinder thermostat is below 60 °C; raise it, see the caution."
    if site.costs.items is None:
        yield "No quotation in the site file: the price is a national median per kW."
