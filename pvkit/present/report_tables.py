"""The tables of the customer's report: figures already worked out, said in words."""

from collections.abc import Sequence
from dataclasses import dataclass

from pvkit.present.rounding import bearing, change, change_percent, whole
from pvkit.present.wiring_rows import wiring_rows
from pvkit.site.kit import Array, Roof
from pvkit.site.survey import Site
from pvkit.study.doubt import Range
from pvkit.study.estimate import Estimate

_NOTHING = "–"


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table.

    Parameters
    ----------
    head : its heading, with the unit
    text : holds words (set to the left) rather than figures (set to the right)
    """

    head: str
    text: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """One table; the first cell of a row names the row.

    Parameters
    ----------
    caption : what it shows
    columns : one for each cell of a row
    rows : cells as text
    foot : a last row of totals, if there is one
    """

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    foot: tuple[str, ...] = ()


def roofs_table(site: Site) -> Table:
    """List the roofs as surveyed."""
    heads = ("Roof", "Kind", "Slope", "Faces", "Size", "Height")
    rows = tuple(
        (roof.name, roof.kind, _slope(roof), bearing(roof.azimuth_deg), _size(roof),
         f"{roof.height_m:g} m")
        for roof in site.roof
    )  # fmt: skip
    return Table("The roofs", _words(heads), rows)


def _slope(roof: Roof) -> str:
    return "level" if roof.tilt_deg == 0 else f"{roof.tilt_deg:g}°"


def _size(roof: Roof) -> str:
    if roof.width_m is not None and roof.depth_m is not None:
        return f"{roof.width_m:g} m × {roof.depth_m:g} m"
    return "measured outline" if roof.outline_m is not None else "not measured"


def arrays_table(site: Site) -> Table:
    """List the arrays: how many of which panels, where, at which tilt."""
    heads = ("Array", "Roof", "Panels", "Tilt", "Faces", "Held", "Optimisers")
    return Table(
        "The arrays", _words(heads), tuple(_array_row(site, array) for array in site.array)
    )


def _array_row(site: Site, array: Array) -> tuple[str, ...]:
    return (
        array.name,
        array.roof,
        f"{site.count(array)} × {site.module(array).pmax_w:g} W",
        f"{site.tilt_deg(array):g}°",
        bearing(site.azimuth_deg(array)),
        site.mounting(array),
        "yes" if array.optimisers else "no",
    )


def made_table(estimate: Estimate) -> Table:
    """Show month by month what it makes beside what the home uses."""
    table = estimate.monthly
    names = ("solar_kwh", "demand_kwh")
    return Table(
        "Each month",
        (Column("Month", text=True), Column("Made, kWh"), Column("Home uses, kWh")),
        _month_rows(estimate, names),
        ("Year", *(whole(float(table[name].sum())) for name in names)),
    )


def months_table(estimate: Estimate) -> Table:
    """Show each month: what it makes, its likely range, where it goes, what is bought beside it."""
    table = estimate.monthly
    columns = [
        ("Used as it is made", "direct_kwh"), ("Into the battery", "battery_in_kwh"),
        ("Into the car", "car_kwh"), ("Heats water", "cylinder_kwh"),
        ("Sent to the grid", "export_kwh"), ("Not usable", "spilled_kwh"),
        ("Out of the battery", "battery_out_kwh"), ("Home uses", "demand_kwh"),
        ("Bought", "import_kwh"),
    ]  # fmt: skip
    optional = ("battery_in_kwh", "car_kwh", "cylinder_kwh", "spilled_kwh", "battery_out_kwh")
    shown = [(h, n) for h, n in columns if n not in optional or float(table[n].sum()) > 0]
    names = ["solar_kwh", *(name for _, name in shown)]
    spans = [_span(month) for month in estimate.month_ranges]
    rows = tuple(
        (month, made, span, *rest)
        for (month, made, *rest), span in zip(_month_rows(estimate, names), spans, strict=True)
    )
    made, *sums = (whole(float(table[name].sum())) for name in names)
    return Table(
        "Month by month in kWh, panels new",
        (Column("Month", text=True), Column("Made"), Column("Likely"),
         *(Column(head) for head, _ in shown)),
        rows,
        ("Year", made, _span(estimate.ranges.yield_kwh), *sums),
    )  # fmt: skip


def _span(found: Range) -> str:
    return f"{whole(found.p90 or 0.0)} to {whole(found.p10 or 0.0)}"


def _month_rows(estimate: Estimate, names: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    table = estimate.monthly
    return tuple(
        (str(month), *(whole(float(table.loc[month, name])) for name in names))
        for month in table.index
    )


def lost_table(estimate: Estimate) -> Table:
    """Show every step of the loss stack, those of no energy too."""
    first, *middle, last = estimate.stages.output.stack
    rows = [(first.name, first.iec_term, _NOTHING, _NOTHING, whole(first.kwh))]
    rows += [
        (step.name, step.iec_term, change(step.kwh), change_percent(step.percent_of_previous),
         whole(step.remaining_kwh))
        for step in middle
    ]  # fmt: skip
    columns = (
        Column("Step", text=True), Column("Term of IEC 61724-1", text=True), Column("Change, kWh"),
        Column("Share of what was left"), Column("Left, kWh"),
    )  # fmt: skip
    end = (last.name, last.iec_term, _NOTHING, _NOTHING, whole(last.kwh))
    return Table("From the sun to the meter, a year with new panels", columns, tuple(rows), end)


def wiring_table(estimate: Estimate) -> Table:
    """Set a plain string beside an optimiser on each panel."""
    heads = ("Metered in a year", "Against a plain string")
    columns = (Column("Wired as", text=True), *(Column(head) for head in heads))
    caption = "Plain string or optimisers, all else alike"
    return Table(caption, columns, wiring_rows(estimate))


def _words(heads: Sequence[str]) -> tuple[Column, ...]:
    return tuple(Column(head, text=True) for head in heads)
