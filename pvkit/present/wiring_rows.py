"""The ways of wiring a roof side by side, in words and figures."""

from pvkit.present.rounding import change, kwh
from pvkit.study.estimate import Estimate


def wiring_rows(answer: Estimate) -> tuple[tuple[str, str, str], ...]:
    """List the ways of wiring: name, a year's energy, and the difference from a plain string."""
    energy = answer.wiring.energy
    base = energy.string_kwh
    found = (
        ("plain string", base),
        ("the same, tracker stuck on a lower hump", energy.string_local_maximum_kwh),
        ("optimiser on each panel", energy.optimiser_kwh),
        ("plain string, no shade at all", energy.unshaded_kwh),
    )
    return tuple((name, kwh(value), f"{change(value - base)} kWh") for name, value in found)
