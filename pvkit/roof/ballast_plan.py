"""Ballast of one array on a flat roof, module by module."""

from collections.abc import Sequence
from dataclasses import replace
from math import isfinite

import numpy as np

from pvkit.errors import Fault, InputError
from pvkit.roof.ballast import Hold, Mass, needed_mass, tray_shares, whole_blocks
from pvkit.roof.ballast_inputs import block_mass, edge_factors, frame_mass, friction
from pvkit.roof.ballast_words import ballast_sentences
from pvkit.roof.held import Forces, Pulled, array_named, pulled
from pvkit.roof.hold_plan import BallastPlan, Case, HeldModule, Tray
from pvkit.roof.loads import entry, told
from pvkit.roof.pressure_coefficient import known_coefficients, parapet_factor
from pvkit.roof.roof_load import RoofLoad
from pvkit.site.kit import Roof
from pvkit.site.roof_checks import roof_area_m2
from pvkit.site.survey import Site
from pvkit.tables import Number


def ballast_plan(site: Site, array_name: str) -> BallastPlan:
    """Give what holds an array down by weight: indicative, for a structural engineer to check.

    Parameters
    ----------
    site : the survey
    array_name : of a ballasted array on a flat roof

    Raises
    ------
    InputError
        If there is no such array, or it is fixed and not ballasted.

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> plan = ballast_plan(load_site("bungalow_extension"), "main")
    >>> len(plan.modules), plan.governs
    (6, 'sliding')
    """
    array = array_named(site, array_name)
    if site.mounting(array) != "ballasted":
        raise InputError(_not_ballasted(array_name, site.mounting(array)))
    found = pulled(site, array)
    grip = friction(site, found.roof)
    fall = roof_fall(found.roof)
    hold = Hold(found.block.lean_deg, float(fall.value), float(grip.value), bool(array.tied))
    plan = _plan(site, found, hold, grip)
    plan = replace(plan, inputs=_inputs(site, found, fall, plan))
    return replace(plan, sentences=ballast_sentences(plan, found.roof))


def ballast_by_coefficient(site: Site, array_name: str, coefficients: Forces) -> Forces:
    """Give what an inner module would need, beyond its own mass, at any coefficient [kg].

    Parameters
    ----------
    site, array_name : as for :func:`ballast_plan`
    coefficients : (n,) net pressure coefficients, below 0 for suction

    Returns
    -------
    (n,) ballast; ``inf`` where no mass would do

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> site = load_site("flat_roof_garage")
    >>> ballast_by_coefficient(site, "garage", np.array([-0.3, -1.4])).round()
    array([ 60., 379.])
    """
    plan = ballast_plan(site, array_name)
    found = pulled(site, array_named(site, array_name))
    return _inner_kg(found, plan.hold, plan.own_kg, coefficients)


def roof_fall(roof: Roof) -> Number:
    """Give a flat roof's fall: the survey's own ``tilt_deg``, else the usual one."""
    words = "fall of the roof"
    if "tilt_deg" in roof.model_fields_set:
        return told(words, roof.tilt_deg, "deg")
    return entry("flat_roof.fall_deg", words)


def _not_ballasted(name: str, mounting: str) -> Fault:
    return Fault(
        f"array.{name}.mounting",
        f"found '{mounting}'",
        "'ballasted' for a ballast plan",
        "ask for its fixings instead, or change the mounting",
    )


def _plan(site: Site, found: Pulled, hold: Hold, grip: Number) -> BallastPlan:
    own_kg, block_kg = found.sheet.mass_kg + site.ballast.frame_kg, site.ballast.block_kg
    mass = needed_mass(found.force_n, hold)
    ballast = np.maximum(mass.needed - own_kg, 0.0)
    blocks = whole_blocks(ballast, block_kg)
    trays = _trays(ballast, found.block.rows, block_kg)
    inner, edge = _at_factor(1.0, found, hold, own_kg), site.ballast.edge_factor
    return BallastPlan(
        array=found.array.name,
        roof=found.roof.name,
        wind=found.wind,
        coefficient=found.coefficient,
        hold=hold,
        friction=grip,
        own_kg=own_kg,
        block_kg=block_kg,
        modules=_modules(found, mass, ballast, blocks),
        trays=trays,
        inner_kg=inner,
        edge_kg=_at_factor(edge, found, hold, own_kg),
        push_n=found.push_n,
        load=_load(found, blocks, own_kg, block_kg) if np.isfinite(blocks).all() else None,
        blocks=_count(float(blocks.sum())),
        tray_blocks=_sum_blocks(trays),
        cases=_cases(found, hold, own_kg),
        inputs=(),
        sentences=(),
    )


