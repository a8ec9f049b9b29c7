"""The controls of the energy workbook: demand, hot water, battery, car, who comes first, prices."""

from collections.abc import Iterator

import numpy as np

from pvkit.home.tariff import import_prices
from pvkit.present.control import Control, Group
from pvkit.present.home_controls import (
    day_spent,
    export_price,
    import_price,
    price_counts,
    yearly_use,
)
from pvkit.site.car import Car
from pvkit.site.household import HotWater
from pvkit.site.storage import Battery
from pvkit.site.survey import Site
from pvkit.study.offers import AS_SURVEYED

# Controls whose value is more than one key of the site, by the key they stand under.
DIVERTER, ORDER, TARIFF, LIMIT = (
    "hot_water.diverter", "home.order", "tariff.import_bands", "supply.export_limit_kw",
)  # fmt: skip
NO_LIMIT, BY_VALUE = "none", "value"

_HOUSE: Group = "The household"
_PRICES: Group = "The years ahead"
_DIVERTERS = (
    ("none", "none"),
    ("modulating", "follows the surplus"),
    ("relay", "on-off relay"),
)  # fmt: skip
_COUPLINGS = (("ac", "a.c., own converter"), ("dc", "d.c., behind the inverter"))
_ORDERS = (
    "battery, car, cylinder, export", "car, battery, cylinder, export",
    "cylinder, battery, car, export", "battery, car, export, cylinder",
)  # fmt: skip
_TARIFFS = (
    (AS_SURVEYED, "as surveyed"),
    ("flat", "one price"),
    ("two-rate", "two rates, cheap by night"),
    ("banded", "bands by day and season"),
)  # fmt: skip
_LIMITS_KW = (0.0, 1.0, 2.0, 3.0, 3.68, 5.0)


def energy_controls(site: Site) -> tuple[Control, ...]:
    """List the controls of a site's household and its prices.

    Parameters
    ----------
    site : the survey; each control starts at its surveyed value. A battery or a car that it does
        not have starts at none; hot water has controls only where there is a cylinder

    Returns
    -------
    demand, hot water, battery, car, order, then tariff and network
    """
    return (*_home(site), *_hot_water(site), *_battery(site), *_car(site), *_prices(site))


def idle_keys(site: Site) -> frozenset[str]:
    """Name the controls that move nothing as a site now stands.

    Parameters
    ----------
    site : with the changes the controls ask for
    """
    battery, car, water = site.battery, site.car, site.hot_water
    stores = battery is not None and battery.capacity_kwh > 0.0
    drives = car is not None and car.yearly_miles > 0.0
    diverts = water is not None and water.diverter
    found = set()
    if not stores:
        found |= {"battery.power_kw", "battery.coupling", "battery.grid_charge"}
    elif np.ptp(import_prices(site.tariff)) == 0.0:
        found.add("battery.grid_charge")
    if not drives:
        found |= {"car.days_at_home", "car.by_sun"}
    if not (stores or diverts or (drives and car is not None and car.by_sun)):
        found.add(ORDER)
    if not price_counts(site.tariff, "import"):
        found.add("tariff.import_gbp_per_kwh")
    if not price_counts(site.tariff, "export"):
        found.add("tariff.export_gbp_per_kwh")
    return frozenset(found)


def diverter_kind(water: HotWater) -> str:
    """Name what sends spare energy to the cylinder."""
    return water.control if water.diverter else "none"


def order_words(order: str) -> str:
    """Say who comes first.

    Examples
    --------
    >>> order_words("battery, car, export, cylinder")
    'battery, car, grid, hot water'
    """
    if order == BY_VALUE:
        return "what is worth most, hour by hour"
    return order.replace("cylinder", "hot water").replace("export", "grid")


def limit_name(limit_kw: float | None) -> str:
    """Name an export limit as its control has it."""
    return NO_LIMIT if limit_kw is None else f"{limit_kw:g}"


def _home(site: Site) -> Iterator[Control]:
    people = site.home.occupants
    yield from yearly_use(site)
    yield day_spent(site)
    yield Control("home.occupants", "People", _HOUSE, people, 1.0, max(8.0, people), 0.5)


def _hot_water(site: Site) -> Iterator[Control]:
    water = site.hot_water
    if water is None:
        return
    litres = water.cylinder_litres
    yield Control("hot_water.cylinder_litres", "Cylinder (litres)", _HOUSE, litres,
                  min(80.0, litres), max(400.0, litres), 10.0)  # fmt: skip
    yield Control(DIVERTER, "Diverter", _HOUSE, diverter_kind(water), choices=_DIVERTERS)


def _battery(site: Site) -> Iterator[Control]:
    pack = Battery(capacity_kwh=0.0) if site.battery is None else site.battery
    yield Control("battery.capacity_kwh", "Battery (kWh)", _HOUSE, pack.capacity_kwh, 0.0,
                  max(15.0, pack.capacity_kwh), 0.5)  # fmt: skip
    yield Control("battery.power_kw", "Battery power (kW)", _HOUSE, pack.power_kw,
                  min(0.5, pack.power_kw), max(10.0, pack.power_kw), 0.5)  # fmt: skip
    yield Control("battery.coupling", "Battery coupling", _HOUSE, pack.coupling,
                  choices=_COUPLINGS)  # fmt: skip
    yield Control("battery.grid_charge", "Battery charged at cheap hours", _HOUSE,
                  pack.grid_charge)  # fmt: skip


def _car(site: Site) -> Iterator[Control]:
    car = Car(yearly_miles=0.0) if site.car is None else site.car
    yield Control("car.yearly_miles", "Car (miles a year)", _HOUSE, car.yearly_miles, 0.0,
                  max(15000.0, car.yearly_miles), 500.0)  # fmt: skip
    yield Control("car.days_at_home", "Car at home (days)", _HOUSE, car.days_at_home, 0, 7,
                  1)  # fmt: skip
    yield Control("car.by_sun", "Car takes spare solar", _HOUSE, car.by_sun)


def _prices(site: Site) -> Iterator[Control]:
    order = ", ".join(site.home.order)
    orders = dict.fromkeys((order, *_ORDERS, BY_VALUE))
    limit, choices = limit_name(site.supply.export_limit_kw), [limit_name(k) for k in _LIMITS_KW]
    limits = dict.fromkeys((NO_LIMIT, *choices, limit))
    yield Control(ORDER, "Spare solar goes to", _HOUSE, order,
                  choices=tuple((each, order_words(each)) for each in orders))  # fmt: skip
    yield Control(TARIFF, "Tariff", _PRICES, AS_SURVEYED, choices=_TARIFFS)
    yield import_price(site.tariff)
    yield export_price(site.tariff)
    yield Control(LIMIT, "Export limit", _PRICES, limit,
                  choices=tuple((each, _limit_words(each)) for each in limits))  # fmt: skip


def _limit_words(limit: str) -> str:
    if limit == NO_LIMIT:
        return "none"
    return "no export allowed" if limit == "0" else f"{limit} kW"
