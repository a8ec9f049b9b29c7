"""The answer for one site: facts as attributes, tables as pandas."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import pandas as pd

from pvkit.site.survey import Site
from pvkit.study.assumptions import assumptions
from pvkit.study.cautions import cautions, warnings
from pvkit.study.doubt import Range
from pvkit.study.doubt_months import month_ranges
from pvkit.study.doubt_use import used_range
from pvkit.study.home_answers import HomeAnswers
from pvkit.study.ledger_answers import LedgerAnswers
from pvkit.study.modules import module_table
from pvkit.study.stages import Stages
from pvkit.study.wiring import WiringVerdict, wiring_verdict
from pvkit.tables import Number


@dataclass(frozen=True, eq=False)
class Estimate(HomeAnswers, LedgerAnswers):
    """What a site yields, uses, saves, costs and avoids.

    Energy is of a year with new modules; ageing begins in year 1 of :attr:`cash`. Money is in
    today's pounds (real terms), savings are against the same home without solar.

    Examples
    --------
    >>> from pvkit import estimate, load_site
    >>> answer = estimate(load_site("bungalow_extension"))
    >>> round(answer.kwp, 2), len(answer.cash)
    (2.58, 26)
    """

    stages: Stages

    @property
    def site(self) -> Site:
        """The survey this answer is for."""
        return self.stages.site

    @property
    def kwp(self) -> float:
        """Rated d.c. power [kWp]."""
        return self.site.kwp()

    @property
    def ac_kwh(self) -> float:
        """Metered a.c. energy in a year, modules new [kWh]; IEC 61724-1 final yield × kWp."""
        return float(self.stages.output.ac_kwh.sum())

    @property
    def specific_yield_kwh_per_kwp(self) -> float:
        """IEC 61724-1 final yield [kWh/kWp]."""
        return self.ac_kwh / self.kwp

    @property
    def poa_kwh_per_m2(self) -> float:
        """Light in the plane before any shade or reflection [kWh/m²], weighted by kWp."""
        return self.stages.output.poa_kwh_per_m2

    @property
    def ghi_kwh_per_m2(self) -> float:
        """Light on level ground [kWh/m²]."""
        return self.stages.output.ghi_kwh_per_m2

    @property
    def performance_ratio(self) -> float:
        """IEC 61724-1 performance ratio: final yield over reference yield."""
        return self.specific_yield_kwh_per_kwp / self.poa_kwh_per_m2

    @property
    def loss_stack(self) -> pd.DataFrame:
        """From sun on level ground to metered a.c., step by step [kWh]."""
        rows = [
            {
                "step": step.name,
                "iec_term": step.iec_term,
                "kwh": step.kwh,
                "percent_of_previous": step.percent_of_previous,
                "remaining_kwh": step.remaining_kwh,
            }
            for step in self.stages.output.stack
        ]
        return pd.DataFrame(rows)

    @cached_property
    def wiring(self) -> WiringVerdict:
        """Plain strings against an optimiser on every module: energy, money, verdict."""
        return wiring_verdict(self.stages)

    @cached_property
    def modules(self) -> pd.DataFrame:
        """Panel by panel: a year's energy, and what stands in its light."""
        return module_table(self.stages)

    @cached_property
    def used_range(self) -> Range:
        """How far the share used at home may lie from the estimate."""
        return used_range(self.stages, self.ranges)

    @cached_property
    def month_ranges(self) -> tuple[Range, ...]:
        """How far each month's energy may lie from the estimate, a year with new panels [kWh]."""
        return month_ranges(self.stages, self.monthly["solar_kwh"].to_numpy(), self.ranges)

    @property
    def assumptions(self) -> tuple[Number, ...]:
        """Every value the answer rests on, with where it came from."""
        return assumptions(self.site)

    @property
    def warnings(self) -> tuple[str, ...]:
        """What to know about this estimate in particular."""
        return warnings(self.stages)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What must stand beside these figures wherever they are shown."""
        return cautions(self.stages)

    def facts(self) -> Mapping[str, Any]:
        """Give everything as plain numbers, words and lists: what ``--json`` prints."""
        from pvkit.study.facts import facts

        return facts(self)
