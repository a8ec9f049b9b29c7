"""The rows of what was looked at on the roof and at the inverter."""

from collections.abc import Iterator
from dataclasses import dataclass

from pvkit.electrical.commission_earth import TABLE, insulation_line
from pvkit.electrical.finding import judged, where_from
from pvkit.site.kit import Array
from pvkit.site.survey import Site
from pvkit.site.visit_file import Insulation, Looked, VisitFile
from pvkit.study.visit_verdict import per_cent
from pvkit.tables import constant, source_of
from pvkit.verdict import CheckRow, Verdict

PRACTICE = "what a yearly visit looks at, no source (common practice)"
NOT_LOOKED = "not looked at"
_VERDICTS: dict[str, Verdict] = {"good": "pass", "put right": "pass", "fault": "fail"}


@dataclass(frozen=True, slots=True)
class Item:
    """One thing to look at.

    Parameters
    ----------
    key : in ``[checks]``
    what : its name
    good : what it should look like
    flat : only where an array stands on a flat roof
    """

    key: str
    what: str
    good: str
    flat: bool = False


ITEMS = (
    Item("panels", "Panels", "clean, whole, none slipped"),
    Item("fixings", "Clamps, rails, hooks", "tight"),
    Item("cables", "Cables under the panels", "tied up, none lying on the roof"),
    Item("ballast", "Ballast and pads", "in place, nothing slid", flat=True),
    Item("membrane", "Roof's skin", "whole, dry, no stones under the feet", flat=True),
    Item("gutters", "Gutters and outlets", "clear"),
    Item("nests", "Space below the panels", "no nests, no gnawed cables"),
    Item("new_shade", "What stands in the light", "nothing new since the survey"),
    Item("connectors", "Connectors and isolators", "none warmer than its fellows"),
    Item("labels", "Labels", "all there and legible"),
    Item("inverter", "Inverter", "vents clear, no faults in its log"),
)


def items_of(site: Site) -> tuple[Item, ...]:
    """List what there is to look at on a site."""
    flat = any(site.roof_of(array).kind == "flat" for array in site.array)
    return tuple(item for item in ITEMS if flat or not item.flat)


def checklist_rows(site: Site, file: VisitFile) -> tuple[CheckRow, ...]:
    """Give a row for each thing to look at; what was not looked at stays open.

    Parameters
    ----------
    site : the survey: ballast and the roof's skin only concern flat roofs
    file : the readings file
    """
    looked = file.checks
    rows = [_item_row(item, getattr(looked, item.key)) for item in items_of(site)]
    rows += _trips(looked)
    rows += _strings(looked)
    return (*rows, *(_insulation(site, measured) for measured in file.insulation))


def _item_row(item: Item, answer: str | None) -> CheckRow:
    verdict = _VERDICTS.get(answer or "", "ask")
    return CheckRow(item.what, answer or NOT_LOOKED, item.good, verdict, PRACTICE)


def _trips(looked: Looked) -> Iterator[CheckRow]:
    count = looked.over_voltage_trips
    value = NOT_LOOKED if count is None else f"{count} trip{'' if count == 1 else 's'}"
    limit = "none; else ask the network operator about the supply's voltage"
    verdict: Verdict = judged(count == 0, "ask")
    yield CheckRow("Over-voltage trips in the inverter's log", value, limit, verdict, PRACTICE)


def _strings(looked: Looked) -> Iterator[CheckRow]:
    amps = looked.string_amps
    if amps is None:
        return
    mean = sum(amps) / len(amps)
    apart = max(abs(each / mean - 1.0) for each in amps) if mean > 0.0 else 1.0
    most = constant("visit.string_spread_fraction")
    listed = ", ".join(f"{each:g}" for each in amps)
    yield CheckRow(
        "Like strings beside each other", f"{listed} A: up to {per_cent(apart)} off their mean",
        f"within {per_cent(most)}, all read in the same steady sun", judged(apart <= most),
        where_from("visit.string_spread_fraction"),
    )  # fmt: skip


def _insulation(site: Site, measured: Insulation) -> CheckRow:
    """Judge insulation to earth by the line of the standard's table for the longest string."""
    line = insulation_line(max(_string_voc_v(site, array) for array in site.array))
    least, test_v = float(line["least_mohm"]), float(line["test_v"])
    value = f"{measured.mohm:g} MΩ at {measured.test_v:g} V"
    if measured.test_v < test_v:
        value += ", too few volts to tell"
    good = measured.mohm >= least and measured.test_v >= test_v
    return CheckRow(
        f"Insulation to earth, {measured.name}", value, f"at least {least:g} MΩ at {test_v:g} V",
        judged(good), f"{source_of(TABLE)} ({line['kind']})",
    )  # fmt: skip


def _string_voc_v(site: Site, array: Array) -> float:
    return site.module(array).voc_v * -(-site.count(array) // array.strings)
