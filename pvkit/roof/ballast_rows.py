"""Wind, ballast and roof load as rows of a check sheet and as plain facts.

No row passes: who says that a roof holds is a structural engineer, and the rows say so.
"""

from dataclasses import asdict
from typing import Any

from pvkit.roof.ballast_plan import ballast_plan
from pvkit.roof.ballast_words import ASK, signed
from pvkit.roof.fixing_loads import FixingLoads, fixing_loads
from pvkit.roof.hold_plan import BallastPlan
from pvkit.roof.roof_load import RoofLoad, allowance_words
from pvkit.site.survey import Site
from pvkit.verdict import CheckRow

Plan = BallastPlan | FixingLoads

_ENGINEER = "ask a structural engineer, with these figures"
_CHARTS = "the charts of the UK annex decide"
_CLOSED_FORM = "BS EN 1991-1-4, closed form of the main text (published)"
_FACTORS = "BS EN 1990 stability factors 0.9 and 1.5 (from memory)"


def plans(site: Site) -> tuple[Plan, ...]:
    """Give the ballast plan of each ballasted array, and the fixing loads of every other."""
    return tuple(
        ballast_plan(site, array.name)
        if site.mounting(array) == "ballasted"
        else fixing_loads(site, array.name)
        for array in site.array
    )


def ballast_rows(site: Site) -> tuple[CheckRow, ...]:
    """Give the rows of wind, ballast and load for every array of a site.

    Returns
    -------
    rows that say ``ask``, or ``fail`` where the load is above the survey's own allowance or no
    weight would hold the array; never ``pass``

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> {row.verdict for row in ballast_rows(load_site("bungalow_extension"))}
    {'ask'}
    """
    return tuple(row for plan in plans(site) for row in _rows(plan, site))


def ballast_facts(site: Site) -> dict[str, Any]:
    """Give the same as plain numbers, words and lists under stable keys.

    Returns
    -------
    JSON-ready: a missing figure is None, none is ever NaN or infinite
    """
    found = plans(site)
    held = [_held_facts(plan) for plan in found if isinstance(plan, BallastPlan)]
    fixed = [_fixed_facts(plan) for plan in found if isinstance(plan, FixingLoads)]
    return {"ballasted": held, "fixed": fixed, "advice": ASK}


def _rows(plan: Plan, site: Site) -> tuple[CheckRow, ...]:
    roof = next(roof for roof in site.roof if roof.name == plan.roof)
    held = _held(plan) if isinstance(plan, BallastPlan) else _fixed(plan)
    load = () if plan.load is None else (_load(plan.array, plan.load, allowance_words(roof)),)
    return (_wind(plan), _pull(plan), *held, *load)


def _wind(plan: Plan) -> CheckRow:
    pressure, storm = plan.wind.pressure, plan.wind.storm
    return CheckRow(
        f"{plan.array}: peak wind pressure",
        f"{pressure.peak_pa / 1000.0:.2f} kPa at {storm.height_m:.1f} m, column '{storm.column}'",
        _CHARTS,
        "ask",
        _CLOSED_FORM,
    )


def _pull(plan: Plan) -> CheckRow:
    c = plan.coefficient
    return CheckRow(
        f"{plan.array}: net pressure coefficient of inner modules",
        signed(c.value),
        "the mounting maker's wind-tunnel report decides",
        "ask",
        f"{c.source} ({c.kind})",
    )


def _held(plan: BallastPlan) -> tuple[CheckRow, ...]:
    what = f"{plan.array}: ballast against lifting, sliding and tipping"
    if plan.blocks is None:
        fall = f"no weight holds it on a fall of {plan.hold.fall_deg:g}°"
        grip = f"friction {plan.friction.value:g}"
        return (CheckRow(what, fall, f"{grip}; fix it instead", "fail", plan.friction.source),)
    most = max(module.ballast_kg for module in plan.modules)
    least = min(module.ballast_kg for module in plan.modules)
    each = f"{most:,.0f}" if round(most) == round(least) else f"{least:,.0f} to {most:,.0f}"
    total = plan.blocks * plan.block_kg
    return (
        CheckRow(
            what,
            f"{each} kg a module, {plan.blocks} blocks ({total:,.0f} kg) in all",
            _ENGINEER,
            "ask",
            _FACTORS,
        ),
    )


def _fixed(plan: FixingLoads) -> tuple[CheckRow, ...]:
    most = max(module.pull_n for module in plan.modules) / 1000.0
    along = max(module.along_n for module in plan.modules) / 1000.0
    return (
        CheckRow(
            f"{plan.array}: pull on the fixings of the hardest-pulled module",
            f"{most:.2f} kN off the roof, {along:.2f} kN along it",
            _ENGINEER,
            "ask",
            _FACTORS,
        ),
    )


def _load(array: str, load: RoofLoad, allowed: str) -> CheckRow:
    return CheckRow(
        f"{array}: weight on the roof under the heaviest module",
        f"{load.local_kn_per_m2:.2f} kN/m² ({load.local_kg_per_m2:.0f} kg/m²), "
        f"{load.total_kg:,.0f} kg in all",
        allowed if load.exceeds else f"{allowed}; {_ENGINEER}",
        "fail" if load.exceeds else "ask",
        "mass of modules, frames and blocks; allowance from the survey",
    )


def _common(plan: Plan) -> dict[str, Any]:
    return {
        "array": plan.array,
        "roof": plan.roof,
        "wind": asdict(plan.wind.pressure)
        | {"column": plan.wind.storm.column, "height_m": plan.wind.storm.height_m},
        "coefficient": asdict(plan.coefficient),
        "load": None if plan.load is None else _load_facts(plan.load),
        "inputs": [asdict(number) for number in plan.inputs],
        "sentences": list(plan.sentences),
    }


def _held_facts(plan: BallastPlan) -> dict[str, Any]:
    modules = [asdict(module) for module in plan.modules]
    if not plan.holdable:
        for module in modules:
            module["sliding_kg"] = module["ballast_kg"] = None
    trays = [asdict(tray) for tray in plan.trays] if plan.holdable else []
    return _common(plan) | {
        "friction": asdict(plan.friction),
        "tied": plan.hold.tied,
        "fall_deg": plan.hold.fall_deg,
        "own_kg": plan.own_kg,
        "block_kg": plan.block_kg,
        "blocks": plan.blocks,
        "tray_blocks": plan.tray_blocks,
        "modules": modules,
        "trays": trays,
    }


def _fixed_facts(plan: FixingLoads) -> dict[str, Any]:
    return _common(plan) | {"modules": [asdict(module) for module in plan.modules]}


def _load_facts(load: RoofLoad) -> dict[str, Any]:
    names = ("total_kn", "array_kg_per_m2", "array_kn_per_m2", "local_kg_per_m2",
             "local_kn_per_m2", "roof_kg_per_m2", "exceeds")  # fmt: skip
    return asdict(load) | {name: getattr(load, name) for name in names}
