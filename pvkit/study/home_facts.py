"""The home's part of an estimate's facts."""

from dataclasses import asdict
from typing import Any

from pvkit.study.estimate import Estimate

HOME_SCALARS = (
    "battery_in_kwh", "battery_out_kwh", "battery_grid_kwh", "car_solar_kwh", "car_kwh",
    "spilled_kwh", "bought_without_kwh", "self_sufficiency_fraction",
    "diverting_pays_below_gbp_per_kwh", "diverter_verdict",
)  # fmt: skip


def home_facts(estimate: Estimate) -> dict[str, Any]:
    """List where the energy goes and what the next kWh is worth, JSON-ready."""
    return {
        **{name: getattr(estimate, name) for name in HOME_SCALARS},
        "next_kwh": asdict(estimate.next_kwh),
    }
