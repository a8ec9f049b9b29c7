"""What one key alone cannot show: links between tables, fit on the roof, bands that overlap."""

from collections.abc import Callable, Iterator

from pvkit.errors import Fault
from pvkit.site.faults import nearest
from pvkit.site.household import Band
from pvkit.site.kit import InverterSheet
from pvkit.site.layout_checks import layout_faults
from pvkit.site.obstacle_checks import obstacle_faults
from pvkit.site.partial import readable
from pvkit.site.place_checks import horizon_faults, place_faults, region_faults, weather_faults
from pvkit.site.roof_checks import array_faults, fit_faults, name_faults, roof_faults
from pvkit.site.survey import Site
from pvkit.site.wording import labels, shown
from pvkit.tables import parts

HALF_HOURS_A_DAY = 48


def cross_faults(site: Site) -> list[Fault]:
    """Run every check, each as far as the keys it reads are sound.

    Parameters
    ----------
    site : a survey, or what is sound of one (:func:`pvkit.site.partial.partial`)

    Returns
    -------
    every fault found; ``where`` is the dotted key only
    """
    return [fault for check in CHECKS for fault in readable(check(site))]


def _inverter(site: Site) -> Iterator[Fault]:
    inverter, known = site.inverter, list(parts("inverters"))
    if (inverter.part is None) == (inverter.datasheet is None):
        yield Fault(
            "inverter",
            "found both part and datasheet" if inverter.part else "found no inverter",
            "part = a part name, or [inverter.datasheet]",
            "give one of the two",
        )
    elif inverter.part is not None and inverter.part not in known:
        yield Fault(
            "inverter.part",
            f"found {shown(inverter.part)}",
            ", ".join(known),
            nearest(inverter.part, known),
        )
    elif inverter.datasheet is not None:
        yield from _window(inverter.datasheet)


def _window(sheet: InverterSheet) -> Iterator[Fault]:
    if not sheet.mppt_min_v < sheet.mppt_max_v <= sheet.dc_max_v:
        yield Fault(
            "inverter.datasheet.mppt_max_v",
            f"found {sheet.mppt_max_v:g} V with mppt_min_v {sheet.mppt_min_v:g} V and dc_max_v "
            f"{sheet.dc_max_v:g} V",
            "above mppt_min_v and not above dc_max_v",
            "look whether two of the volts have changed places",
        )
    if sheet.input_isc_max_a < sheet.input_max_a:
        yield Fault(
            "inverter.datasheet.input_isc_max_a",
            f"found {sheet.input_isc_max_a:g} A below input_max_a {sheet.input_max_a:g} A",
            "input_max_a or more",
            "look whether the two amps have changed places",
        )


def _bands(site: Site) -> Iterator[Fault]:
    tariff = site.tariff
    owners: dict[int, list[str]] = {slot: [] for slot in range(HALF_HOURS_A_DAY)}
    for band in tariff.import_bands:
        for slot in band_slots(band):
            owners[slot].append(band.name)
    clashes = [slot for slot, names in owners.items() if len(names) > 1]
    if clashes:
        names = " and ".join(owners[clashes[0]])
        yield Fault(
            "tariff.import_bands",
            f"found bands that overlap at {_clock(clashes[0])} ({names})",
            "each half-hour in one band",
            "move a start or an end",
        )
    gaps = [slot for slot, names in owners.items() if not names]
    if tariff.import_bands and gaps and "import_gbp_per_kwh" not in tariff.model_fields_set:
        yield Fault(
            "tariff.import_bands",
            f"found no price at {_clock(gaps[0])}",
            "a price for every half-hour",
            "add a band, or import_gbp_per_kwh for all other hours",
        )


def band_slots(band: Band) -> list[int]:
    """Give the half-hours of the day (0 to 47, local clock) in a band, past midnight if need be.

    Examples
    --------
    >>> band_slots(Band(name="night", start="23:30", end="00:30", gbp_per_kwh=0.1))
    [47, 0]
    """
    first, last = (int(text[:2]) * 2 + (text[3:] == "30") for text in (band.start, band.end))
    length = (last - first) % HALF_HOURS_A_DAY or HALF_HOURS_A_DAY
    return [(first + step) % HALF_HOURS_A_DAY for step in range(length)]


def _clock(slot: int) -> str:
    return f"{slot // 2:02d}:{'30' if slot % 2 else '00'}"


def _set_points(site: Site) -> Iterator[Fault]:
    water = site.hot_water
    if water is not None and water.set_point_degc < water.boiler_set_point_degc:
        yield Fault(
            "hot_water.set_point_degc",
            f"found {water.set_point_degc:g} below the boiler's {water.boiler_set_point_degc:g}",
            "at or above the boiler's",
            "raise set_point_degc or lower boiler_set_point_degc (never store below "
            "60 without advice)",
        )


def _replacements(site: Site) -> Iterator[Fault]:
    items = site.costs.replacements or ()
    names = labels([getattr(item, "name", None) for item in items])
    for name, item in zip(names, items, strict=True):
        if item.year > site.finance.years:
            yield Fault(
                f"costs.replacements.{name}.year",
                f"found {item.year}",
                f"1 to {site.finance.years}, the years counted",
                "change the year or finance.years",
            )


def _total(site: Site) -> Iterator[Fault]:
    total = sum(item.gbp for item in site.costs.items or ())
    if total < 0:
        yield Fault(
            "costs.items",
            f"found a total of {total:.2f} GBP",
            "a total of 0 GBP or more",
            "a discount cannot be larger than the price",
        )


CHECKS: tuple[Callable[[Site], Iterator[Fault]], ...] = (
    place_faults,
    region_faults,
    weather_faults,
    horizon_faults,
    name_faults,
    roof_faults,
    array_faults,
    fit_faults,
    obstacle_faults,
    layout_faults,
    _inverter,
    _bands,
    _set_points,
    _replacements,
    _total,
)
