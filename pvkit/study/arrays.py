"""From a site's arrays to their light and power: what each sees, remembered by its geometry."""

from collections.abc import Hashable
from dataclasses import dataclass

from pvkit.electrical.array_power import array_power
from pvkit.electrical.inputs import ArrayInputs, Wiring, optimiser_sheet
from pvkit.electrical.power import ArrayPower
from pvkit.electrical.window import design_faults
from pvkit.errors import InputError
from pvkit.roof.geometry import geometry
from pvkit.roof.light import Plane
from pvkit.roof.perez import SkySplit, sky_split
from pvkit.roof.section_light import SectionLight, section_light
from pvkit.roof.sky_view import sky_view_table
from pvkit.site.kit import Array
from pvkit.site.survey import Site
from pvkit.sky.year import Sky
from pvkit.study.store import Store


@dataclass(frozen=True, slots=True, eq=False)
class Arrays:
    """A site's arrays as the electrical stage reads them, and their power before any cable.

    Parameters
    ----------
    inputs : one for each array, with the light on its sections
    wiring : what they share
    powers : of each array, for strings and for optimisers alike
    """

    inputs: tuple[ArrayInputs, ...]
    wiring: Wiring
    powers: tuple[ArrayPower, ...]


def site_arrays(site: Site, sky: Sky, sky_key: Hashable, store: Store) -> Arrays:
    """Give every array's light and power, running only what is new.

    Raises
    ------
    InputError
        If the strings do not suit the inverter or a data sheet contradicts itself.
    """
    split = store.get("split", sky_key, lambda: sky_split(sky))
    wiring = Wiring(site.inverter_sheet(), site.cables, site.losses, optimiser_sheet())
    inputs = tuple(
        _inputs(site, array, _light(site, array, split, (sky_key, store))) for array in site.array
    )
    faults = design_faults(inputs, wiring.inverter, wiring.optimiser)
    if faults:
        raise InputError(*faults)
    powers = tuple(
        _power(site, array, each, (sky, wiring), (sky_key, store))
        for array, each in zip(site.array, inputs, strict=True)
    )
    return Arrays(inputs, wiring, powers)


def plane_of(site: Site, array: Array) -> Plane:
    """Give the plane an array lies in, with its ground and distant skyline."""
    return Plane(
        surface_tilt=site.tilt_deg(array),
        surface_azimuth=site.azimuth_deg(array),
        albedo=site.site.albedo,
        horizon=site.horizon,
    )


def _light(
    site: Site, array: Array, split: SkySplit, memory: tuple[Hashable, Store]
) -> SectionLight:
    sky_key, store = memory
    seen, plane = geometry(site, array), plane_of(site, array)
    view = store.get("view", seen, lambda: sky_view_table(seen))
    return store.get("light", (sky_key, plane, seen), lambda: section_light(split, plane, view))


def _power(
    site: Site,
    array: Array,
    inputs: ArrayInputs,
    shared: tuple[Sky, Wiring],
    memory: tuple[Hashable, Store],
) -> ArrayPower:
    sky_key, store = memory
    key = (sky_key, _power_key(site, array))
    return store.get("power", key, lambda: array_power(shared[0], inputs, shared[1]))


def _power_key(site: Site, array: Array) -> Hashable:
    """Name all that an array's power depends on: its cables make no difference."""
    light = (plane_of(site, array), geometry(site, array))
    parts = (site.module(array), site.count(array), array.strings, array.name, array.optimisers)
    place = (site.mounting(array), site.roof_of(array).height_m, site.site.terrain)
    return (light, parts, place, site.inverter, site.losses)


def _inputs(site: Site, array: Array, seen: SectionLight) -> ArrayInputs:
    return ArrayInputs(
        name=array.name,
        light=seen.light,
        module=site.module(array),
        count=site.count(array),
        strings=array.strings,
        mounting=site.mounting(array),
        optimisers=array.optimisers,
        surface_tilt=site.tilt_deg(array),
        height_m=site.roof_of(array).height_m,
        terrain=site.site.terrain,
        sections=seen,
    )