def _modules(found: Pulled, mass: Mass, ballast: Forces, blocks: Forces) -> tuple[HeldModule, ...]:
    return tuple(
        HeldModule(
            number=n + 1,
            row=row,
            zone=found.zones[n],
            open_edge=found.open_edge[n],
            factor=float(found.factors[n]),
            force_n=float(found.force_n[n]),
            lifting_kg=float(mass.lifting[n]),
            sliding_kg=float(mass.sliding[n]),
            tipping_kg=float(mass.tipping[n]),
            ballast_kg=float(ballast[n]),
            blocks=_count(float(blocks[n])),
        )
        for n, row in enumerate(found.rows())
    )


def _at_factor(factor: float, found: Pulled, hold: Hold, own_kg: float) -> float:
    """Give the ballast of a module whose pull is so many times that of an inner one."""
    force = np.array([found.inner_force_n * parapet_factor(found.roof) * factor])
    return max(float(needed_mass(force, hold).needed[0]) - own_kg, 0.0)


def _cases(found: Pulled, hold: Hold, own_kg: float) -> tuple[Case, ...]:
    known = known_coefficients(hold.tilt_deg)
    masses = _inner_kg(found, hold, own_kg, np.array([float(c.value) for c in known]))
    return tuple(Case(number, float(mass)) for number, mass in zip(known, masses, strict=True))


def _inner_kg(found: Pulled, hold: Hold, own_kg: float, coefficients: Forces) -> Forces:
    """Give the ballast of a module with a factor of 1 at other coefficients."""
    one = found.wind.pressure.peak_pa * found.area_m2 * parapet_factor(found.roof)
    return np.maximum(needed_mass(-coefficients * one, hold).needed - own_kg, 0.0)


def _trays(ballast: Forces, rows: Sequence[int], block_kg: float) -> tuple[Tray, ...]:
    return tuple(
        Tray(row, place, float(mass), _count(float(count)))
        for row, shares in enumerate(tray_shares(ballast, rows), 1)
        for place, (mass, count) in enumerate(
            zip(shares, whole_blocks(shares, block_kg), strict=True), 1
        )
    )


def _sum_blocks(trays: Sequence[Tray]) -> int | None:
    counts = [tray.blocks for tray in trays if tray.blocks is not None]
    return sum(counts) if len(counts) == len(trays) else None


def _count(blocks: float) -> int | None:
    return int(blocks) if isfinite(blocks) else None


def _load(found: Pulled, blocks: Forces, own_kg: float, block_kg: float) -> RoofLoad:
    block = found.block
    masses = own_kg + blocks * block_kg
    part = (block.along_m + block.gap_m) * max(block.pitch_m, block.row_depth_m)
    return RoofLoad(
        total_kg=float(masses.sum()),
        ballast_kg=float(blocks.sum()) * block_kg,
        array_m2=len(blocks) * part,
        local_kg=float(masses.max()),
        local_m2=block.along_m * block.row_depth_m,
        roof_m2=roof_area_m2(found.roof),
        allowance_kn_per_m2=found.roof.allowance_kn_per_m2,
    )


def _parapet(roof: Roof) -> Number:
    rule = entry("parapet.base", "times the pull behind a parapet")
    return replace(rule, value=round(parapet_factor(roof), 3))


def _inputs(site: Site, found: Pulled, fall: Number, plan: BallastPlan) -> tuple[Number, ...]:
    c = found.coefficient
    return (
        *found.wind.inputs,
        Number("net pressure coefficient", c.value, "-", f"{c.words}; {c.source}", c.kind),
        *edge_factors(site),
        _parapet(found.roof),
        plan.friction,
        fall,
        frame_mass(site),
        block_mass(site),
        entry("factor.wind", "partial factor on wind"),
        entry("factor.helpful", "partial factor on weight that helps"),
        entry("factor.harmful", "partial factor on weight that harms"),
        entry(
            "pressure.centre_share", "where the suction acts when a row tips, share of its length"
        ),
    )
