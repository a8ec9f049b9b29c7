"""From a site's tables to the home that the half-hours are run on, and how it is steered."""

from collections.abc import Hashable

import numpy as np

from pvkit.electrical.system import Output
from pvkit.home.battery import BatteryYear, battery_left, battery_year
from pvkit.home.car import CarYear, car_year
from pvkit.home.cheap_charge import steer
from pvkit.home.demand import demand_year
from pvkit.home.flows import Life
from pvkit.home.household import Household
from pvkit.home.meter import meter_state
from pvkit.home.prices import Prices
from pvkit.home.solar import Solar
from pvkit.home.steering import Steering, steering
from pvkit.home.tariff import export_prices, gas_gbp_per_kwh, import_prices, prices_file_state
from pvkit.home.water import Water, water_year
from pvkit.ledger.cash import ageing
from pvkit.ledger.outlay import replacements
from pvkit.site.survey import Site
from pvkit.sky.year import Sky
from pvkit.study.store import Store

HOURS_PER_STEP = 0.5


def home_key(site: Site) -> Hashable:
    """Name all that a household is made of."""
    home = (site.home, meter_state(site.home), site.hot_water)
    return (*home, _battery_key(site), site.car, site.supply.export_limit_kw)


def _battery_key(site: Site) -> Hashable:
    """Name the battery, and the inverter where it is on its d.c. side."""
    battery = site.battery
    if battery is None or battery.capacity_kwh == 0.0:
        return None
    return (battery, site.inverter if battery.coupling == "dc" else None)


def site_household(site: Site, store: Store) -> Household:
    """Give the home of a site: demand, cylinder, battery, car, their order, the network's limit."""
    demand_key = _demand_key(site)
    water_key = (site.hot_water, site.home.occupants)
    limit_kw = site.supply.export_limit_kw
    return Household(
        demand=store.get("demand", demand_key, lambda: demand_year(site.home)),
        water=store.get("water", water_key, lambda: _water(site)),
        battery=_battery(site),
        car=store.get("car", site.car, lambda: _car(site)),
        order=site.home.order,
        export_limit_kwh=None if limit_kw is None else limit_kw * HOURS_PER_STEP,
    )


def _demand_key(site: Site) -> Hashable:
    """Name all that demand is made of: not who is given surplus."""
    home = site.home.model_dump(exclude={"order"})
    return (tuple(sorted(home.items())), meter_state(site.home))


def _water(site: Site) -> Water | None:
    return None if site.hot_water is None else water_year(site.hot_water, site.home.occupants)


def _car(site: Site) -> CarYear | None:
    return None if site.car is None else car_year(site.car)


def _battery(site: Site) -> BatteryYear | None:
    if site.battery is None or site.battery.capacity_kwh == 0.0:
        return None
    return battery_year(site.battery, site.inverter_sheet())


def site_solar(site: Site, sky: Sky, output: Output) -> Solar:
    """Give a system's energy as the home meets it, under its sky and its inverter's rating."""
    most_kwh = site.inverter_sheet().ac_w / 1000.0 * HOURS_PER_STEP
    return Solar.under(sky, output.ac_kwh, output.over_limit_kwh, most_kwh)


def site_life(site: Site) -> Life:
    """Give the years counted: ageing of the modules, fade of the battery."""
    years = site.finance.years
    bought = replacements(site.costs, years, site.battery)
    left = np.zeros(years) if site.battery is None else battery_left(site.battery, bought, years)
    return Life(ageing(site.finance), left)


def site_prices(site: Site) -> Prices:
    """Give today's price of every half-hour."""
    tariff = site.tariff
    return Prices(import_prices(tariff), export_prices(tariff), gas_gbp_per_kwh(tariff))


def site_steering(
    site: Site, solar: Solar, home: Household, key: Hashable, store: Store
) -> Steering:
    """Decide how a site's devices are steered; prices are asked only where they decide something.

    Parameters
    ----------
    site : the survey
    solar : its new system's energy
    home : its household
    key : all that those two are made of
    store : remembered results
    """
    cheap_hours = home.battery is not None and home.battery.grid_charge
    if not (home.by_value or home.car is not None or cheap_hours):
        return store.get("steering", key, lambda: steering(home, None))
    priced = (key, site.tariff, prices_file_state(site.tariff))
    return store.get("steering", priced, lambda: steer(solar, home, site_prices(site)))
