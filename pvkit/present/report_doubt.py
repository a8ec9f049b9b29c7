"""How sure the customer's report is: the ranges, and the sizes of the doubts behind them."""

from pvkit.present.range_words import range_rows
from pvkit.present.report_tables import Column, Table
from pvkit.study.doubt_sizes import doubts
from pvkit.study.estimate import Estimate
from pvkit.tables import Number, numbers

_SHARED = ("correlation.import_gas", "correlation.import_export", "correlation.export_gas")


def ranges_table(estimate: Estimate) -> Table:
    """Give the cautious, the middle and the hopeful value of each figure."""
    heads = ("Cautious: nine in ten do better", "Middle", "Hopeful: one in ten does better")
    columns = (Column("Figure", text=True), *(Column(head) for head in heads))
    return Table("How sure it is", columns, range_rows(estimate))


def doubt_numbers(estimate: Estimate) -> tuple[Number, ...]:
    """List the sizes of the doubts as numbers with their sources, for the list of all numbers."""
    sizes = doubts(estimate.site).values()
    own = (Number(f"doubt.{d.name}", d.spread, d.unit, d.source, d.kind) for d in sizes)
    table = numbers("doubts.toml")
    shared = (table[name] for name in _SHARED)
    return (*own, *(Number(f"doubt.{n.name}", n.value, n.unit, n.source, n.kind) for n in shared))
