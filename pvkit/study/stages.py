"""The seven stages in their one direction, each remembered by what it reads."""

from collections.abc import Hashable
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from pvkit.electrical.system import Output, system_output
from pvkit.home.demand import Demand, demand_year
from pvkit.home.flows import Flows, Years, life_flows, year_flows
from pvkit.home.water import Water, water_year
from pvkit.ledger.carbon import CarbonTable, carbon_table
from pvkit.ledger.cash import Cash, ageing, cash_flow
from pvkit.site.place import Weather
from pvkit.site.survey import Site
from pvkit.sky.sun import Sun, sun_year
from pvkit.sky.year import Sky, sky_year
from pvkit.study.arrays import Arrays, site_arrays
from pvkit.study.store import Store


class Household(NamedTuple):
    """What the home stage reads beside the solar: demand, and the cylinder if there is one."""

    demand: Demand
    water: Water | None


@dataclass(frozen=True, slots=True, eq=False)
class Stages:
    """What every stage gave for one site."""

    site: Site
    sky: Sky
    arrays: Arrays
    output: Output
    home: Household
    year: Flows
    years: Years
    cash: Cash
    carbon: CarbonTable


def run_stages(site: Site, store: Store) -> Stages:
    """Take a site through every stage, running only those whose inputs are new.

    Parameters
    ----------
    site : a checked survey
    store : remembered results

    Raises
    ------
    InputError
        If the weather cannot be used, or the strings do not suit the inverter.
    """
    sky_key = _sky_key(site)
    sky = store.get("sky", sky_key, lambda: _sky(site, store))
    roof_key = (site.roof, site.obstacle, site.horizon, site.site.albedo, site.site.terrain)
    output_key = (sky_key, roof_key, site.array, site.inverter, site.cables, site.losses)
    arrays = store.get("arrays", output_key, lambda: site_arrays(site, sky, sky_key, store))
    output = store.get(
        "electrical",
        output_key,
        lambda: system_output(sky, arrays.inputs, arrays.wiring, arrays.powers),
    )
    home, home_key = _home(site, store), (site.home, site.hot_water)
    year = store.get("year", (output_key, home_key), lambda: year_flows(output.ac_kwh, *home))
    factors = ageing(site.finance)
    years_key = (output_key, home_key, tuple(factors))
    years = store.get("years", years_key, lambda: life_flows(output.ac_kwh, *home, factors))
    money = (years_key, site.tariff, site.costs, site.finance)
    cash = store.get("cash", money, lambda: _cash(site, years))
    carbon = store.get(
        "carbon", (years_key, site.carbon, site.finance.first_year), lambda: _carbon(site, years)
    )
    return Stages(site, sky, arrays, output, home, year, years, cash, carbon)


def _sky_key(site: Site) -> Hashable:
    place = site.site
    position = (place.latitude, place.longitude, place.altitude_m, place.region)
    return (position, site.weather, _file_state(site.weather))


def _file_state(weather: Weather) -> Hashable:
    """Tell a weather file that was saved again from the one read before."""
    if weather.file is None or not Path(weather.file).is_file():
        return None
    state = Path(weather.file).stat()
    return (state.st_mtime_ns, state.st_size)


def _sky(site: Site, store: Store) -> Sky:
    place = site.site
    position = (place.latitude, place.longitude, place.altitude_m)
    sun: Sun = store.get("sun", position, lambda: sun_year(*position))
    return sky_year(sun, place, site.weather)


def _home(site: Site, store: Store) -> Household:
    demand = store.get("demand", site.home, lambda: demand_year(site.home))
    water = store.get("water", (site.hot_water, site.home.occupants), lambda: _water(site))
    return Household(demand, water)


def _water(site: Site) -> Water | None:
    return None if site.hot_water is None else water_year(site.hot_water, site.home.occupants)


def _cash(site: Site, years: Years) -> Cash:
    return cash_flow(years, site.tariff, site.costs, site.finance, site.kwp())


def _carbon(site: Site, years: Years) -> CarbonTable:
    return carbon_table(years, site.carbon, site.finance, site.kwp())
