"""Scenarios side by side: the same figures for each, and what each changes against the first."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import pandas as pd

from pvkit.errors import InputError
from pvkit.study.estimate import Estimate
from pvkit.study.scenarios import Case, Scenario, cases
from pvkit.study.study import Study

FORMAT_VERSION = 1
SURVEYED = "as surveyed"

MEASURES: dict[str, Callable[[Estimate], float | None]] = {
    "ac_kwh": lambda e: e.ac_kwh,
    "ac_p90_kwh": lambda e: e.ranges.yield_kwh.p90,
    "used_at_home_fraction": lambda e: e.used_at_home_fraction,
    "capital_gbp": lambda e: e.capital_gbp,
    "first_year_saving_gbp": lambda e: e.first_year_saving_gbp,
    "first_year_saving_p90_gbp": lambda e: e.ranges.saving_gbp.p90,
    "simple_payback_years": lambda e: e.simple_payback_years,
    "simple_payback_p90_years": lambda e: e.ranges.payback_years.p90,
    "npv_gbp": lambda e: e.npv_gbp,
    "npv_p90_gbp": lambda e: e.ranges.npv_gbp.p90,
    "irr": lambda e: e.irr,
    "carbon_first_year_kgco2e": lambda e: e.carbon_first_year_kgco2e,
    "carbon_saved_kgco2e": lambda e: e.carbon_saved_kgco2e,
}


@dataclass(frozen=True, eq=False)
class Column:
    """One case of a comparison.

    Parameters
    ----------
    name, note : of the scenario
    estimate : its answer
    figures : by the names of :data:`MEASURES`; None for what there is not
    """

    name: str
    note: str
    estimate: Estimate
    figures: Mapping[str, float | None]


@dataclass(frozen=True, eq=False)
class Comparison:
    """Cases side by side, the site as surveyed first.

    Every case meets the same draws of sun, prices and habits, so that differences are no noise.

    Parameters
    ----------
    columns : one for each case
    notes : what to know before choosing between them
    """

    columns: tuple[Column, ...]
    notes: tuple[str, ...]

    @property
    def table(self) -> pd.DataFrame:
        """The figures, measures by cases; NaN for what there is not."""
        figures = {column.name: pd.Series(column.figures, dtype=float) for column in self.columns}
        return pd.DataFrame(figures).rename_axis("measure")

    @property
    def differences(self) -> pd.DataFrame:
        """Each case less the first; NaN where one of the two figures does not exist."""
        table = self.table
        return table.sub(table.iloc[:, 0], axis=0)

    def facts(self) -> dict[str, Any]:
        """Give everything as plain numbers and words: what ``--json`` prints."""
        first = self.columns[0]
        return {
            "format_version": FORMAT_VERSION,
            "site": first.estimate.site.site.name,
            "cases": [
                {
                    "name": column.name,
                    "note": column.note,
                    **column.figures,
                    "difference": {
                        name: _less(value, first.figures[name])
                        for name, value in column.figures.items()
                    },
                }
                for column in self.columns
            ],
            "draws": first.estimate.ranges.cases,
            "notes": list(self.notes),
        }


def compare(study: Study, scenarios: Sequence[Scenario]) -> Comparison:
    """Estimate a site as surveyed and under every scenario.

    Parameters
    ----------
    study : the site, with its memory of stages already run
    scenarios : in the order they are to be shown; it changes no figure

    Raises
    ------
    InputError
        With the faults of all scenarios, each named.

    Examples
    --------
    >>> from pvkit import load_site
    >>> from pvkit.study.scenarios import Scenario
    >>> site = load_site("south_family_home")
    >>> same = compare(Study(site), [Scenario(name="the same")])
    >>> float(same.differences["the same"].abs().max())
    0.0
    """
    every = (Case(SURVEYED, "", study.site), *cases(study.site, scenarios))
    columns, faults = [], []
    for case in every:
        try:
            columns.append(_column(study, case))
        except InputError as error:
            where = "" if case.name == SURVEYED else f"scenario '{case.name}', "
            faults += [replace(fault, where=where + fault.where) for fault in error.faults]
    if faults:
        raise InputError(*faults)
    return Comparison(tuple(columns), tuple(_notes(columns)))


def _column(study: Study, case: Case) -> Column:
    answer = Study(case.site, store=study.store).estimate()
    return Column(
        case.name, case.note, answer, {name: read(answer) for name, read in MEASURES.items()}
    )


def _notes(columns: Sequence[Column]) -> Iterator[str]:
    first = columns[0].estimate
    for column in columns[1:]:
        other = column.estimate
        more = _more(first, other)
        if more and other.capital_gbp <= first.capital_gbp:
            yield (
                f"'{column.name}' has {more} at no higher price; if that is not so, add the price "
                "under extra_items."
            )
        if other.site.finance.years != first.site.finance.years:
            yield (
                f"'{column.name}' counts {other.site.finance.years} years, the site as surveyed "
                f"{first.site.finance.years}: worth and carbon are not of the same span."
            )


def _more(first: Estimate, other: Estimate) -> str:
    """Say what a case has more of than the first, if anything."""
    before, after = first.site.battery, other.site.battery
    held = (0.0 if each is None else each.capacity_kwh for each in (before, after))
    parts = []
    if other.kwp > first.kwp + 1e-9:
        parts.append("more panels")
    if next(held) < next(held):
        parts.append("a battery" if before is None else "a larger battery")
    return " and ".join(parts)


def _less(value: float | None, first: float | None) -> float | None:
    return None if value is None or first is None else value - first
