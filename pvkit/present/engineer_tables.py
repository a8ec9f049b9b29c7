"""The tables of the engineer's sheet, as text."""

from pvkit.roof.ballast_rows import Plan
from pvkit.roof.ballast_words import signed
from pvkit.roof.fixing_loads import FixingLoads
from pvkit.roof.hold_plan import BallastPlan
from pvkit.roof.pressure_coefficient import roof_skin_coefficients
from pvkit.roof.roof_load import RoofLoad
from pvkit.site.kit import Roof
from pvkit.tables import Number

Cells = tuple[str, ...]

HELD_CAPTION = "Module by module: masses are of module, frame and ballast, partial factors counted"
FIXED_CAPTION = "Module by module: pulls after partial factors, suction before them"
HELD_HEAD = (
    "module", "row", "zone", "open edge", "wind ×", "suction, N", "mass against lifting, kg",
    "sliding, kg", "tipping, kg", "ballast, kg", "blocks",
)  # fmt: skip
FIXED_HEAD = (
    "module", "row", "zone", "open edge", "wind ×", "suction, N", "pull off the roof, kN",
    "pull along the roof, kN",
)  # fmt: skip


def figures(plan: Plan, roof: Roof) -> tuple[Cells, ...]:
    """Give the chief figures of one array, name and value."""
    return (
        *_wind_figures(plan),
        *_hold_figures(plan),
        *_load_figures(plan.load),
        *_skin(roof),
    )


def _wind_figures(plan: Plan) -> tuple[Cells, ...]:
    pressure, storm = plan.wind.pressure, plan.wind.storm
    return (
        ("basic wind velocity at the site", f"{pressure.basic_m_per_s:.1f} m/s"),
        (f"peak pressure at {storm.height_m:.1f} m, column “{storm.column}”",
         f"{pressure.peak_pa / 1000:.3f} kPa"),
        ("exposure factor", f"{pressure.exposure:.2f}"),
        ("net pressure coefficient, inner modules", signed(plan.coefficient.value)),
    )  # fmt: skip


def _hold_figures(plan: Plan) -> tuple[Cells, ...]:
    if isinstance(plan, FixingLoads):
        most = max(module.pull_n for module in plan.modules) / 1000
        push = max(module.push_n for module in plan.modules) / 1000
        return (
            ("greatest pull on one module's fixings, factored", f"{most:.2f} kN"),
            ("wind pressing on one module, factored", f"{push:.2f} kN"),
        )
    total = "none would do" if plan.blocks is None else f"{plan.blocks} × {plan.block_kg:g} kg"
    return (
        ("friction", f"{plan.friction.value:g}"),
        ("fall of the roof", f"{plan.hold.fall_deg:g}°"),
        ("rows tied", "yes" if plan.hold.tied else "no"),
        ("blocks in all, whole ones under each module", total),
        ("what decides", plan.governs),
        ("wind pressing on one module, factored", f"{plan.push_n / 1000:.2f} kN"),
    )


def _load_figures(load: RoofLoad | None) -> tuple[Cells, ...]:
    if load is None:
        return ()
    allowed = load.allowance_kn_per_m2
    return (
        ("array, frames and ballast", f"{load.total_kg:,.0f} kg ({load.total_kn:.1f} kN)"),
        (
            "mean over the array's part of the roof",
            _per_m2(load.array_kg_per_m2, load.array_kn_per_m2),
        ),
        ("over the heaviest module", _per_m2(load.local_kg_per_m2, load.local_kn_per_m2)),
        ("allowance in the survey", "none given" if allowed is None else _allowed(load, allowed)),
    )


def _allowed(load: RoofLoad, allowed: float) -> str:
    return f"{allowed:.2f} kN/m²{': exceeded' if load.exceeds else ''}"


def _per_m2(kg: float, kn: float) -> str:
    return f"{kg:.0f} kg/m² ({kn:.2f} kN/m²)"


def _skin(roof: Roof) -> tuple[Cells, ...]:
    if roof.kind == "pitched":
        return ()
    found = roof_skin_coefficients(roof)
    words = ", ".join(f"{zone} {signed(value)}" for zone, value in found.items())
    return (("the roof's own skin, external coefficient, 10 m²", words),)


def held_rows(plan: BallastPlan) -> tuple[Cells, ...]:
    """Give a row for each ballasted module."""
    return tuple(
        (
            *_where(m.number, m.row, m.zone, m.open_edge),
            f"{m.factor:.2f}",
            f"{m.force_n:,.0f}",
            f"{m.lifting_kg:,.0f}",
            f"{m.sliding_kg:,.0f}" if plan.holdable else "none would do",
            f"{m.tipping_kg:,.0f}" if not plan.hold.tied else "tied",
            f"{m.ballast_kg:,.0f}" if plan.holdable else "–",
            "–" if m.blocks is None else str(m.blocks),
        )
        for m in plan.modules
    )


def fixed_rows(plan: FixingLoads) -> tuple[Cells, ...]:
    """Give a row for each fixed module."""
    return tuple(
        (
            *_where(m.number, m.row, m.zone, m.open_edge),
            f"{m.factor:.2f}",
            f"{m.force_n:,.0f}",
            f"{m.pull_n / 1000:.2f}",
            f"{m.along_n / 1000:.2f}",
        )
        for m in plan.modules
    )


def _where(number: int, row: int, zone: str, open_edge: bool) -> Cells:
    return str(number), str(row), zone, "yes" if open_edge else "no"


def case_rows(plan: BallastPlan) -> tuple[Cells, ...]:
    """Give what each known coefficient would ask of an inner module."""
    if not plan.holdable:
        return ()
    return tuple(
        (case.coefficient.name, signed(float(case.coefficient.value)), case.coefficient.kind,
         f"{case.ballast_kg:,.0f}")
        for case in plan.cases
    )  # fmt: skip


def tray_rows(plan: BallastPlan) -> tuple[Cells, ...]:
    """Give the blocks on each tray, one line for each row."""
    if not plan.holdable:
        return ()
    rows = sorted({tray.row for tray in plan.trays})
    return tuple(
        (str(row), ", ".join(str(tray.blocks) for tray in plan.trays if tray.row == row))
        for row in rows
    )


def input_row(number: Number) -> Cells:
    """Give an input as name, value with unit, kind and source."""
    if isinstance(number.value, str):
        return number.name, number.value, number.kind, number.source
    unit = _UNITS.get(number.unit, f" {number.unit}")
    return number.name, f"{signed(float(number.value), 6)}{unit}", number.kind, number.source


_UNITS = {"-": "", "deg": "°", "m/s2": " m/s²", "kg/m3": " kg/m³", "kg/m2": " kg/m²"}
