"""The cash of the years ahead: two bills side by side, the outlay, and what is left.

The table is in real terms: pounds of today and a real discount rate. Pounds of each year are kept
apart in :class:`pvkit.ledger.nominal.Nominal`.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.home.flows import Years
from pvkit.ledger.bills import bills
from pvkit.ledger.deal import Deal
from pvkit.ledger.loan import LoanPlan, loan_plan
from pvkit.ledger.nominal import Nominal, nominal
from pvkit.ledger.outlay import PriceLine, RunningCosts, price_lines, residual_gbp, running_costs
from pvkit.ledger.payback import payback_years
from pvkit.ledger.worth import powers, rate_of_return, weights
from pvkit.site.money import Finance

Array = NDArray[np.float64]

ENERGY = (
    "yield_kwh", "direct_kwh", "battery_in_kwh", "car_solar_kwh", "cylinder_kwh", "export_kwh",
    "battery_out_kwh",
)  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Cash:
    """The cash table; every column is (N + 1,), year 0 the outlay, in pounds of today.

    Parameters
    ----------
    years : 0 to N
    yield_kwh, direct_kwh, battery_in_kwh, car_solar_kwh, cylinder_kwh, export_kwh : the year's
        energy and where it went [kWh]
    battery_out_kwh : what the battery gave to the house [kWh]
    bill_without_gbp, bill_with_gbp : electricity and hot-water gas less export income [GBP]
    saving_gbp : the difference of the two bills [GBP]
    costs_gbp : visits, cleaning, insurance and replacements [GBP]
    residual_gbp : what the system is still worth, in the last year [GBP]
    net_gbp : saving less costs; in year 0 less the outlay, in the last with what is left [GBP]
    cumulative_gbp, discounted_gbp : running sums of the nets, plain and discounted [GBP]
    running : the costs by kind, (N,)
    price_lines : what the outlay is made of
    capital_gbp : outlay [GBP]
    first_year_saving_gbp : saving of year 1, before costs [GBP]
    simple_payback_years, discounted_payback_years : None if not within the span
    npv_gbp : net present value [GBP]
    irr : internal rate of return, None where there is no one rate [1/year]
    lcoe_gbp_per_kwh : outlay and costs over energy, both discounted; None without energy
    nominal : the same in pounds of each year
    loan : the same bought with a loan, None if none is asked for
    """

    years: Array
    yield_kwh: Array
    direct_kwh: Array
    battery_in_kwh: Array
    car_solar_kwh: Array
    cylinder_kwh: Array
    export_kwh: Array
    battery_out_kwh: Array
    bill_without_gbp: Array
    bill_with_gbp: Array
    saving_gbp: Array
    costs_gbp: Array
    residual_gbp: Array
    net_gbp: Array
    cumulative_gbp: Array
    discounted_gbp: Array
    running: RunningCosts
    price_lines: tuple[PriceLine, ...]
    capital_gbp: float
    first_year_saving_gbp: float
    simple_payback_years: float | None
    discounted_payback_years: float | None
    npv_gbp: float
    irr: float | None
    lcoe_gbp_per_kwh: float | None
    nominal: Nominal
    loan: LoanPlan | None


def ageing(finance: Finance) -> Array:
    """Each year's share of a new system's energy.

    Parameters
    ----------
    finance : span and ageing rates, or a list by year

    Returns
    -------
    (years,) the first year lower by the first-year loss, each later one by the yearly loss; a
    list takes their place as far as it goes, and the yearly loss goes on from its end [-]

    Examples
    --------
    >>> ageing(Finance(years=3, degradation_first_year=0.02, degradation_per_year=0.005)).round(5)
    array([0.98   , 0.9751 , 0.97022])
    >>> ageing(Finance(years=3, output_by_year=(0.99, 0.95), degradation_per_year=0.1)).round(3)
    array([0.99 , 0.95 , 0.855])
    """
    given = finance.output_by_year or (1.0 - finance.degradation_first_year,)
    later = powers(-finance.degradation_per_year, finance.years)[1:]
    return np.concatenate((given, given[-1] * later))[: finance.years]


def cash_flow(years: Years, deal: Deal) -> Cash:
    """Set the years with the system against the same years without it.

    Parameters
    ----------
    years : energy of every year, as long as the span
    deal : tariff and how prices move, quotation and costs, span and rates; what is left out takes
        its default

    Returns
    -------
    The cash table and its answers.

    Raises
    ------
    ValueError
        If ``years`` is not as long as the span.

    Source
    ------
    Rate of return: numpy-financial. Weights of later years: HM Treasury Green Book. Levelised
    cost: Short, Packey & Holt (1995), NREL/TP-462-5173, year-end flows.
    """
    finance = deal.finance
    if len(years.yield_kwh) != finance.years:
        message = f"the energy spans {len(years.yield_kwh)} years, the finance {finance.years}"
        raise ValueError(message)
    without, with_solar = bills(years, deal)
    running = running_costs(deal.costs, finance, deal.battery)
    lines = price_lines(deal.costs, deal.kwp, deal.battery)
    saving, costs = _from_year_0(without - with_solar), _from_year_0(running.total_gbp)
    capital, left = sum(line.gbp for line in lines), np.zeros(finance.years + 1)
    left[-1] = residual_gbp(deal)
    net = saving - costs + left
    net[0] -= capital
    weight = weights(finance, finance.years + 1)
    cumulative, discounted = np.cumsum(net), np.cumsum(net * weight)
    irr = rate_of_return(net)
    return Cash(
        years=np.arange(finance.years + 1, dtype=np.float64),
        **{name: _from_year_0(getattr(years, name)) for name in ENERGY},
        bill_without_gbp=_from_year_0(without),
        bill_with_gbp=_from_year_0(with_solar),
        saving_gbp=saving,
        costs_gbp=costs,
        residual_gbp=left,
        net_gbp=net,
        cumulative_gbp=cumulative,
        discounted_gbp=discounted,
        running=running,
        price_lines=lines,
        capital_gbp=capital,
        first_year_saving_gbp=float(saving[1]),
        simple_payback_years=payback_years(cumulative),
        discounted_payback_years=payback_years(discounted),
        npv_gbp=float(discounted[-1]),
        irr=irr,
        lcoe_gbp_per_kwh=_cost_of_a_kwh(capital, (costs - left) * weight, years, weight),
        nominal=nominal(saving, costs, net, irr, finance),
        loan=loan_plan(net[1:], capital, deal),
    )


def _cost_of_a_kwh(
    capital_gbp: float, costs_worth: Array, years: Years, weight: Array
) -> float | None:
    """Outlay and costs over energy, both discounted; None without energy [GBP/kWh]."""
    energy = float(np.sum(years.yield_kwh * weight[1:]))
    return (capital_gbp + float(costs_worth.sum())) / energy if energy > 0.0 else None


def _from_year_0(column: Array) -> Array:
    """Put the empty year of the outlay before the years of running."""
    return np.concatenate(([0.0], column))
