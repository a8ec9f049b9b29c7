"""One array from the light on its plane to the d.c. terminals of the inverter."""

from dataclasses import dataclass

import numpy as np

from pvkit.electrical.cables import after_cable, dc_loop_ohm
from pvkit.electrical.datasheet import named_faults
from pvkit.electrical.glass import NO_GLASS, passed_by_glass, soiling_fraction
from pvkit.electrical.inputs import ArrayInputs, Wiring
from pvkit.electrical.power_table import (
    PowerTable,
    maximum_power,
    power_at_25_degc,
    power_table,
)
from pvkit.electrical.temperature import cell_temperature
from pvkit.errors import InputError
from pvkit.roof.light import Array, IntArray
from pvkit.site.kit import Losses
from pvkit.sky.year import Sky
from pvkit.tables import constant

HALF_HOUR_KWH_PER_W = 0.5 / 1000.0


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


@dataclass(frozen=True, slots=True, eq=False)
class UsableLight:
    """Light on its way to the cells.

    Parameters
    ----------
    absorbed : (d,) after obstacles and reflection [W m⁻²]
    effective_irradiance : (d,) after dirt as well [W m⁻²]
    remaining_kwh_per_m2 : after each step from "plane" to "dirt"
    """

    absorbed: Array
    effective_irradiance: Array
    remaining_kwh_per_m2: tuple[float, ...]


def dc_run(sky: Sky, inputs: ArrayInputs, wiring: Wiring) -> DcRun:
    """Follow one array's light through glass, cells and strings to the inverter.

    Parameters
    ----------
    sky : air and wind of the year
    inputs : the array and its light
    wiring : cables, optimisers and losses

    Raises
    ------
    InputError
        If the module's data sheet contradicts itself; names the array and the key.
    """
    light = usable_light(inputs, wiring.losses)
    weak, made, volts = _cells(sky, inputs, light, wiring.losses)
    even, wired, delivered = _strings(made, volts, inputs, wiring)
    powers = (weak, made, even, wired, delivered)
    return DcRun(
        daylight=inputs.light.daylight,
        dc_w=delivered,
        poa_kwh_per_m2=light.remaining_kwh_per_m2[0],
        remaining_kwh=(
            *(each * inputs.kwp for each in light.remaining_kwh_per_m2),
            *(float(power.sum()) * HALF_HOUR_KWH_PER_W for power in powers),
        ),
    )


def usable_light(inputs: ArrayInputs, losses: Losses) -> UsableLight:
    """Take what obstacles, glass and dirt keep off the light on the plane."""
    light, off = inputs.light, losses.off
    direct = light.direct_open if "hidden_beam" in off else light.direct
    sky = light.sky_open if "hidden_sky" in off else light.sky
    glass = NO_GLASS if "reflected" in off else passed_by_glass(light.aoi, inputs.surface_tilt)
    absorbed = direct * glass.direct + sky * glass.sky + light.ground * glass.ground
    dirt = 0.0 if "dirt" in off else soiling_fraction(losses, inputs.surface_tilt)
    sky_open, ground = float(light.sky_open.sum()), float(light.ground.sum())
    seen = float(direct.sum())
    passed = float(absorbed.sum())
    sums = (
        float(light.direct_open.sum()) + sky_open + ground,
        seen + sky_open + ground,
        seen + float(sky.sum()) + ground,
        passed,
        passed * (1 - dirt),
    )
    return UsableLight(
        absorbed, absorbed * (1 - dirt), tuple(each * HALF_HOUR_KWH_PER_W for each in sums)
    )


def _cells(
    sky: Sky, inputs: ArrayInputs, light: UsableLight, losses: Losses
) -> tuple[Array, Array, Array]:
    """Give the array's power with weak light counted, then warmth as well [W], and Vmp [V].

    Each of the two is a ratio to the step before it, so either can be left out: weak light is
    P(G, 25 °C) over the rated power's share G/1000, warmth P(G, T) over P(G, 25 °C).
    """
    table = _table(inputs)
    irradiance = light.effective_irradiance
    at_25 = power_at_25_degc(table, irradiance)
    weak = at_25
    if "weak_light" in losses.off:
        weak = irradiance * (inputs.module.pmax_w / constant("stc.irradiance_w_per_m2"))
    temp_cell = _temp_cell(sky, inputs, light, losses)
    at_temp, volts = maximum_power(table, irradiance, temp_cell)
    made = at_temp
    if "weak_light" in losses.off:
        ratio = np.divide(at_temp, at_25, out=np.ones_like(at_25), where=at_25 > 0)
        made = weak * ratio
    return weak * inputs.count, made * inputs.count, volts


def _temp_cell(sky: Sky, inputs: ArrayInputs, light: UsableLight, losses: Losses) -> Array:
    if "warm_cells" in losses.off:
        return np.full(light.absorbed.shape, constant("stc.temp_cell_degc"))
    lit = inputs.light.daylight
    return cell_temperature(inputs, light.absorbed, sky.temp_air[lit], sky.wind_speed[lit])


def _table(inputs: ArrayInputs) -> PowerTable:
    try:
        return power_table(inputs.module)
    except InputError as error:
        raise InputError(*named_faults(inputs.name, error)) from error


def _strings(
    made: Array, volts: Array, inputs: ArrayInputs, wiring: Wiring
) -> tuple[Array, Array, Array]:
    """Give the array's power [W] after uneven light, d.c. cables and optimisers.

    An optimiser on an evenly lit string passes the module's own voltage and current through, so
    the string current is that of the modules in either case.
    """
    losses = wiring.losses
    uneven = 0.0 if inputs.optimisers or "uneven_light" in losses.off else losses.uneven_fraction
    even = made * (1 - uneven)
    wired = even
    if "dc_cables" not in losses.off:
        string_current = even / (volts * inputs.in_series * inputs.strings)
        wired = after_cable(even, string_current, dc_loop_ohm(wiring.cables) * inputs.strings)
    optimised = inputs.optimisers and "optimisers" not in losses.off
    delivered = wired * wiring.optimiser.efficiency if optimised else wired
    return even, wired, delivered
