"""The electrical part of a site's check sheet."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from pvkit.electrical.ac_checks import ac_rows
from pvkit.electrical.dc_cable_checks import dc_cable_rows
from pvkit.electrical.input_checks import ratio_row, trackers_finding
from pvkit.electrical.inputs import optimiser_sheet
from pvkit.electrical.network import network_rows
from pvkit.electrical.on_site import circuit_rows, label_rows
from pvkit.electrical.protection import protection_rows
from pvkit.electrical.string_volts import StringPlan, string_plans
from pvkit.electrical.supply_checks import supply_rows
from pvkit.electrical.window import array_findings
from pvkit.site.survey import Site
from pvkit.verdict import CheckGroup, CheckRow


def electrical_rows(site: Site) -> tuple[CheckRow, ...]:
    """Check a site's electrical design, rule by rule.

    Strings that an estimate refuses are rows that fail here; nothing is raised for them.

    Parameters
    ----------
    site : a checked survey

    Raises
    ------
    InputError
        If a cable size does not exist.

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> rows = electrical_rows(load_site("bungalow_extension"))
    >>> [row.what for row in rows if row.verdict == "fail"]
    []
    """
    return tuple(row for group in electrical_groups(site) for row in group.rows)


def electrical_groups(site: Site) -> tuple[CheckGroup, ...]:
    """Give the same rows under the heads of the sheet."""
    inverter, cables, supply = site.inverter_sheet(), site.cables, site.supply
    plans = string_plans(site)
    ac_side = (*ac_rows(inverter, cables, supply), *supply_rows(inverter, cables, supply))
    return (
        CheckGroup("Strings and inverter", tuple(_string_rows(site, plans))),
        CheckGroup("D.c. cables and fuses", tuple(_dc_cable_rows(site, plans))),
        CheckGroup("A.c. circuit and supply", ac_side),
        CheckGroup("Network operator", tuple(network_rows(inverter, site.kwp() * 1000, supply))),
        CheckGroup("Protection set in the inverter", protection_rows()),
        CheckGroup(
            "Isolation, earthing, cable laying",
            tuple(circuit_rows(plans, inverter, cables, supply)),
        ),
        CheckGroup("Labels", label_rows()),
    )


def _string_rows(site: Site, plans: tuple[StringPlan, ...]) -> Iterator[CheckRow]:
    inverter, optimiser = site.inverter_sheet(), optimiser_sheet()
    yield _data_sheets(site)
    for plan in plans:
        found = (finding.row for finding in array_findings(plan, inverter, optimiser))
        yield from _named(found, plan, plans)
    yield trackers_finding(len(plans), inverter).row
    yield ratio_row(site.kwp(), inverter)


def _dc_cable_rows(site: Site, plans: tuple[StringPlan, ...]) -> Iterator[CheckRow]:
    for plan in plans:
        yield from _named(dc_cable_rows(plan, site.cables), plan, plans)


def _named(
    rows: Iterable[CheckRow], plan: StringPlan, plans: tuple[StringPlan, ...]
) -> Iterator[CheckRow]:
    """Put the array's name to each row where there are several arrays."""
    for row in rows:
        yield row if len(plans) == 1 else replace(row, what=f"{plan.name}: {row.what}")


def _data_sheets(site: Site) -> CheckRow:
    """Say which parts stand for a class only: their maker's numbers may differ."""
    generic = [a.module for a in site.array if a.datasheet is None and a.module is not None]
    if site.inverter.datasheet is None and site.inverter.part is not None:
        generic.append(site.inverter.part)
    if any(array.optimisers for array in site.array):
        generic.append("the usual optimiser")
    names = ", ".join(dict.fromkeys(generic))
    return CheckRow(
        "Data sheets",
        f"typical of their class: {names}" if generic else "from the site file",
        "the makers' own numbers for the parts that will be fitted",
        "ask" if generic else "pass",
        "parts list (assumption)" if generic else "site file (given)",
    )
