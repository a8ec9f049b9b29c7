"""The cash of the years ahead: two bills side by side, the outlay, and what is left.

Everything is in real terms: pounds of today, yearly price changes above general inflation, and a
real discount rate, the same in every year.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.home.flows import Years
from pvkit.home.tariff import import_prices
from pvkit.ledger.payback import payback_years
from pvkit.ledger.worth import present_value, rate_of_return
from pvkit.site.household import Tariff
from pvkit.site.money import Costs, Finance
from pvkit.tables import default

Array = NDArray[np.float64]

DAYS_A_YEAR = 365


@dataclass(frozen=True, slots=True, eq=False)
class Cash:
    """The cash table; every column is (N + 1,), year 0 the outlay, in pounds of today.

    Parameters
    ----------
    years : 0 to N
    yield_kwh, direct_kwh, export_kwh, cylinder_kwh : the year's energy [kWh]
    bill_without_gbp, bill_with_gbp : electricity and hot-water gas less export income [GBP]
    saving_gbp : the difference of the two bills [GBP]
    costs_gbp : visits and replacements [GBP]
    net_gbp : saving less costs; in year 0 less the outlay [GBP]
    cumulative_gbp, discounted_gbp : running sums of the nets, plain and discounted [GBP]
    capital_gbp : outlay [GBP]
    first_year_saving_gbp : saving of year 1, before costs [GBP]
    simple_payback_years, discounted_payback_years : None if not within the span
    npv_gbp : net present value [GBP]
    irr : internal rate of return, None where there is no one rate [1/year]
    lcoe_gbp_per_kwh : outlay and costs over energy, both discounted; None without energy
    """

    years: Array
    yield_kwh: Array
    direct_kwh: Array
    export_kwh: Array
    cylinder_kwh: Array
    bill_without_gbp: Array
    bill_with_gbp: Array
    saving_gbp: Array
    costs_gbp: Array
    net_gbp: Array
    cumulative_gbp: Array
    discounted_gbp: Array
    capital_gbp: float
    first_year_saving_gbp: float
    simple_payback_years: float | None
    discounted_payback_years: float | None
    npv_gbp: float
    irr: float | None
    lcoe_gbp_per_kwh: float | None


def ageing(finance: Finance) -> Array:
    """Each year's share of a new system's energy.

    Parameters
    ----------
    finance : span and ageing rates

    Returns
    -------
    (years,) the first year lower by the first-year loss, each later one by the yearly loss [-]

    Examples
    --------
    >>> ageing(Finance(years=3, degradation_first_year=0.02, degradation_per_year=0.005)).round(5)
    array([0.98   , 0.9751 , 0.97022])
    """
    first = 1.0 - finance.degradation_first_year
    return first * _growth(-finance.degradation_per_year, finance.years)


def cash_flow(years: Years, tariff: Tariff, costs: Costs, finance: Finance, kwp: float) -> Cash:
    """Set the years with the system against the same years without it.

    Parameters
    ----------
    years : energy of every year, as long as the span
    tariff : today's prices and their yearly changes; the standing charge is held
    costs : quotation, visits and replacements; what is left out takes its default
    finance : span and real discount rate
    kwp : rated d.c. power, for the typical outlay where there is no quotation [kWp]

    Returns
    -------
    The cash table and its answers.

    Raises
    ------
    ValueError
        If ``years`` is not as long as the span.

    Source
    ------
    Present value and rate: numpy-financial. Levelised cost: Short, Packey & Holt (1995),
    NREL/TP-462-5173, year-end flows.
    """
    if len(years.yield_kwh) != finance.years:
        message = f"the energy spans {len(years.yield_kwh)} years, the finance {finance.years}"
        raise ValueError(message)
    without, with_solar = bills(years, tariff)
    saving = without - with_solar
    running, capital = running_costs(costs, finance), outlay(costs, kwp)
    net = np.concatenate(([-capital], saving - running))
    discount = _growth(finance.discount_rate, finance.years + 1)
    cumulative, discounted = np.cumsum(net), np.cumsum(net / discount)
    energy_worth = float(np.sum(years.yield_kwh / discount[1:]))
    cost_worth = capital + float(np.sum(running / discount[1:]))
    return Cash(
        years=np.arange(finance.years + 1, dtype=np.float64),
        yield_kwh=_from_year_0(years.yield_kwh),
        direct_kwh=_from_year_0(years.direct_kwh),
        export_kwh=_from_year_0(years.export_kwh),
        cylinder_kwh=_from_year_0(years.cylinder_kwh),
        bill_without_gbp=_from_year_0(without),
        bill_with_gbp=_from_year_0(with_solar),
        saving_gbp=_from_year_0(saving),
        costs_gbp=_from_year_0(running),
        net_gbp=net,
        cumulative_gbp=cumulative,
        discounted_gbp=discounted,
        capital_gbp=capital,
        first_year_saving_gbp=float(saving[0]),
        simple_payback_years=payback_years(cumulative),
        discounted_payback_years=payback_years(discounted),
        npv_gbp=present_value(finance.discount_rate, net),
        irr=rate_of_return(net),
        lcoe_gbp_per_kwh=cost_worth / energy_worth if energy_worth > 0.0 else None,
    )


def bills(years: Years, tariff: Tariff) -> tuple[Array, Array]:
    """Bill of every year without and with the system, each half-hour at its own price.

    Parameters
    ----------
    years : energy of every year
    tariff : today's prices and their yearly changes

    Returns
    -------
    Two (years,) arrays [GBP/year]: electricity, standing charge and gas for hot water, less the
    income from export
    """
    prices, span = import_prices(tariff), len(years.yield_kwh)
    electricity = _growth(tariff.import_change_per_year, span)
    gas = tariff.gas_gbp_per_kwh * _growth(tariff.gas_change_per_year, span)
    export = tariff.export_gbp_per_kwh * _growth(tariff.export_change_per_year, span)
    standing = tariff.standing_gbp_per_day * DAYS_A_YEAR
    # einsum rather than @, whose threads wait whenever something else holds a processor.
    bought_without = np.einsum("i,i", years.demand_kwh, prices)
    bought = np.einsum("ti,i->t", years.import_half_hourly_kwh, prices)
    without = bought_without * electricity + standing + years.gas_without_kwh * gas
    with_solar = (
        bought * electricity
        + standing
        + (years.gas_without_kwh - years.gas_saved_kwh) * gas
        - years.export_kwh * export
    )
    return without, with_solar


def outlay(costs: Costs, kwp: float) -> float:
    """Sum of the quotation, or a typical price for the size where there is none [GBP]."""
    if costs.items is None:
        return float(default("costs.typical_gbp_per_kw") * kwp)
    return sum(item.gbp for item in costs.items)


def running_costs(costs: Costs, finance: Finance) -> Array:
    """Visits and replacements of each year; without a list, one inverter is replaced.

    Parameters
    ----------
    costs : yearly visit and replacements; those after the span are left out
    finance : span

    Returns
    -------
    (years,) [GBP/year]
    """
    if costs.replacements is None:
        year = int(default("costs.inverter_replacement_year"))
        replaced = [(year, float(default("costs.inverter_replacement_gbp")))]
    else:
        replaced = [(part.year, part.gbp) for part in costs.replacements]
    running = np.full(finance.years, costs.visit_gbp_per_year)
    for year, gbp in replaced:
        if year <= finance.years:
            running[year - 1] += gbp
    return running


def _growth(rate: float, count: int) -> Array:
    """Powers 0, 1, 2, … of one plus the rate."""
    return np.power(1.0 + rate, np.arange(count))


def _from_year_0(column: Array) -> Array:
    """Put the empty year of the outlay before the years of running."""
    return np.concatenate(([0.0], column))
