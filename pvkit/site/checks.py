"""What one key alone cannot show: links between tables, fit on the roof, bands that overlap."""

from collections.abc import Callable, Iterator

from pvkit.errors import Fault
from pvkit.site.faults import nearest
from pvkit.site.fit_checks import fit_faults
from pvkit.site.home_checks import car_faults, order_faults
from pvkit.site.keep_clear_checks import keep_clear_faults
from pvkit.site.kit import InverterSheet
from pvkit.site.layout_checks import layout_faults
from pvkit.site.meter_checks import meter_faults
from pvkit.site.money_checks import (
    carbon_faults,
    loan_faults,
    price_faults,
    replacement_faults,
    standard_faults,
)
from pvkit.site.obstacle_checks import obstacle_faults
from pvkit.site.partial import readable
from pvkit.site.place_checks import horizon_faults, place_faults, region_faults, weather_faults
from pvkit.site.roof_checks import array_faults, name_faults, roof_faults
from pvkit.site.survey import Site
from pvkit.site.tariff_checks import band_faults, date_faults, price_file_faults
from pvkit.site.wind_checks import wind_faults
from pvkit.site.wording import shown
from pvkit.tables import parts


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
    keep_clear_faults,
    layout_faults,
    wind_faults,
    _inverter,
    meter_faults,
    band_faults,
    date_faults,
    price_file_faults,
    _set_points,
    order_faults,
    car_faults,
    replacement_faults,
    price_faults,
    loan_faults,
    carbon_faults,
    standard_faults,
)
