"""What ballast and fixings share: an array's modules on their roof, with zone and pull of each."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.errors import Fault, InputError
from pvkit.roof.loads import load_number
from pvkit.roof.pressure_coefficient import (
    Coefficient,
    net_coefficient,
    parapet_factor,
    zone_factor,
)
from pvkit.roof.site_wind import SiteWind, site_wind
from pvkit.roof.wind_zones import Zone, module_zones, open_edges
from pvkit.site.faults import nearest
from pvkit.site.kit import Array, ModuleSheet, Roof
from pvkit.site.placing import site_blocks
from pvkit.site.plan import Block
from pvkit.site.survey import Site

Forces = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Pulled:
    """The modules of one array and the wind's suction on each.

    Parameters
    ----------
    array, roof, block, sheet : the array, its roof, its layout and its module
    wind : peak pressure and what it rests on
    coefficient : net pressure coefficient of inner modules
    zones : of each module
    open_edge : whether each lies at an open edge of the array
    factors : (modules,) how many times harder the wind pulls there, parapet counted
    force_n : (modules,) suction square to each module, before partial factors
    """

    array: Array
    roof: Roof
    block: Block
    sheet: ModuleSheet
    wind: SiteWind
    coefficient: Coefficient
    zones: tuple[Zone, ...]
    open_edge: tuple[bool, ...]
    factors: Forces
    force_n: Forces

    @property
    def area_m2(self) -> float:
        """Area of one module."""
        return self.sheet.length_m * self.sheet.width_m

    @property
    def inner_force_n(self) -> float:
        """Suction on a module with a factor of 1."""
        return self.wind.pressure.peak_pa * -self.coefficient.value * self.area_m2

    @property
    def push_n(self) -> float:
        """Wind pressing on a module, after its partial factor, weight left out."""
        factored = load_number("factor.wind") * self.wind.pressure.peak_pa
        return factored * self.coefficient.down * self.area_m2

    def rows(self) -> tuple[int, ...]:
        """Give the row of each module, from 1."""
        return tuple(row for row, count in enumerate(self.block.rows, 1) for _ in range(count))


def pulled(site: Site, array: Array) -> Pulled:
    """Lay out an array and give the wind's suction on each of its modules.

    Parameters
    ----------
    site : the survey
    array : one of its arrays

    Source
    ------
    Force = peak pressure × net coefficient × area, square to the module (BS EN 1991-1-4 eq. 5.3
    with all partial terms 1).
    """
    roof, block = site.roof_of(array), array_block(site, array)
    wind, coefficient = site_wind(site, roof), net_coefficient(site, array)
    zones, edges = module_zones(roof, block), open_edges(block)
    parapet = parapet_factor(roof)
    factors = parapet * np.array(
        [
            zone_factor(zone, edge, coefficient, site.ballast)
            for zone, edge in zip(zones, edges, strict=True)
        ]
    )
    sheet = site.module(array)
    area = sheet.length_m * sheet.width_m
    force = wind.pressure.peak_pa * -coefficient.value * area * factors
    return Pulled(array, roof, block, sheet, wind, coefficient, zones, edges, factors, force)


def array_block(site: Site, array: Array) -> Block:
    """Give where an array's modules lie on its roof, round what is kept clear there."""
    return site_blocks(site, site.roof_of(array))[array.name]


def array_named(site: Site, name: str) -> Array:
    """Find an array by its name.

    Raises
    ------
    InputError
        If there is none of that name.
    """
    for array in site.array:
        if array.name == name:
            return array
    known = [array.name for array in site.array]
    raise InputError(
        Fault("array", f"found none called '{name}'", ", ".join(known), nearest(name, known))
    )
