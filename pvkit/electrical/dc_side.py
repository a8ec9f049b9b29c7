"""One array from the light on its plane to the d.c. terminals of the inverter."""

from dataclasses import dataclass

import numpy as np

from pvkit.electrical.cables import after_cable, dc_loop_ohm
from pvkit.electrical.inputs import ArrayInputs, Wiring
from pvkit.electrical.power import ArrayPower, Feed
from pvkit.electrical.usable_light import HALF_HOUR_KWH_PER_W
from pvkit.roof.light import Array, IntArray


@dataclass(frozen=True, slots=True, eq=False)
class DcRun:
    """What one array delivers to the inverter, and what was left on the way.

    Parameters
    ----------
    daylight : (d,) positions in the year
    dc_w : (d,) power at the inverter's terminals [W]
    poa_kwh_per_m2 : light on its plane with nothing in the way
    remaining_kwh : after each step from "plane" to "optimisers"
    """

    daylight: IntArray
    dc_w: Array
    poa_kwh_per_m2: float
    remaining_kwh: tuple[float, ...]


def dc_run(power: ArrayPower, inputs: ArrayInputs, wiring: Wiring, *, stuck: bool = False) -> DcRun:
    """Follow one array's power through strings, cables and optimisers to the inverter.

    Parameters
    ----------
    power : from :func:`pvkit.electrical.array_power.array_power`
    inputs : the array; with ``optimisers`` each module works at its own maximum
    wiring : cables, optimisers and losses
    stuck : the tracker only climbs, and may end on a local maximum
    """
    light = power.light.remaining_kwh_per_m2
    feed, uneven = _wired(power, inputs, wiring, stuck)
    even = feed.watts * (1 - uneven)
    wired = even
    if "dc_cables" not in wiring.losses.off:
        string_current = even / (feed.volts * inputs.strings)
        loop_ohm = dc_loop_ohm(wiring.cables) * inputs.strings
        wired = after_cable(even, string_current, loop_ohm)
    delivered = _optimised(wired, power, inputs, wiring)
    powers = (power.weak_w, power.even.watts, even, wired, delivered)
    return DcRun(
        daylight=inputs.light.daylight,
        dc_w=delivered,
        poa_kwh_per_m2=light[0],
        remaining_kwh=(
            *(each * inputs.kwp for each in light),
            *(float(power_w.sum()) * HALF_HOUR_KWH_PER_W for power_w in powers),
        ),
    )


def _wired(
    power: ArrayPower, inputs: ArrayInputs, wiring: Wiring, stuck: bool
) -> tuple[Feed, float]:
    """Give what the wiring makes of the modules' power, and the share lost as no two are alike.

    An optimiser on an evenly lit string passes the module's own voltage and current through, so
    the string current is that of the modules in either case.
    """
    if "uneven_light" in wiring.losses.off:
        return power.even, 0.0
    if inputs.optimisers:
        return power.own, 0.0
    return power.local if stuck else power.string, wiring.losses.uneven_fraction


def _optimised(wired: Array, power: ArrayPower, inputs: ArrayInputs, wiring: Wiring) -> Array:
    """Take the optimisers' own loss off: a share of the power, or their own use if that is more.

    What is beyond their rating is cut off before. Where light by section is not known, own use
    is left out.
    """
    if not inputs.optimisers or "optimisers" in wiring.losses.off:
        return wired
    optimiser = wiring.optimiser
    carried = np.maximum(wired - power.above_w, 0.0)
    passed = carried * optimiser.efficiency
    if inputs.sections is None:
        return passed
    return np.minimum(passed, np.maximum(carried - optimiser.standby_w * inputs.count, 0.0))
