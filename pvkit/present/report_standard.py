"""The trade's paper estimate and the government procedure beside ours, line by line."""

from collections.abc import Sequence

from pvkit.present.report_tables import Column, Table
from pvkit.present.rounding import change, whole
from pvkit.study.standard_estimate import PlaneEstimate, StandardEstimate
from pvkit.study.standard_reasons import Line, paper_number
from pvkit.tables import Number, numbers

_COLUMNS = (Column("Step", text=True), Column("kWh a year"))
_NUMBERS = ("system_factor", "chart_segments", "segment_weight")


def standard_tables(paper: StandardEstimate) -> tuple[Table, Table]:
    """Lead from each paper estimate to ours, one cause at a time; the lines add up."""
    return (
        _table("The trade's standard estimate", "; ".join(map(_standard, paper.planes)),
               (paper.standard_kwh, paper.from_standard, paper.ours_kwh)),
        _table("The government procedure", "; ".join(map(_procedure, paper.planes)),
               (paper.procedure_kwh, paper.from_procedure, paper.ours_kwh)),
    )  # fmt: skip


def _table(name: str, sum_words: str, figures: tuple[float, Sequence[Line], float]) -> Table:
    start, lines, ours = figures
    rows = [(f"{name}: {sum_words}", whole(start))]
    rows += [(line.reason, change(line.kwh)) for line in lines]
    return Table(f"{name}, and why ours differs", _COLUMNS, tuple(rows), ("Ours", whole(ours)))


def _standard(plane: PlaneEstimate) -> str:
    return (
        f"{plane.kwp:.2f} kWp × {plane.factor_kwh_per_kwp:,.0f} kWh/kWp × shade factor "
        f"{plane.shade_factor:.2f}"
    )


def _procedure(plane: PlaneEstimate) -> str:
    return (
        f"{paper_number('system_factor'):g} × {plane.kwp:.2f} kWp × "
        f"{plane.light_kwh_per_m2:,.0f} kWh/m² × overshading {plane.overshading:.2f}"
    )


def standard_numbers() -> tuple[Number, ...]:
    """List the numbers of the paper methods, for the list of all numbers."""
    table = numbers("standard_estimate.toml")
    return tuple(
        Number(f"standard.{n.name}", n.value, n.unit, n.source, n.kind)
        for n in (table[name] for name in _NUMBERS)
    )
