"""The answer for one site: facts as attributes, tables as pandas."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd

from pvkit.home.calendar import local_calendar
from pvkit.site.survey import Site
from pvkit.study.assumptions import assumptions
from pvkit.study.cautions import cautions, warnings
from pvkit.study.modules import module_table
from pvkit.study.stages import Stages
from pvkit.study.wiring import WiringVerdict, wiring_verdict
from pvkit.tables import MONTHS, Number

_FLOW_COLUMNS = (
    "solar_kwh", "demand_kwh", "direct_kwh", "cylinder_kwh", "export_kwh", "spilled_kwh",
    "import_kwh",
)  # fmt: skip
_CASH_COLUMNS = (
    "yield_kwh", "direct_kwh", "export_kwh", "cylinder_kwh", "bill_without_gbp", "bill_with_gbp",
    "saving_gbp", "costs_gbp", "net_gbp", "cumulative_gbp", "discounted_gbp",
)  # fmt: skip


@dataclass(frozen=True, eq=False)
class Estimate:
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

    def _year_sum(self, name: str) -> float:
        return float(getattr(self.stages.year, name).sum())

    @property
    def demand_kwh(self) -> float:
        """Electricity the home uses in a year, without the diverter's share [kWh]."""
        return self._year_sum("demand_kwh")

    @property
    def direct_kwh(self) -> float:
        """Solar used in the home as it is made [kWh]."""
        return self._year_sum("direct_kwh")

    @property
    def cylinder_kwh(self) -> float:
        """Solar sent to the hot-water cylinder [kWh]."""
        return self._year_sum("cylinder_kwh")

    @property
    def export_kwh(self) -> float:
        """Solar sent to the grid [kWh]."""
        return self._year_sum("export_kwh")

    @property
    def import_kwh(self) -> float:
        """Electricity bought [kWh]."""
        return self._year_sum("import_kwh")

    @property
    def gas_saved_kwh(self) -> float:
        """Gas the boiler does not burn [kWh]."""
        return self._year_sum("gas_without_kwh") - self._year_sum("gas_with_kwh")

    @property
    def used_at_home_fraction(self) -> float:
        """Share of the solar used in the home or its cylinder."""
        return (self.direct_kwh + self.cylinder_kwh) / self.ac_kwh if self.ac_kwh > 0 else 0.0

    @property
    def monthly(self) -> pd.DataFrame:
        """Each local calendar month's flows [kWh]."""
        month = local_calendar().month
        sums = {
            name: np.bincount(month, weights=getattr(self.stages.year, name), minlength=12)
            for name in _FLOW_COLUMNS
        }
        return pd.DataFrame(sums, index=pd.Index([m.title() for m in MONTHS], name="month"))

    @property
    def flows(self) -> pd.DataFrame:
        """Every half-hour's flows by path [kWh], labelled by its start in UTC."""
        columns = {name: getattr(self.stages.year, name) for name in _FLOW_COLUMNS}
        return pd.DataFrame(columns, index=self.stages.sky.sun.times.rename("start_utc"))

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

    @property
    def cash(self) -> pd.DataFrame:
        """The years' energy and money; year 0 is the outlay."""
        table = self.stages.cash
        columns = {name: getattr(table, name) for name in _CASH_COLUMNS}
        return pd.DataFrame(columns, index=pd.Index(table.years.astype(int), name="year"))

    @property
    def carbon(self) -> pd.DataFrame:
        """The years' carbon [kgCO₂e]."""
        table = self.stages.carbon
        columns = {
            "import_avoided_kg": table.import_avoided_kg,
            "export_avoided_kg": table.export_avoided_kg,
            "gas_avoided_kg": table.gas_avoided_kg,
            "total_kg": table.total_kg,
            "net_cumulative_kg": table.cumulative_kg,
            "grid_kgco2e_per_kwh": table.factors.grid_generated,
        }
        return pd.DataFrame(columns, index=pd.Index(table.calendar_years, name="calendar_year"))

    @property
    def capital_gbp(self) -> float:
        """Price of the system [GBP]."""
        return self.stages.cash.capital_gbp

    @property
    def first_year_saving_gbp(self) -> float:
        """Saving of year 1, before the yearly visit [GBP]."""
        return self.stages.cash.first_year_saving_gbp

    @property
    def simple_payback_years(self) -> float | None:
        """Years until the net savings have paid the price; None if not in the span."""
        return self.stages.cash.simple_payback_years

    @property
    def discounted_payback_years(self) -> float | None:
        """The same with later pounds counting less; None if not in the span."""
        return self.stages.cash.discounted_payback_years

    @property
    def npv_gbp(self) -> float:
        """Net present value [GBP]."""
        return self.stages.cash.npv_gbp

    @property
    def irr(self) -> float | None:
        """Internal rate of return as a share a year; None if there is none."""
        return self.stages.cash.irr

    @property
    def lcoe_gbp_per_kwh(self) -> float | None:
        """Levelised cost of each kWh made [GBP/kWh]; None if it makes nothing."""
        return self.stages.cash.lcoe_gbp_per_kwh

    @property
    def carbon_saved_kgco2e(self) -> float:
        """Carbon avoided over the years less what making the system cost [kgCO₂e]."""
        return self.stages.carbon.saved_kg

    @property
    def carbon_first_year_kgco2e(self) -> float:
        """Carbon avoided in year 1 [kgCO₂e]."""
        return self.stages.carbon.first_year_kg

    @cached_property
    def wiring(self) -> WiringVerdict:
        """Plain strings against an optimiser on every module: energy, money, verdict."""
        return wiring_verdict(self.stages)

    @cached_property
    def modules(self) -> pd.DataFrame:
        """Panel by panel: a year's energy, and what stands in its light."""
        return module_table(self.stages)

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
