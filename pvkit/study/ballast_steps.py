"""The ballast sum of one module, step by step, as one would write it out by hand."""

from collections.abc import Iterator
from math import ceil, cos, radians, sin

import pandas as pd

from pvkit.errors import Fault, InputError
from pvkit.roof.ballast_plan import ballast_plan
from pvkit.roof.held import array_named
from pvkit.roof.hold_plan import BallastPlan, HeldModule
from pvkit.roof.loads import load_number
from pvkit.site.survey import Site

_Step = tuple[str, str, float, str]


def ballast_steps(site: Site, array_name: str, number: int = 1) -> pd.DataFrame:
    """Write out the sum that gives one module's ballast.

    It is worked out anew from the pressure, coefficient, tilt, friction and masses, so that a
    reader can follow each line with a pocket calculator and end where the plan ends.

    Parameters
    ----------
    site : the survey
    array_name : of a ballasted array on a flat roof
    number : of the module, from 1

    Returns
    -------
    one row a step: ``step, sum, value, unit``

    Raises
    ------
    InputError
        If there is no such array or module, or no mass would hold it.

    Source
    ------
    As :func:`pvkit.roof.ballast.needed_mass`.

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> table = ballast_steps(load_site("flat_roof_garage"), "garage")
    >>> table["sum"].iloc[-1], float(table["value"].iloc[-1])
    ('103.1 kg / 18 kg, rounded up', 6.0)
    """
    plan = ballast_plan(site, array_name)
    if not 1 <= number <= len(plan.modules):
        allowed = f"1 to {len(plan.modules)}"
        fix = "look at the numbers on the plan"
        raise InputError(Fault("number", f"found module {number}", allowed, fix))
    if plan.blocks is None:
        raise InputError(_not_held(plan))
    sheet = site.module(array_named(site, array_name))
    module = plan.modules[number - 1]
    steps = [*_pull(plan, module, sheet.length_m * sheet.width_m), *_masses(plan, module)]
    return pd.DataFrame(steps, columns=["step", "sum", "value", "unit"])


def coefficient_cases(site: Site, array_name: str) -> pd.DataFrame:
    """List what every known coefficient would ask of an inner module, hardest pull first.

    Parameters
    ----------
    site, array_name : as for :func:`ballast_steps`

    Returns
    -------
    one row a coefficient: ``held_as, coefficient, kind, ballast_kg, source``; the one taken comes
    last

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> table = coefficient_cases(load_site("flat_roof_garage"), "garage")
    >>> table["held_as"].iloc[-1], float(table["coefficient"].iloc[-1])
    ('taken here', -0.3)
    """
    plan = ballast_plan(site, array_name)
    columns = ["held_as", "coefficient", "kind", "ballast_kg", "source"]
    known = [
        (c.name, float(c.value), c.kind, case.ballast_kg, c.source)
        for case in plan.cases
        for c in (case.coefficient,)
    ]
    own = plan.coefficient
    taken = ("taken here", own.value, own.kind, plan.inner_kg, own.source)
    return pd.DataFrame([*known, taken], columns=columns)


def _not_held(plan: BallastPlan) -> Fault:
    return Fault(
        f"array.{plan.array}",
        f"found a fall of {plan.hold.fall_deg:g}° and a friction of {plan.friction.value:g}",
        "more grip than fall",
        "no weight holds it: fix it to the building",
    )


def _pull(plan: BallastPlan, module: HeldModule, area_m2: float) -> Iterator[_Step]:
    pressure, c = plan.wind.pressure, plan.coefficient.value
    storm = plan.wind.storm
    told = f"{storm.map_m_per_s:g} m/s of the map × {pressure.altitude_factor:.3f} for altitude"
    yield ("basic wind velocity", told, pressure.basic_m_per_s, "m/s")
    told = f"{storm.air_kg_per_m3:g} kg/m³ / 2 × ({pressure.basic_m_per_s:.2f} m/s)²"
    yield ("basic pressure", told, pressure.basic_pa, "Pa")
    told = f"{pressure.basic_pa:.0f} Pa × exposure {pressure.exposure:.3f}"
    yield ("peak pressure", told, pressure.peak_pa, "Pa")
    yield ("net pressure coefficient", plan.coefficient.kind, c, "-")
    edge = "at an open edge of the array" if module.open_edge else "among others"
    told = f"{module.zone} part of the roof, {edge}; parapet counted"
    yield ("times the pull in its place", told, module.factor, "-")
    suction = pressure.peak_pa * -c * area_m2 * module.factor
    told = f"{pressure.peak_pa:.0f} Pa × {-c:g} × {area_m2:.3f} m² × {module.factor:.2f}"
    yield ("suction, square to the module", told, suction, "N")
    tilt = radians(plan.hold.tilt_deg)
    yield ("of it off the roof", f"× cos {plan.hold.tilt_deg:g}°", suction * cos(tilt), "N")
    yield ("of it along the roof", f"× sin {plan.hold.tilt_deg:g}°", suction * sin(tilt), "N")


def _masses(plan: BallastPlan, module: HeldModule) -> Iterator[_Step]:
    hold, wind = plan.hold, load_number("factor.wind")
    tilt, fall = radians(hold.tilt_deg), radians(hold.fall_deg)
    g, helps = load_number("gravity.m_per_s2"), load_number("factor.helpful")
    harms = load_number("factor.harmful")
    off, along = module.force_n * cos(tilt), module.force_n * sin(tilt)
    lifting = wind * off / (helps * g * cos(fall))
    told = f"{wind:g} × {off:.0f} N / ({helps:g} × {g:g} × cos {hold.fall_deg:g}°)"
    yield ("mass against lifting", told, lifting, "kg")
    grip = hold.friction * helps * g * cos(fall) - harms * g * sin(fall)
    sliding = wind * (along + hold.friction * off) / grip
    told = (
        f"{wind:g} × ({along:.0f} N + {hold.friction:g} × {off:.0f} N) / ({hold.friction:g} × "
        f"{helps:g} × {g:g} × cos {hold.fall_deg:g}° − {harms:g} × {g:g} × sin {hold.fall_deg:g}°)"
    )
    yield ("mass against sliding", told, sliding, "kg")
    tipping = 0.0
    if hold.tied:
        yield ("mass against tipping", "none: the rows are tied", tipping, "kg")
    else:
        arm = 1.0 - load_number("pressure.centre_share")
        tipping = wind * module.force_n * arm / (helps * g * cos(fall) * cos(tilt) / 2.0)
        told = f"{wind:g} × {module.force_n:.0f} N × {arm:g} / ({helps:g} × {g:g} × cos × cos / 2)"
        yield ("mass against tipping", told, tipping, "kg")
    needed = max(lifting, sliding, tipping)
    ballast = max(needed - plan.own_kg, 0.0)
    told = f"{needed:.1f} kg − module and frame {plan.own_kg:g} kg"
    yield ("ballast", told, ballast, "kg")
    told = f"{ballast:.1f} kg / {plan.block_kg:g} kg, rounded up"
    yield ("whole blocks", told, float(ceil(ballast / plan.block_kg - 1e-9)), "blocks")
