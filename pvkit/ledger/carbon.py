"""Carbon kept out of the air: year by year, against what making the system put there."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.home.calendar import local_calendar
from pvkit.home.flows import Years
from pvkit.ledger.embodied import EmbodiedPart, batteries_kwh, embodied_parts
from pvkit.ledger.grid_paths import Factors, Path, grid_factors, last_edition
from pvkit.ledger.payback import payback_years
from pvkit.site.carbon import Carbon
from pvkit.site.money import Finance

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class CarbonTable:
    """The carbon table; columns are (years,), by calendar year.

    Parameters
    ----------
    path : which way the grid's carbon goes
    calendar_years : first_year and on
    factors : what a kWh weighs in each year
    import_avoided_kg, export_avoided_kg, gas_avoided_kg, total_kg : the year's avoided carbon
        [kgCO2e]
    cumulative_kg : running total, net of making the system [kgCO2e]
    embodied : making the system, part by part
    embodied_kg : the parts added up [kgCO2e]
    carbon_payback_years : years until the making is made good, None if not within the span
    first_year_kg : avoided in the first year [kgCO2e]
    saved_kg : avoided in the whole span, net of making the system [kgCO2e]
    """

    path: Path
    calendar_years: IntArray
    factors: Factors
    import_avoided_kg: Array
    export_avoided_kg: Array
    gas_avoided_kg: Array
    total_kg: Array
    cumulative_kg: Array
    embodied: tuple[EmbodiedPart, ...]
    embodied_kg: float
    carbon_payback_years: float | None
    first_year_kg: float
    saved_kg: float


def carbon_table(
    years: Years, carbon: Carbon, finance: Finance, kwp: float, path: Path | None = None
) -> CarbonTable:
    """Weigh the energy of each year by that calendar year's factors.

    Electricity not bought avoids the grid's generation and the loss of its lines; export avoids
    generation alone; solar heat in the cylinder avoids gas.

    Parameters
    ----------
    years : energy of every year
    carbon : how the grid gets cleaner, and what making the system weighs
    finance : first calendar year
    kwp : rated d.c. power [kWp]
    path : another path of the grid than the one chosen in ``carbon``

    Returns
    -------
    The carbon table and its answers.

    Raises
    ------
    InputError
        If the grid's path comes from a file that cannot be used.

    Notes
    -----
    Weakness: see :func:`carbon_notes`.
    """
    span, chosen = len(years.yield_kwh), path or carbon.grid_path
    calendar_years = np.arange(finance.first_year, finance.first_year + span)
    factors = grid_factors(chosen, calendar_years, carbon)
    bought, sold = _parts(years, factors.bought.shape[1])
    imported = np.sum(bought * factors.bought, axis=1)
    exported = np.sum(sold * factors.sold, axis=1)
    gas = years.gas_saved_kwh * factors.gas
    total = imported + exported + gas
    parts = embodied_parts(carbon, kwp, batteries_kwh(years.battery_capacity_kwh))
    embodied = sum(part.kg for part in parts)
    running = np.cumsum(np.concatenate(([-embodied], total)))
    return CarbonTable(
        path=chosen,
        calendar_years=calendar_years,
        factors=factors,
        import_avoided_kg=imported,
        export_avoided_kg=exported,
        gas_avoided_kg=gas,
        total_kg=total,
        cumulative_kg=running[1:],
        embodied=parts,
        embodied_kg=embodied,
        carbon_payback_years=payback_years(running),
        first_year_kg=float(total[0]),
        saved_kg=float(running[-1]),
    )


def carbon_paths(
    years: Years, carbon: Carbon, finance: Finance, kwp: float
) -> tuple[CarbonTable, ...]:
    """Give the carbon table of every path of the grid, the chosen one first.

    Parameters
    ----------
    years, carbon, finance, kwp : as for :func:`carbon_table`

    Returns
    -------
    tables of the falling grid, of today's grid held for ever (which overstates), of the
    government procedure's monthly factors, and of the user's file if there is one
    """
    known: list[Path] = ["falling", "monthly", "flat"]
    if carbon.grid_file is not None:
        known.append("file")
    known.sort(key=lambda path: path != carbon.grid_path)
    return tuple(carbon_table(years, carbon, finance, kwp, path) for path in known)


def _parts(years: Years, parts: int) -> tuple[Array, Array]:
    """Give electricity not bought and exported, by year or by year and month, (years, parts)."""
    if parts == 1:
        return (years.demand_kwh.sum() - years.import_kwh)[:, None], years.export_kwh[:, None]
    month = local_calendar().month
    first = np.flatnonzero(np.diff(month, prepend=-1))
    bought = years.import_half_hourly_kwh
    return (
        np.add.reduceat(years.demand_kwh, first) - np.add.reduceat(bought, first, axis=1),
        np.add.reduceat(years.export_half_hourly_kwh, first, axis=1),
    )


def carbon_notes(carbon: Carbon) -> tuple[str, ...]:
    """Say what a reader should know before trusting the carbon avoided.

    Parameters
    ----------
    carbon : path of the grid, yearly fall and floor of its factor

    Examples
    --------
    >>> carbon_notes(Carbon(grid_fall_per_year=0.08))[0].startswith("Grid factors are published")
    True
    """
    if carbon.grid_path == "file":
        return ("Grid factors are those of the file given; its last year holds for later ones.",)
    if carbon.grid_path == "monthly":
        return (
            "Grid factors are the government procedure's, month by month (SAP 10.2 Tables 12d and "
            "12e), the same in every year; as the grid gets cleaner this overstates later years.",
        )
    return (
        f"Grid factors are published to the {last_edition()} edition; after it the grid is assumed "
        f"to fall by {100 * carbon.grid_fall_per_year:.3g} % a year to "
        f"{carbon.grid_floor_kgco2e_per_kwh:g} kgCO2e/kWh. No published path was used.",
        "One mean grid factor a year flatters solar energy: by SAP 10.2 Table 12d a kWh exported "
        "in July avoids less than half of what one avoids in December.",
    )
