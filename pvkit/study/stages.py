"""The seven stages in their one direction, each remembered by what it reads."""

from collections.abc import Hashable
from dataclasses import dataclass
from pathlib import Path

from pvkit.electrical.system import Output, system_output
from pvkit.home.flows import Flows, Life, Years, home_flows
from pvkit.home.household import Household
from pvkit.home.solar import Solar
from pvkit.home.steering import Steering
from pvkit.home.tariff import prices_file_state
from pvkit.ledger.carbon import CarbonTable, carbon_table
from pvkit.ledger.cash import Cash, cash_flow
from pvkit.ledger.deal import deal
from pvkit.site.survey import Site
from pvkit.sky.sun import Sun, sun_year
from pvkit.sky.year import Sky, sky_year
from pvkit.study.arrays import Arrays, site_arrays
from pvkit.study.household import (
    home_key,
    site_household,
    site_life,
    site_solar,
    site_steering,
)
from pvkit.study.store import Store


@dataclass(frozen=True, slots=True, eq=False)
class Stages:
    """What every stage gave for one site."""

    site: Site
    sky: Sky
    arrays: Arrays
    output: Output
    solar: Solar
    home: Household
    steering: Steering
    life: Life
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
    standing = (site.obstacle, site.keep_clear)
    roof_key = (site.roof, standing, site.horizon, site.site.albedo, site.site.terrain)
    output_key = (sky_key, roof_key, site.array, site.inverter, site.cables, site.losses)
    arrays = store.get("arrays", output_key, lambda: site_arrays(site, sky, sky_key, store))
    output = store.get(
        "electrical",
        output_key,
        lambda: system_output(sky, arrays.inputs, arrays.wiring, arrays.powers),
    )
    solar = store.get("solar", output_key, lambda: site_solar(site, sky, output))
    home, life = site_household(site, store), site_life(site)
    house_key = (output_key, home_key(site))
    steered = site_steering(site, solar, home, house_key, store)
    years_key = (house_key, steered.key, tuple(life.ageing), tuple(life.battery_left))
    year, years = store.get("flows", years_key, lambda: home_flows(solar, home, life, steered))
    terms = deal(site)
    money = (years_key, terms, prices_file_state(site.tariff))
    cash = store.get("cash", money, lambda: cash_flow(years, terms))
    carbon_key = (years_key, site.carbon, file_state(site.carbon.grid_file))
    carbon = store.get(
        "carbon", (carbon_key, site.finance.first_year), lambda: _carbon(site, years)
    )
    return Stages(site, sky, arrays, output, solar, home, steered, life, year, years, cash, carbon)


def _sky_key(site: Site) -> Hashable:
    place = site.site
    position = (place.latitude, place.longitude, place.altitude_m, place.region)
    return (position, site.weather, file_state(site.weather.file))


def file_state(name: str | None) -> Hashable:
    """Tell a file that was saved again from the one read before."""
    if name is None or not Path(name).is_file():
        return None
    state = Path(name).stat()
    return (state.st_mtime_ns, state.st_size)


def _sky(site: Site, store: Store) -> Sky:
    place = site.site
    position = (place.latitude, place.longitude, place.altitude_m)
    sun: Sun = store.get("sun", position, lambda: sun_year(*position))
    return sky_year(sun, place, site.weather)


def _carbon(site: Site, years: Years) -> CarbonTable:
    return carbon_table(years, site.carbon, site.finance, site.kwp())
