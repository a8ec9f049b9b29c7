"""What a list of sites comes to: totals, and which to do first."""

from dataclasses import dataclass

import pandas as pd


@dataclass(frozen=True, slots=True)
class Totals:
    """Sums over all sites that could be estimated.

    Parameters
    ----------
    sites, faulty : how many there are, and how many could not be estimated
    kwp : rated power [kWp]
    ac_kwh : yearly energy, modules new [kWh]
    capital_gbp, first_year_saving_gbp, npv_gbp : sums [GBP]
    carbon_saved_kgco2e : over the years counted, making the systems taken off
    """

    sites: int
    faulty: int
    kwp: float
    ac_kwh: float
    capital_gbp: float
    first_year_saving_gbp: float
    npv_gbp: float
    carbon_saved_kgco2e: float


_SUMS = (
    "kwp", "ac_kwh", "capital_gbp", "first_year_saving_gbp", "npv_gbp", "carbon_saved_kgco2e",
)  # fmt: skip


def totals(table: pd.DataFrame) -> Totals:
    """Add a portfolio up.

    Parameters
    ----------
    table : from :func:`pvkit.study.portfolio.portfolio`
    """
    sound = table[table["fault"] == ""]
    sums = {name: float(sound[name].sum()) for name in _SUMS}
    return Totals(len(table), len(table) - len(sound), **sums)


def ranking(table: pd.DataFrame, budget_gbp: float | None = None) -> pd.DataFrame:
    """Order the sites by what each pound put in gives back, the best first.

    Parameters
    ----------
    table : from :func:`pvkit.study.portfolio.portfolio`
    budget_gbp : keep the first sites whose outlay together stays within it; None keeps all

    Returns
    -------
    the sites that could be estimated, with ``spent_gbp``, the running sum of their outlay; equal
    ones keep the list's order
    """
    sound = table[table["fault"] == ""]
    ranked = sound.sort_values("npv_gbp_per_gbp", ascending=False, kind="stable", ignore_index=True)
    ranked = ranked.assign(spent_gbp=ranked["capital_gbp"].cumsum())
    return ranked if budget_gbp is None else ranked[ranked["spent_gbp"] <= budget_gbp]
