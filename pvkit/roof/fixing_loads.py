"""The pull of the wind on the fixings of an array that is screwed to its roof, module by module."""

from dataclasses import dataclass, replace
from math import cos, radians, sin

from pvkit.errors import Fault, InputError
from pvkit.roof.ballast_inputs import edge_factors, frame_mass
from pvkit.roof.ballast_plan import roof_fall
from pvkit.roof.ballast_words import ASK, coefficient_words
from pvkit.roof.held import Pulled, array_named, pulled
from pvkit.roof.loads import entry, load_number, told
from pvkit.roof.pressure_coefficient import Coefficient
from pvkit.roof.roof_load import RoofLoad
from pvkit.roof.site_wind import SiteWind
from pvkit.roof.wind_zones import Zone
from pvkit.site.roof_checks import roof_area_m2
from pvkit.site.survey import Site
from pvkit.tables import Number


@dataclass(frozen=True, slots=True)
class FixedModule:
    """What the fixings of one module must hold.

    Parameters
    ----------
    number, row : from 1, lowest row first
    zone : of the roof
    open_edge : at an open edge of the array
    factor : how many times harder the wind pulls there
    force_n : suction square to the module, before partial factors
    pull_n : off the roof, square to it, after partial factors and less the module's own weight;
        0 where the weight is more
    along_n : along the roof, after partial factors: down the slope, or the wind's own pull on
        tilted rows
    push_n : wind pressing on the module, after partial factors, weight left out
    """

    number: int
    row: int
    zone: Zone
    open_edge: bool
    factor: float
    force_n: float
    pull_n: float
    along_n: float
    push_n: float


@dataclass(frozen=True, slots=True)
class FixingLoads:
    """What the fixings of an array must hold: indicative, never a proof.

    Parameters
    ----------
    array, roof : names
    wind, coefficient : what it rests on
    modules : each of them
    load : dead load of modules and rails
    inputs : every number with its source
    sentences : what the reader must know
    """

    array: str
    roof: str
    wind: SiteWind
    coefficient: Coefficient
    modules: tuple[FixedModule, ...]
    load: RoofLoad
    inputs: tuple[Number, ...]
    sentences: tuple[str, ...]


def fixing_loads(site: Site, array_name: str) -> FixingLoads:
    """Give what an array's fixings must hold, for a structural engineer to check.

    Parameters
    ----------
    site : the survey
    array_name : of an array that is fixed to its roof

    Raises
    ------
    InputError
        If there is no such array, or it is held by ballast.

    Source
    ------
    Partial factors as for ballast (:func:`pvkit.roof.ballast.needed_mass`): pull = 1.5 F cos(lean)
    − 0.9 W cos(slope), along = 1.5 F sin(lean) + 1.1 W sin(slope); lean is 0 on a slope. W is the
    module alone where it helps, module and rails where it harms.

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> loads = fixing_loads(load_site("south_family_home"), "main")
    >>> loads.coefficient.value
    -1.3
    """
    array = array_named(site, array_name)
    if site.mounting(array) == "ballasted":
        raise InputError(
            Fault(
                f"array.{array_name}.mounting",
                "found 'ballasted'",
                "'on-roof' or 'in-roof' for its fixings",
                "ask for its ballast instead, or change the mounting",
            )
        )
    found = pulled(site, array)
    slope = _slope(found)
    own_kg = found.sheet.mass_kg + _rails_kg(site, found)
    loads = FixingLoads(
        array=array.name,
        roof=found.roof.name,
        wind=found.wind,
        coefficient=found.coefficient,
        modules=_modules(found, float(slope.value), own_kg),
        load=_load(found, own_kg),
        inputs=_inputs(site, found, slope),
        sentences=(),
    )
    return replace(loads, sentences=_sentences(loads))


def _slope(found: Pulled) -> Number:
    if found.roof.kind == "flat":
        return roof_fall(found.roof)
    return told("slope of the roof", found.roof.tilt_deg, "deg")


def _rails_kg(site: Site, found: Pulled) -> float:
    if found.roof.kind == "flat":
        return site.ballast.frame_kg
    return load_number("pitched.rails_kg_per_m2") * found.area_m2


def _modules(found: Pulled, slope_deg: float, own_kg: float) -> tuple[FixedModule, ...]:
    lean, slope, g = (
        radians(found.block.lean_deg),
        radians(slope_deg),
        load_number("gravity.m_per_s2"),
    )
    wind = load_number("factor.wind")
    helps = load_number("factor.helpful") * found.sheet.mass_kg * g * cos(slope)
    harms = load_number("factor.harmful") * own_kg * g * sin(slope)
    return tuple(
        FixedModule(
            number=n + 1,
            row=row,
            zone=found.zones[n],
            open_edge=found.open_edge[n],
            factor=float(found.factors[n]),
            force_n=float(found.force_n[n]),
            pull_n=max(wind * float(found.force_n[n]) * cos(lean) - helps, 0.0),
            along_n=wind * float(found.force_n[n]) * sin(lean) + harms,
            push_n=found.push_n,
        )
        for n, row in enumerate(found.rows())
    )


def _load(found: Pulled, own_kg: float) -> RoofLoad:
    block, count = found.block, len(found.zones)
    part = (block.along_m + block.gap_m) * max(block.pitch_m, block.row_depth_m)
    return RoofLoad(
        total_kg=count * own_kg,
        ballast_kg=0.0,
        array_m2=count * part,
        local_kg=own_kg,
        local_m2=block.along_m * block.row_depth_m,
        roof_m2=roof_area_m2(found.roof),
        allowance_kn_per_m2=found.roof.allowance_kn_per_m2,
    )


def _inputs(site: Site, found: Pulled, slope: Number) -> tuple[Number, ...]:
    c = found.coefficient
    flat = found.roof.kind == "flat"
    rails = frame_mass(site) if flat else entry("pitched.rails_kg_per_m2", "rails and hooks")
    return (
        *found.wind.inputs,
        Number("net pressure coefficient", c.value, "-", f"{c.words}; {c.source}", c.kind),
        *edge_factors(site),
        slope,
        rails,
        entry("factor.wind", "partial factor on wind"),
        entry("factor.helpful", "partial factor on weight that helps"),
        entry("factor.harmful", "partial factor on weight that harms"),
    )


def _sentences(loads: FixingLoads) -> tuple[str, ...]:
    pulls = [module.pull_n / 1000.0 for module in loads.modules]
    low, high = f"{min(pulls):.2f}", f"{max(pulls):.2f}"
    span = f"{high} kN" if low == high else f"{low} to {high} kN"
    return (
        f"The wind pulls at the fixings of each of the {len(loads.modules)} modules of "
        f"'{loads.array}' with {span} off the roof, partial factors counted and the module's own "
        "weight taken off.",
        coefficient_words(loads.coefficient),
        f"Modules and rails lay {loads.load.local_kg_per_m2:.0f} kg/m² "
        f"({loads.load.local_kn_per_m2:.2f} kN/m²) on the roof for good. As a rule of "
        "building control, from memory, up to 15 % more than a roof carries now seldom needs "
        "strengthening.",
        *loads.wind.words,
        ASK,
    )
