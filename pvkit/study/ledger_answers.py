"""The money, the carbon and the doubt of an estimate, as attributes and tables."""

from functools import cached_property

import pandas as pd

from pvkit.ledger.carbon import CarbonTable, carbon_paths
from pvkit.ledger.cash import ENERGY
from pvkit.ledger.loan import LoanPlan
from pvkit.ledger.outlay import PriceLine
from pvkit.ledger.path_worth import PathSum, path_sums
from pvkit.study.doubt import Ranges, ranges
from pvkit.study.stages import Stages
from pvkit.study.standard_estimate import StandardEstimate, standard_estimate

_CASH_COLUMNS = (
    *ENERGY, "bill_without_gbp", "bill_with_gbp",
    "saving_gbp", "costs_gbp", "residual_gbp", "net_gbp", "cumulative_gbp", "discounted_gbp",
)  # fmt: skip


class LedgerAnswers:
    """What the ledger says of a site; part of :class:`pvkit.study.estimate.Estimate`."""

    stages: Stages

    @property
    def cash(self) -> pd.DataFrame:
        """The years' energy and money; year 0 is the outlay."""
        table = self.stages.cash
        columns = {name: getattr(table, name) for name in _CASH_COLUMNS}
        return pd.DataFrame(columns, index=pd.Index(table.years.astype(int), name="year"))

    @property
    def cash_nominal(self) -> pd.DataFrame:
        """The same money in pounds of each year, general inflation put back in."""
        table, years = self.stages.cash.nominal, self.stages.cash.years.astype(int)
        names = ("price_level", "saving_gbp", "costs_gbp", "net_gbp", "cumulative_gbp")
        columns = {name: getattr(table, name) for name in names}
        return pd.DataFrame(columns, index=pd.Index(years, name="year"))

    @property
    def path_sums(self) -> tuple[PathSum, ...]:
        """What the year's solar energy saved or earned on each path, and what a kWh was worth."""
        return path_sums(self.stages.year, self.stages.site.tariff)

    @property
    def price_lines(self) -> tuple[PriceLine, ...]:
        """What is paid on the first day, line by line: items, discount, tax, grant."""
        return self.stages.cash.price_lines

    @property
    def loan(self) -> LoanPlan | None:
        """The same system bought with a loan; None if none is asked for."""
        return self.stages.cash.loan

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
    def carbon_paths(self) -> tuple[CarbonTable, ...]:
        """The carbon table of each path of the grid, the chosen one first."""
        stages, site = self.stages, self.stages.site
        return carbon_paths(stages.years, site.carbon, site.finance, site.kwp())

    @cached_property
    def ranges(self) -> Ranges:
        """How sure the answer is: yield, saving, payback and worth in thousands of drawn cases."""
        return ranges(self.stages)

    @cached_property
    def standard(self) -> StandardEstimate | None:
        """The trade's paper estimate and the government procedure; None outside the UK."""
        return standard_estimate(self.stages)
