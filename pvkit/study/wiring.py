"""Is an optimiser on each panel worth it on this roof? Energy, money and a plain verdict."""

from dataclasses import dataclass, replace

from pvkit.electrical.system import system_output
from pvkit.electrical.wiring_comparison import WiringComparison, wiring_comparison
from pvkit.home.flows import life_flows
from pvkit.ledger.bills import bills
from pvkit.ledger.deal import deal
from pvkit.ledger.worth import weights
from pvkit.study.household import site_solar
from pvkit.study.stages import Stages


@dataclass(frozen=True, slots=True)
class WiringVerdict:
    """Plain strings against an optimiser on every module, all else alike.

    Parameters
    ----------
    energy : a year of metered energy for each way of wiring
    modules : number of modules
    break_even_gbp_per_module : price at which an optimiser would just pay over the years counted;
        below 0 it loses even as a gift
    optimiser_gbp_each : the price it is held against
    recovered_fraction : share of the string's shade loss that optimisers get back, net of their
        own loss; None where there is next to no shade loss
    verdict : in plain words
    """

    energy: WiringComparison
    modules: int
    break_even_gbp_per_module: float
    optimiser_gbp_each: float
    recovered_fraction: float | None
    verdict: str


# Below this share of the year there is no shade loss to speak of.
_LEAST_SHADE_LOSS = 0.005


def wiring_verdict(stages: Stages) -> WiringVerdict:
    """Compare both ways of wiring a site in energy and in money.

    Parameters
    ----------
    stages : a site taken through every stage, wired either way

    Returns
    -------
    energies, what an optimiser may cost, and the verdict; the money of both ways runs through the
    same half-hours, tariff and years
    """
    arrays = stages.arrays
    energy = wiring_comparison(stages.sky, arrays.inputs, arrays.wiring, arrays.powers)
    modules = sum(inputs.count for inputs in arrays.inputs)
    more = _life_saving_gbp(stages, optimisers=True) - _life_saving_gbp(stages, optimisers=False)
    each, price = more / modules, stages.site.costs.optimiser_gbp_each
    loss = energy.unshaded_kwh - energy.string_kwh
    gain = energy.optimiser_kwh - energy.string_kwh
    shaded = loss > _LEAST_SHADE_LOSS * energy.unshaded_kwh
    recovered = gain / loss if shaded else None
    words = _verdict(gain, energy, each, price, stages.site.finance.years)
    return WiringVerdict(energy, modules, each, price, recovered, words)


def _life_saving_gbp(stages: Stages, *, optimisers: bool) -> float:
    """Give today's worth of all years' savings on the bills, wired one way."""
    arrays, site = stages.arrays, stages.site
    inputs = tuple(replace(each, optimisers=optimisers) for each in arrays.inputs)
    output = system_output(stages.sky, inputs, arrays.wiring, arrays.powers)
    solar, life = site_solar(site, stages.sky, output), stages.life
    years = life_flows(
        solar, stages.home, life.ageing, stages.steering, battery_left=life.battery_left
    )
    without, with_solar = bills(years, deal(site))
    later = weights(site.finance, site.finance.years + 1)[1:]
    return float((without - with_solar) @ later)


def _verdict(gain: float, energy: WiringComparison, each: float, price: float, years: int) -> str:
    share = 100 * gain / energy.string_kwh if energy.string_kwh > 0 else 0.0
    if gain <= 0:
        return (
            f"No: on this roof optimisers would lose {-gain:,.0f} kWh a year ({-share:.1f} %), "
            "because there is too little uneven shade to make up for their own loss."
        )
    words = (
        f"they would add {gain:,.0f} kWh a year ({share:.1f} %), worth £{each:,.0f} for each panel "
        f"over {years} years, against about £{price:,.0f} each"
    )
    if each < price:
        return f"No: {words}."
    sure = "Yes" if each > 2 * price else "Just"
    doubt = (
        "a shade survey is seldom better than a third either way, so this holds"
        if sure == "Yes"
        else "a shade survey is seldom better than a third either way, so it may not"
    )
    return f"{sure}: {words}; {doubt}."
