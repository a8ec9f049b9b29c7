"""What a kWh weighs in carbon in each year: the grid's possible paths, and gas."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pvkit.ledger.grid_file import grid_series
from pvkit.ledger.worth import powers
from pvkit.site.carbon import Carbon
from pvkit.tables import MONTHS, rows

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Path = Literal["falling", "flat", "monthly", "file"]

LABELS: dict[Path, str] = {
    "falling": "published factors, then a falling grid",
    "flat": "today's grid for ever",
    "monthly": "the government procedure's monthly factors, the same every year",
    "file": "the series brought in a file",
}


@dataclass(frozen=True, slots=True, eq=False)
class Factors:
    """What a kWh weighs in each calendar year [kgCO2e/kWh].

    Parameters
    ----------
    grid_generated : (years,) the grid's mean of each year, as shown
    bought : (years, parts) what a kWh not bought avoids, the lines' loss in it; parts are the
        whole year (1) or its months (12)
    sold : (years, parts) what a kWh exported avoids: generation alone
    gas : (years,) mains gas, gross calorific value, burnt
    """

    grid_generated: Array
    bought: Array
    sold: Array
    gas: Array


def grid_factors(path: Path, calendar_years: IntArray, carbon: Carbon) -> Factors:
    """Give the factors of one path.

    Parameters
    ----------
    path : falling, flat, monthly or file
    calendar_years : (years,)
    carbon : yearly fall, floor and file

    Raises
    ------
    InputError
        If the path is ``file`` and the file cannot be used.
    """
    return _PATHS[path](calendar_years, carbon)


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
    >>> factors_by_year(np.array([2025, 2026, 2027]), Carbon(grid_fall_per_year=0.1)).sold[:, 0]
    array([0.177   , 0.13096 , 0.117864])
    """
    editions, generated, t_and_d, gas = _editions()
    later = np.maximum(calendar_years - editions[-1], 0)
    path = np.interp(calendar_years, editions, generated)
    fallen = (
        generated[-1]
        * powers(-carbon.grid_fall_per_year, int(later.max()) + 1)[later.astype(np.int64)]
    )
    # Where today's grid is below the floor already, it stays where it is.
    floor = min(carbon.grid_floor_kgco2e_per_kwh, float(generated[-1]))
    grid = np.where(later > 0, np.maximum(fallen, floor), path)
    lines = np.where(
        later > 0, t_and_d[-1] / generated[-1] * grid, np.interp(calendar_years, editions, t_and_d)
    )
    return _yearly(grid, lines, np.interp(calendar_years, editions, gas))


def _flat(calendar_years: IntArray, carbon: Carbon) -> Factors:
    """Hold the last edition: shown to say how far it overstates, never chosen."""
    held = carbon.model_copy(update={"grid_fall_per_year": 0.0, "grid_floor_kgco2e_per_kwh": 0.0})
    return factors_by_year(calendar_years, held)


def _monthly(calendar_years: IntArray, carbon: Carbon) -> Factors:
    """Take SAP 10.2's factors for each month, which are of energy as delivered to the home."""
    bought, sold = _sap_months()
    whole = np.ones((len(calendar_years), 1))
    gas = factors_by_year(calendar_years, carbon).gas
    return Factors(np.full(len(calendar_years), bought.mean()), whole * bought, whole * sold, gas)


def _file(calendar_years: IntArray, carbon: Carbon) -> Factors:
    """Take the user's series; its last year holds for those after it."""
    if carbon.grid_file is None:
        message = "the path 'file' needs carbon.grid_file"
        raise ValueError(message)
    years, series = grid_series(carbon.grid_file, int(calendar_years[0]))
    at = np.interp(calendar_years, years, series)
    share, gas = lines_share(), factors_by_year(calendar_years, carbon).gas
    generated = at if carbon.grid_file_at == "generation" else at / (1.0 + share)
    return _yearly(generated, generated * share, gas)


def lines_share() -> float:
    """Give the last edition's loss of the lines as a share of what is generated."""
    _, generated, t_and_d, _ = _editions()
    return float(t_and_d[-1] / generated[-1])


def last_edition() -> int:
    """Give the year of the last published edition."""
    return int(_editions()[0][-1])


def _yearly(generated: Array, lines: Array, gas: Array) -> Factors:
    return Factors(generated, (generated + lines)[:, None], generated[:, None], gas)


_PATHS: dict[Path, Callable[[IntArray, Carbon], Factors]] = {
    "falling": factors_by_year,
    "flat": _flat,
    "monthly": _monthly,
    "file": _file,
}


@cache
def _editions() -> tuple[Array, Array, Array, Array]:
    """Edition years, and each one's grid generation, lines' loss and gas [kgCO2e/kWh]."""
    table = rows("uk_ghg_conversion_factors.csv")
    names = ("year", "electricity_generated", "electricity_t_and_d", "natural_gas_gross_cv")
    year, generated, t_and_d, gas = (
        np.array([float(row[name]) for row in table]) for name in names
    )
    return year, generated, t_and_d, gas


@cache
def _sap_months() -> tuple[Array, Array]:
    """Import and export factor of each month, both (12,) [kgCO2e/kWh]."""
    table = {row["month"]: row for row in rows("sap_electricity_monthly_factors.csv")}
    bought, sold = (
        np.array([float(table[month][name]) for month in MONTHS])
        for name in ("import_kgco2e_per_kwh", "pv_export_kgco2e_per_kwh")
    )
    return bought, sold
