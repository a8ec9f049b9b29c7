"""A whole system's year: every array through one inverter to the meter."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pvkit.electrical.array_power import array_power
from pvkit.electrical.cables import ac_loss_ohm, after_cable
from pvkit.electrical.dc_side import DcRun, dc_run
from pvkit.electrical.inputs import ArrayInputs, Wiring
from pvkit.electrical.inverter import converted
from pvkit.electrical.notes import system_notes
from pvkit.electrical.power import ArrayPower
from pvkit.electrical.stack import Step, loss_stack
from pvkit.electrical.usable_light import HALF_HOUR_KWH_PER_W
from pvkit.roof.light import Array
from pvkit.sky.year import Sky
from pvkit.tables import constant


@dataclass(frozen=True, slots=True, eq=False)
class Output:
    """A year of metered energy and where the rest went.

    Parameters
    ----------
    ac_kwh : (n,) metered a.c. energy of each half-hour [kWh]
    over_limit_kwh : (n,) what the inverter's limit cut off, as it would have been metered [kWh]
    stack : the loss stack, from the sun on level ground to the meter
    poa_kwh_per_m2 : light on the planes before shade and reflection, weighted by rated power
    ghi_kwh_per_m2 : light on level ground
    notes : what the user should know
    powers : each array's power before its cables, whichever way it is wired, and by module
    """

    ac_kwh: Array
    over_limit_kwh: Array
    stack: tuple[Step, ...]
    poa_kwh_per_m2: float
    ghi_kwh_per_m2: float
    notes: tuple[str, ...]
    powers: tuple[ArrayPower, ...]


def system_output(
    sky: Sky,
    arrays: tuple[ArrayInputs, ...],
    wiring: Wiring,
    powers: Sequence[ArrayPower] | None = None,
) -> Output:
    """Give a year's metered energy, half-hour by half-hour, and the loss stack.

    Energy is the mean power of a half-hour over that half-hour: the inverter's limit acts on the
    mean, so that passing clouds cut off slightly more than is counted here. At night the system
    gives nothing and its own use is left out.

    Parameters
    ----------
    sky : the year's sun, air and wind
    arrays : each with the light on its plane
    wiring : what the arrays share: inverter, cables, optimiser part, losses
    powers : the arrays' power if it is known already; a change of cables leaves it as it is

    Raises
    ------
    InputError
        If a module's data sheet contradicts itself or a cable size does not exist.
    """
    kwp = sum(inputs.kwp for inputs in arrays)
    if powers is None:
        powers = [array_power(sky, inputs, wiring) for inputs in arrays]
    stuck = wiring.losses.tracker_stuck
    pairs = zip(powers, arrays, strict=True)
    runs = [dc_run(power, inputs, wiring, stuck=stuck) for power, inputs in pairs]
    dc_w = _together(runs, sky.ghi.size)
    lit = np.flatnonzero(dc_w)
    metered = _ac_side(dc_w[lit], wiring)
    ac_kwh, over_limit_kwh = np.zeros((2, sky.ghi.size))
    ac_kwh[lit] = metered[-1] * HALF_HOUR_KWH_PER_W
    over_limit_kwh[lit] = _cut_off(metered) * HALF_HOUR_KWH_PER_W
    ghi_kwh_per_m2 = float(sky.ghi.sum()) * HALF_HOUR_KWH_PER_W
    stack = loss_stack(
        [
            ghi_kwh_per_m2 * kwp,
            *(sum(left) for left in zip(*(run.remaining_kwh for run in runs), strict=True)),
            *(float(power.sum()) * HALF_HOUR_KWH_PER_W for power in metered),
        ],
        wiring.losses.off,
    )
    return Output(
        ac_kwh=ac_kwh,
        over_limit_kwh=over_limit_kwh,
        stack=stack,
        poa_kwh_per_m2=stack[1].remaining_kwh / kwp,
        ghi_kwh_per_m2=ghi_kwh_per_m2,
        notes=system_notes(arrays, wiring, stack),
        powers=tuple(powers),
    )


def metered_kwh(
    powers: Sequence[ArrayPower],
    arrays: Sequence[ArrayInputs],
    wiring: Wiring,
    *,
    stuck: bool = False,
) -> float:
    """Give a year's metered a.c. energy of arrays whose power is known [kWh].

    Parameters
    ----------
    powers, arrays, wiring : as in :func:`system_output`
    stuck : trackers only climb, and may end on a local maximum
    """
    pairs = zip(powers, arrays, strict=True)
    runs = [dc_run(power, inputs, wiring, stuck=stuck) for power, inputs in pairs]
    half_hours = max(int(run.daylight[-1]) for run in runs) + 1
    metered = _ac_side(_together(runs, half_hours), wiring)[-1]
    return float(metered.sum()) * HALF_HOUR_KWH_PER_W


def _together(runs: Sequence[DcRun], half_hours: int) -> Array:
    total = np.zeros(half_hours)
    for run in runs:
        total[run.daylight] += run.dc_w
    return total


def _cut_off(metered: tuple[Array, Array, Array, Array]) -> Array:
    """Give what the limit cut off [W], less what the steps after it take of the rest."""
    made, held, _, out = metered
    after = np.divide(out, held, out=np.zeros_like(held), where=held > 0.0)
    return (made - held) * after


def _ac_side(dc_w: Array, wiring: Wiring) -> tuple[Array, Array, Array, Array]:
    """Give the power [W] after conversion, limit, a.c. cables and time out of service."""
    losses, inverter = wiring.losses, wiring.inverter
    made = dc_w if "inverter_conversion" in losses.off else converted(inverter, dc_w)
    held = made if "inverter_limit" in losses.off else np.minimum(made, inverter.ac_w)
    carried = held
    if "ac_cables" not in losses.off:
        ohm = ac_loss_ohm(wiring.cables, inverter.phases)
        carried = after_cable(held, held / constant("grid.nominal_v"), ohm)
    share = 0.0 if "out_of_service" in losses.off else losses.out_of_service_fraction
    return made, held, carried, carried * (1 - share)
