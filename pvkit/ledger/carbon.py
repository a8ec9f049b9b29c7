"""Carbon kept out of the air: year by year, against what making the system put there."""

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from pvkit.home.flows import Years
from pvkit.ledger.payback import payback_years
from pvkit.site.money import Carbon, Finance
from pvkit.tables import rows

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Factors:
    """What a kWh weighs in each calendar year, all (years,) [kgCO2e/kWh].

    Parameters
    ----------
    grid_generated : electricity as it leaves the power stations
    grid_t_and_d : what the lines to the home lose of it
    gas : mains gas, gross calorific value, burnt
    """

    grid_generated: Array
    grid_t_and_d: Array
    gas: Array


@dataclass(frozen=True, slots=True, eq=False)
class CarbonTable:
    """The carbon table; columns are (years,), by calendar year.

    Parameters
    ----------
    calendar_years : first_year and on
    factors : what a kWh weighs in each year
    import_avoided_kg, export_avoided_kg, gas_avoided_kg, total_kg : the year's avoided carbon
        [kgCO2e]
    cumulative_kg : running total, net of making the system [kgCO2e]
    embodied_kg : making the system [kgCO2e]
    carbon_payback_years : years until the making is made good, None if not within the span
    first_year_kg : avoided in the first year [kgCO2e]
    saved_kg : avoided in the whole span, net of making the system [kgCO2e]
    """

    calendar_years: IntArray
    factors: Factors
    import_avoided_kg: Array
    export_avoided_kg: Array
    gas_avoided_kg: Array
    total_kg: Array
    cumulative_kg: Array
    embodied_kg: float
    carbon_payback_years: float | None
    first_year_kg: float
    saved_kg: float


def carbon_table(years: Years, carbon: Carbon, finance: Finance, kwp: float) -> CarbonTable:
    """Weigh the energy of each year by that calendar year's factors.

    Solar energy used in the house avoids the grid's generation and the loss of its lines; export
    avoids generation alone; solar heat in the cylinder avoids gas.

    Parameters
    ----------
    years : energy of every year
    carbon : how the grid gets cleaner, and what making the system weighs
    finance : first calendar year
    kwp : rated d.c. power [kWp]

    Returns
    -------
    The carbon table and its answers.

    Notes
    -----
    Weakness: see :func:`carbon_notes`.
    """
    calendar_years = finance.first_year + np.arange(len(years.yield_kwh), dtype=np.int64)
    factors = factors_by_year(calendar_years, carbon)
    imported = years.direct_kwh * (factors.grid_generated + factors.grid_t_and_d)
    exported = years.export_kwh * factors.grid_generated
    gas = years.gas_saved_kwh * factors.gas
    total = imported + exported + gas
    embodied = carbon.embodied_kgco2e_per_kwp * kwp
    running = np.cumsum(np.concatenate(([-embodied], total)))
    return CarbonTable(
        calendar_years=calendar_years,
        factors=factors,
        import_avoided_kg=imported,
        export_avoided_kg=exported,
        gas_avoided_kg=gas,
        total_kg=total,
        cumulative_kg=running[1:],
        embodied_kg=embodied,
        carbon_payback_years=payback_years(running),
        first_year_kg=float(total[0]),
        saved_kg=float(running[-1]),
    )


def factors_by_year(calendar_years: IntArray, carbon: Carbon) -> Factors:
    """Take published factors as far as they go, then an assumed fall of the grid's to its floor.

    Parameters
    ----------
    calendar_years : (years,)
    carbon : yearly fall and floor of the grid factor

    Returns
    -------
    The factors of each year; a year before the first edition takes the first one's. The lines'
    loss falls in step with the generation. Gas keeps the last edition's.

    Source
    ------
    UK Government GHG Conversion Factors for Company Reporting. An edition's grid factor is that
    of the grid about two years earlier.

    Examples
    --------
    >>> factors_by_year(np.array([2025, 2026, 2027]), Carbon(grid_fall_per_year=0.1)).grid_generated
    array([0.177   , 0.13096 , 0.117864])
    """
    editions, generated, t_and_d, gas = _editions()
    later = np.maximum(calendar_years - editions[-1], 0)
    path = np.interp(calendar_years, editions, generated)
    fallen = generated[-1] * (1.0 - carbon.grid_fall_per_year) ** later
    grid = np.where(later > 0, np.maximum(fallen, carbon.grid_floor_kgco2e_per_kwh), path)
    lines = np.where(
        later > 0, t_and_d[-1] / generated[-1] * grid, np.interp(calendar_years, editions, t_and_d)
    )
    return Factors(grid, lines, np.interp(calendar_years, editions, gas))


def carbon_notes(carbon: Carbon) -> tuple[str, ...]:
    """Say what a reader should know before trusting the carbon avoided.

    Parameters
    ----------
    carbon : yearly fall and floor of the grid factor

    Examples
    --------
    >>> carbon_notes(Carbon(grid_fall_per_year=0.08))[0].startswith("Grid factors are published")
    True
    """
    last = int(_editions()[0][-1])
    return (
        f"Grid factors are published to the {last} edition; after it the grid is assumed to fall "
        f"by {100 * carbon.grid_fall_per_year:.3g} % a year to "
        f"{carbon.grid_floor_kgco2e_per_kwh:g} kgCO2e/kWh. No published path was used.",
        "One mean grid factor a year flatters solar energy: by SAP 10.2 Table 12d a kWh exported "
        "in July avoids less than half of what one avoids in December.",
    )


@cache
def _editions() -> tuple[Array, Array, Array, Array]:
    """Edition years, and each one's grid generation, lines' loss and gas [kgCO2e/kWh]."""
    table = rows("uk_ghg_conversion_factors.csv")
    names = ("year", "electricity_generated", "electricity_t_and_d", "natural_gas_gross_cv")
    year, generated, t_and_d, gas = (
        np.array([float(row[name]) for row in table]) for name in names
    )
    return year, generated, t_and_d, gas
