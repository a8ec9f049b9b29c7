"""An estimate as plain numbers, words and lists, under stable keys."""

from dataclasses import asdict
from typing import Any

from pvkit.study.estimate import Estimate
from pvkit.study.home_facts import home_facts
from pvkit.study.ledger_facts import ledger_facts

FORMAT_VERSION = 1

SCALARS = (
    "kwp", "ac_kwh", "specific_yield_kwh_per_kwp", "performance_ratio", "poa_kwh_per_m2",
    "ghi_kwh_per_m2", "demand_kwh", "direct_kwh", "cylinder_kwh", "export_kwh", "import_kwh",
    "gas_saved_kwh", "used_at_home_fraction", "first_year_saving_gbp", "capital_gbp",
    "simple_payback_years", "discounted_payback_years", "npv_gbp", "irr", "lcoe_gbp_per_kwh",
    "carbon_saved_kgco2e", "carbon_first_year_kgco2e",
)  # fmt: skip


def facts(estimate: Estimate) -> dict[str, Any]:
    """List an estimate's facts; no value is ever NaN, a missing one is None.

    Parameters
    ----------
    estimate : the answer for one site

    Returns
    -------
    JSON-ready; energies of a year with new modules, ``cash_table`` year by year with ageing
    """
    stages, wiring = estimate.stages, estimate.wiring
    return {
        "format_version": FORMAT_VERSION,
        "site": estimate.site.site.name,
        **{name: getattr(estimate, name) for name in SCALARS},
        **home_facts(estimate),
        "monthly_ac_kwh": estimate.monthly["solar_kwh"].tolist(),
        "loss_stack": [asdict(step) | {"step": step.name} for step in stages.output.stack],
        "wiring_comparison": asdict(wiring.energy)
        | {
            "break_even_gbp_per_module": wiring.break_even_gbp_per_module,
            "recovered_fraction": wiring.recovered_fraction,
            "verdict": wiring.verdict,
        },
        "modules": estimate.modules.to_dict("records"),
        "cash_table": estimate.cash.reset_index().to_dict("records"),
        "carbon_table": estimate.carbon.reset_index().to_dict("records"),
        "embodied_kgco2e": stages.carbon.embodied_kg,
        **ledger_facts(estimate),
        "weather": stages.sky.label,
        "assumptions": [asdict(number) for number in estimate.assumptions],
        "warnings": list(estimate.warnings),
        "cautions": list(estimate.cautions),
    }
