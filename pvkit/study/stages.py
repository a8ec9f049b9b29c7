"""The seven stages in their one direction, each remembered by what it reads."""

from collections.abc import Hashable
from dataclasses import dataclass
from pathlib import Path

from pvkit.electrical.inputs import ArrayInputs, Wiring, optimiser_sheet
from pvkit.electrical.system import Output, system_output
from pvkit.electrical.window import design_faults
from pvkit.errors import InputError
from pvkit.home.demand import demand_year
from pvkit.home.flows import Flows, Years, life_flows, year_flows
from pvkit.home.water import Water, water_year
from pvkit.ledger.carbon import CarbonTable, carbon_table
from pvkit.ledger.cash import Cash, ageing, cash_flow
from pvkit.roof.light import Light, Plane, plane_light
from pvkit.roof.perez import SkySplit, sky_split
from pvkit.site.kit import Array
from pvkit.site.place import Weather
from pvkit.site.survey import Site
from pvkit.sky.sun import Sun, sun_year
from pvkit.sky.year import Sky, sky_year
from pvkit.study.store import Store


@dataclass(frozen=True, slots=True, eq=False)
class Stages:
    """What every stage gave for one site."""

    site: Site
    sky: Sky
    output: Output
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
    output_key = (sky_key, _roof_key(site), site.array, site.inverter, site.cables, site.losses)
    output = store.get("electrical", output_key, lambda: _output(site, sky, sky_key, store))
    home_key = (site.home, site.hot_water)
    demand = store.get("demand", site.home, lambda: demand_year(site.home))
    water = store.get("water", (site.hot_water, site.home.occupants), lambda: _water(site))
    year = store.get(
        "year", (output_key, home_key), lambda: year_flows(output.ac_kwh, demand, water)
    )
    factors = ageing(site.finance)
    years_key = (output_key, home_key, tuple(factors))
    years = store.get("years", years_key, lambda: life_flows(output.ac_kwh, demand, water, factors))
    money = (years_key, site.tariff, site.costs, site.finance)
    cash = store.get("cash", money, lambda: _cash(site, years))
    carbon = store.get(
        "carbon", (years_key, site.carbon, site.finance.first_year), lambda: _carbon(site, years)
    )
    return Stages(site, sky, output, year, years, cash, carbon)


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


def _roof_key(site: Site) -> Hashable:
    return (site.roof, site.horizon, site.site.albedo, site.site.terrain)


def _output(site: Site, sky: Sky, sky_key: Hashable, store: Store) -> Output:
    split: SkySplit = store.get("split", sky_key, lambda: sky_split(sky))
    inputs = tuple(
        array_inputs(site, array, _light(site, array, split, (sky_key, store)))
        for array in site.array
    )
    wiring = Wiring(site.inverter_sheet(), site.cables, site.losses, optimiser_sheet())
    faults = design_faults(inputs, wiring.inverter)
    if faults:
        raise InputError(*faults)
    return system_output(sky, inputs, wiring)


def _light(site: Site, array: Array, split: SkySplit, memory: tuple[Hashable, Store]) -> Light:
    sky_key, store = memory
    plane = Plane(
        surface_tilt=site.tilt_deg(array),
        surface_azimuth=site.azimuth_deg(array),
        albedo=site.site.albedo,
        horizon=site.horizon,
    )
    return store.get("light", (sky_key, plane), lambda: plane_light(split, plane))


def array_inputs(site: Site, array: Array, light: Light) -> ArrayInputs:
    """Gather what the electrical stage reads of one array."""
    return ArrayInputs(
        name=array.name,
        light=light,
        module=site.module(array),
        count=site.count(array),
        strings=array.strings,
        mounting=site.mounting(array),
        optimisers=array.optimisers,
        surface_tilt=site.tilt_deg(array),
        height_m=site.roof_of(array).height_m,
        terrain=site.site.terrain,
    )


def _water(site: Site) -> Water | None:
    return None if site.hot_water is None else water_year(site.hot_water, site.home.occupants)


def _cash(site: Site, years: Years) -> Cash:
    return cash_flow(years, site.tariff, site.costs, site.finance, site.kwp())


def _carbon(site: Site, years: Years) -> CarbonTable:
    return carbon_table(years, site.carbon, site.finance, site.kwp())
