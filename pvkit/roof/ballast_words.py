"""What a ballast plan says in words: the answer, what decides it, and what it does not prove."""

from collections.abc import Iterator

from pvkit.roof.hold_plan import BallastPlan
from pvkit.roof.loads import load_number
from pvkit.roof.pressure_coefficient import Coefficient, mildest_alone, steepest_canopy_deg
from pvkit.roof.roof_load import RoofLoad
from pvkit.site.kit import Roof
from pvkit.tables import numbers

ASK = "Ask a structural engineer, with these figures, before anything is laid on the roof."
NOT_SPARE = (
    "What a roof may carry of snow and of people at work is not spare capacity for ballast, which "
    "lies there for good."
)
_ASKS = {
    "sliding": "sliding along the roof",
    "lifting": "lifting off",
    "tipping": "tipping over the lower edge",
}


def ballast_sentences(plan: BallastPlan, roof: Roof) -> tuple[str, ...]:
    """Say a plan in sentences, the answer first."""
    return (
        *_answer(plan),
        *_coefficient(plan),
        *_edges(plan),
        *_load_words(plan),
        *_grip(plan, roof),
        *plan.wind.words,
        ASK,
    )


def _answer(plan: BallastPlan) -> Iterator[str]:
    if plan.blocks is None:
        yield (
            f"No weight can hold '{plan.array}': with a friction of {plan.friction.value:g} the "
            f"roof's fall of {plan.hold.fall_deg:g}° lets it slide whatever is laid on it. It must "
            "be fixed to the building."
        )
        return
    count = len(plan.modules)
    who = f"The {count} modules" if count > 1 else "The one module"
    yield (
        f"{who} of '{plan.array}' {'need' if count > 1 else 'needs'} {_span(plan)} of ballast "
        f"each: {plan.blocks} blocks of {plan.block_kg:g} kg, "
        f"{plan.blocks * plan.block_kg:,.0f} kg in all, or {plan.tray_blocks} blocks on trays "
        f"shared by neighbours. What decides is {_ASKS[plan.governs]}."
    )


def _span(plan: BallastPlan) -> str:
    masses = [module.ballast_kg for module in plan.modules]
    low, high = f"{min(masses):,.0f}", f"{max(masses):,.0f}"
    return f"{high} kg" if low == high else f"{low} to {high} kg"


def _coefficient(plan: BallastPlan) -> Iterator[str]:
    c = plan.coefficient
    yield coefficient_words(c)
    if c.kind == "given":
        yield from _for_tied_rows(plan)
        return
    proven = load_number("pressure.flat.tunnel_proven")
    tested = next(case for case in plan.cases if case.coefficient.value == proven)
    if plan.holdable:
        yield (
            f"At {signed(proven)}, as wind-tunnel reports have it for tied rows with deflectors, "
            f"an inner module would need {tested.ballast_kg:,.0f} kg instead of "
            f"{plan.inner_kg:,.0f} kg. Only the maker's report for the very system entitles "
            "anybody to such a figure."
        )
    if plan.hold.tilt_deg > steepest_canopy_deg():
        yield (
            f"The table of canopies ends at {steepest_canopy_deg():g}°; at {plan.hold.tilt_deg:g}° "
            "its last figure may be too small."
        )


def _for_tied_rows(plan: BallastPlan) -> Iterator[str]:
    """Warn where a figure milder than any row standing alone is used for rows that do stand so."""
    alone = mildest_alone(plan.hold.tilt_deg)
    if plan.hold.tied or plan.coefficient.value <= alone:
        return
    yield (
        f"A row standing by itself has {signed(alone)} or worse. Figures as mild as "
        f"{signed(plan.coefficient.value)} come from wind-tunnel reports on rows tied to one "
        "another, and the survey does not say that these rows are tied: tie them, or see that "
        "the report covers rows that are not."
    )


def coefficient_words(found: Coefficient) -> str:
    """Say which coefficient was taken and where it is from."""
    told = f"given: {found.source}"
    origin = told if found.kind == "given" else f"{found.words}, {found.kind}"
    return (
        f"The net pressure coefficient decides everything; {signed(found.value)} was taken "
        f"({origin})."
    )


def signed(value: float, digits: int = 3) -> str:
    """Say a number with a proper minus.

    Examples
    --------
    >>> signed(-1.4), signed(0.5)
    ('−1.4', '0.5')
    """
    return f"{value:.{digits}g}".replace("-", "−")


def _edges(plan: BallastPlan) -> Iterator[str]:
    zones = [module.zone for module in plan.modules]
    found = [
        f"{zones.count(zone)} in {words}"
        for zone, words in (
            ("corner", "a corner"),
            ("edge", "the strip along an edge"),
            ("inner", "the inner part"),
        )
        if zone in zones
    ]
    yield f"Where they lie on the roof: {', '.join(found)}."
    if plan.holdable:
        more = load_number("practice.edge_more")
        yield (
            f"Common practice is half as much again near an edge: {more:g} × {plan.inner_kg:,.0f} "
            f"kg = {more * plan.inner_kg:,.0f} kg. This sum asks {plan.edge_kg:,.0f} kg there: the "
            "wind grows, the module's own mass does not."
        )


def _load_words(plan: BallastPlan) -> Iterator[str]:
    load = plan.load
    if load is None:
        return
    yield (
        f"The array weighs {load.total_kg:,.0f} kg ({load.total_kn:.1f} kN): "
        f"{load.array_kg_per_m2:.0f} kg/m² ({load.array_kn_per_m2:.2f} kN/m²) over its part of the "
        f"roof, and {load.local_kg_per_m2:.0f} kg/m² ({load.local_kn_per_m2:.2f} kN/m²) over the "
        "heaviest module, more still under its feet."
    )
    if load.exceeds:
        yield (
            f"That is more than the {load.allowance_kn_per_m2:.2f} kN/m² that the survey allows: "
            "this roof may not carry it."
        )
    yield _usual(load)
    yield NOT_SPARE


def _usual(load: RoofLoad) -> str:
    (tied_low, tied_high), (_, heavy_high) = (
        numbers("wind_loads.toml")[f"practice.{kind}_kg_per_m2"].value for kind in ("tied", "heavy")
    )
    found = load.array_kg_per_m2
    if found > heavy_high:
        word = "far beyond what is usual: few roofs carry that"
    elif found > tied_high:
        word = "heavy, as on exposed roofs"
    elif found >= tied_low:
        word = "what is usual"
    else:
        word = "less than usual: have the coefficient looked at again"
    return (
        f"Tied low arrays usually lie at {tied_low:g} to {tied_high:g} kg/m² and heavy ones reach "
        f"{heavy_high:g} (from memory), so {found:.0f} kg/m² is {word}."
    )


def _grip(plan: BallastPlan, roof: Roof) -> Iterator[str]:
    if plan.friction.kind != "given":
        name = plan.friction.name
        yield (
            f"{name[:1].upper()}{name[1:]}: {plan.friction.value:g}, for "
            "planning only; measure pull over weight on the roof, wet and dry, in several places. "
            "A mat under the feet changes it, and on ice there is next to none."
        )
    if "tilt_deg" not in roof.model_fields_set:
        yield (
            f"The roof's fall is not in the survey, so {plan.hold.fall_deg:g}° was taken, downhill "
            "the way the wind pulls."
        )
    if not plan.hold.tied:
        yield (
            "The rows are not tied to one another in the survey, so each module must stand by "
            "itself, tipping counted."
        )
