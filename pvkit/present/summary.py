"""The answer for one site as a page of plain text, for the terminal."""

from pvkit.present.headlines import headlines
from pvkit.present.rounding import kilograms, kwh, pence, pounds, rate, years
from pvkit.study.estimate import Estimate

_WIDTH = 34


def summary(estimate: Estimate) -> str:
    """Say the four headline figures, the energy, the money, the carbon and the cautions.

    Parameters
    ----------
    estimate : the answer for one site

    Returns
    -------
    text of about 40 lines, no colours
    """
    lines = [estimate.site.site.name, "─" * len(estimate.site.site.name), ""]
    lines += [_row(h.label, f"{h.figure:>16}   {h.note}") for h in headlines(estimate)]
    lines += ["", *_energy(estimate), "", *_money(estimate), "", *_carbon(estimate)]
    lines += ["", "Light: " + estimate.stages.sky.label]
    lines += [f"Note: {text}" for text in estimate.warnings]
    lines += ["", *(f"• {text}" for text in estimate.cautions)]
    return "\n".join(lines)


def _row(label: str, text: str) -> str:
    return f"{label:{_WIDTH}}{text}"


def _figure(label: str, text: str) -> str:
    return _row("  " + label, f"{text:>16}")


def _energy(estimate: Estimate) -> list[str]:
    hot_water = [
        _figure("sent to the hot-water cylinder", kwh(estimate.cylinder_kwh)),
        _figure("gas not burnt", kwh(estimate.gas_saved_kwh)),
    ]
    battery = [
        _figure("into the battery", kwh(estimate.battery_in_kwh)),
        _figure("out of the battery", kwh(estimate.battery_out_kwh)),
    ]
    return [
        f"Energy, a year with new modules ({estimate.kwp:.2f} kWp)",
        _figure("used as it is made", kwh(estimate.direct_kwh)),
        *(battery if estimate.site.battery is not None else []),
        *([_figure("into the car", kwh(estimate.car_solar_kwh))] if estimate.site.car else []),
        _figure("sent to the grid", kwh(estimate.export_kwh)),
        _figure("bought from the grid", kwh(estimate.import_kwh)),
        *(hot_water if estimate.site.hot_water is not None else []),
        _figure("performance ratio", f"{estimate.performance_ratio:.3f}"),
    ]


def _money(estimate: Estimate) -> list[str]:
    span = estimate.site.finance.years
    return [
        f"Money over {span} years, today's pounds",
        _figure("net present value", pounds(estimate.npv_gbp)),
        _figure("rate of return", rate(estimate.irr)),
        _figure("paid back, later pounds less", years(estimate.discounted_payback_years, span)),
        _figure("cost of each kWh made", pence(estimate.lcoe_gbp_per_kwh)),
    ]


def _carbon(estimate: Estimate) -> list[str]:
    span = estimate.site.finance.years
    return [
        "Carbon (CO₂e)",
        _figure("avoided in the first year", kilograms(estimate.carbon_first_year_kgco2e)),
        _figure(f"avoided over {span} years, net", kilograms(estimate.carbon_saved_kgco2e)),
    ]
