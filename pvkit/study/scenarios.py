"""Named changes to a site, kept in a file: read, write, apply.

::

    [[scenario]]
    name = "two more panels"
    note = "fills the south slope"                       # optional
    changes = { "array.main.count" = 8 }
    remove = ["hot_water"]                               # optional: keys or tables taken out
    extra_items = [{ name = "two panels", gbp = 440 }]   # optional: added to the quotation
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from pydantic import Field, ValidationError

from pvkit.errors import Fault, InputError
from pvkit.site.faults import faults_of
from pvkit.site.fields import Section, listing, text
from pvkit.site.money import CostItem
from pvkit.site.survey import Site
from pvkit.site.toml_file import read_toml
from pvkit.study.changes import changed

KIND = "scenario file"
MOST_SCENARIOS = 24


class Scenario(Section):
    """One named set of changes."""

    name: str = text(80, 'name the scenario, like "two more panels"')
    note: str | None = text(400, "say in a few words what it is for", optional=True)
    changes: dict[str, Any] = Field(
        default_factory=dict,
        json_schema_extra={
            "allowed": 'dotted keys and values, like { "array.main.count" = 8 }',
            "fix": "write each key of the site file in quotes, with its dots",
        },
    )
    remove: tuple[str, ...] = Field(
        default=(),
        **listing(
            'a list of up to 40 dotted keys, like ["hot_water"]',
            0,
            40,
            "name the tables or keys of the site file to take out",
        ),
    )
    extra_items: tuple[CostItem, ...] = Field(
        default=(),
        **listing(
            "a list of up to 40 items", 0, 40, 'write each as { name = "panels", gbp = 440 }'
        ),
    )


class ScenarioFile(Section):
    """All scenarios of a file."""

    scenario: tuple[Scenario, ...] = Field(
        **listing(
            f"1 to {MOST_SCENARIOS} tables [[scenario]]",
            1,
            MOST_SCENARIOS,
            "each holds name and changes",
        )
    )


@dataclass(frozen=True, slots=True)
class Case:
    """A scenario applied: its name, note, and the changed site."""

    name: str
    note: str
    site: Site


def load_scenarios(path: str | Path) -> tuple[Scenario, ...]:
    """Read a scenario file.

    Parameters
    ----------
    path : a TOML file of ``[[scenario]]`` tables

    Raises
    ------
    InputError
        With every fault of the file.

    Examples
    --------
    >>> from pvkit.site.samples import samples_folder
    >>> file = samples_folder() / "scenarios" / "bungalow_choices.toml"
    >>> [scenario.name for scenario in load_scenarios(file)][0]
    'without the diverter'
    """
    file = Path(path)
    raw = read_toml(file, KIND)
    try:
        found = ScenarioFile.model_validate(raw)
    except ValidationError as error:
        raise InputError(*faults_of(error, raw, ScenarioFile, file.name)) from error
    twice = _twice([scenario.name for scenario in found.scenario])
    if twice:
        where = f"{file.name}, scenario"
        raise InputError(Fault(where, f"found '{twice}' twice", "each name once", "rename one"))
    return found.scenario


def _twice(names: Sequence[str]) -> str:
    return next((name for n, name in enumerate(names) if name in names[:n]), "")


def apply(site: Site, scenario: Scenario) -> Case:
    """Apply a scenario to a site.

    Parameters
    ----------
    site : the survey as it stands
    scenario : its changes, in any order

    Raises
    ------
    InputError
        If a key leads nowhere or the changed site is not sound; the scenario is named.
    """
    changes: dict[str, Any] = {**scenario.changes, **dict.fromkeys(scenario.remove)}
    try:
        if scenario.extra_items:
            changes["costs.items"] = _with_extra(site, scenario, changes)
        moved = changed(site, changes) if changes else site
    except InputError as error:
        faults = [
            replace(fault, where=f"scenario '{scenario.name}', {fault.where.partition(', ')[2]}")
            for fault in error.faults
        ]
        raise InputError(*faults) from error
    return Case(scenario.name, scenario.note or "", moved)


def cases(site: Site, scenarios: Sequence[Scenario]) -> tuple[Case, ...]:
    """Apply every scenario to a site, each on its own.

    Raises
    ------
    InputError
        With the faults of all scenarios.
    """
    found: list[Case] = []
    faults: list[Fault] = []
    for scenario in scenarios:
        try:
            found.append(apply(site, scenario))
        except InputError as error:
            faults += error.faults
    if faults:
        raise InputError(*faults)
    return tuple(found)


def _with_extra(site: Site, scenario: Scenario, changes: Mapping[str, Any]) -> list[Any]:
    """Give the quotation with the scenario's extra items at its end."""
    quoted = changes.get("costs.items")
    if quoted is None:
        if site.costs.items is None:
            where = "change, costs.items"
            found = "found extra_items and no quotation to add them to"
            raise InputError(
                Fault(where, found, "items in the site file", "list costs.items first")
            )
        quoted = [item.model_dump() for item in site.costs.items]
    return [*quoted, *(item.model_dump() for item in scenario.extra_items)]
