"""What only a licensed electrician can confirm on site: circuit, isolators, earthing, labels."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pvkit.electrical.finding import line_source
from pvkit.electrical.string_volts import Strings, flat_rule_voc_v, longest
from pvkit.site.kit import Cables, InverterSheet
from pvkit.site.supply import Supply
from pvkit.tables import constant, rows
from pvkit.verdict import CheckRow

TABLE = "to_confirm_on_site.csv"
TO_CONFIRM = "to confirm on site by the licensed electrician"
EARTHING_LINE = {"TN-C-S": "earthing_pme", "TT": "earthing_tt"}


def circuit_rows(
    arrays: Sequence[Strings], inverter: InverterSheet, cables: Cables, supply: Supply
) -> Iterator[CheckRow]:
    """List what the circuit must have: isolators with their ratings, earthing, protection.

    Parameters
    ----------
    arrays, inverter, cables : for the ratings of the isolators and the length of the d.c. run
    supply : its earthing, and thereby whether a residual-current device is needed
    """
    found = {line["id"]: _row(line) for line in rows(TABLE) if line["group"] == "circuit"}
    found["dc_isolator"] = _rated(found["dc_isolator"], _dc_rating(arrays))
    ac_a = inverter.ac_w / (constant("grid.nominal_v") * inverter.phases)
    found["ac_isolators"] = _rated(found["ac_isolators"], f"{ac_a:.1f} A or more")
    if cables.dc_length_m > constant("dc.surge_run_m"):
        run = f"also at the array, the d.c. run is {cables.dc_length_m:g} m"
        found["surge"] = _rated(found["surge"], run)
    if supply.earthing == "TT":
        found["rcd"] = _rated(found["rcd"], "needed here: the supply is TT")
    yield from found.values()
    yield _earthing(supply)


def label_rows() -> tuple[CheckRow, ...]:
    """List the labels and papers to leave at the site."""
    return tuple(_row(line) for line in rows(TABLE) if line["group"] == "labels")


def dc_isolator_rating(array: Strings) -> tuple[float, float]:
    """Give the volts and amps that an array's d.c. isolator must break [V, A].

    Source
    ------
    Rated open-circuit volts and short-circuit amps times the usual factors (guide 2012, from
    memory): ``design.voc_factor``, ``design.isc_factor``.
    """
    volts = longest(array) * flat_rule_voc_v(array.module)
    return volts, array.strings * array.module.isc_a * constant("design.isc_factor")


def _dc_rating(arrays: Sequence[Strings]) -> str:
    ratings = [dc_isolator_rating(array) for array in arrays]
    volts, amps = (max(each) for each in zip(*ratings, strict=True))
    return f"{volts:.0f} V and {amps:.1f} A or more"


def _earthing(supply: Supply) -> CheckRow:
    lines = {line["id"]: line for line in rows(TABLE)}
    row = _row(lines[EARTHING_LINE.get(supply.earthing or "", "earthing")])
    kind = supply.earthing or "supply's earthing not read"
    return replace(row, value=f"{kind}: {TO_CONFIRM}")


def _row(line: dict[str, str]) -> CheckRow:
    return CheckRow(line["what"], TO_CONFIRM, line["expected"], "ask", line_source(line))


def _rated(row: CheckRow, rating: str) -> CheckRow:
    return replace(row, limit=f"{row.limit}; {rating}")
