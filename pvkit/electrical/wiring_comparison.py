"""The same site with plain strings and with an optimiser on every module."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pvkit.electrical.array_power import array_power
from pvkit.electrical.inputs import ArrayInputs, Wiring
from pvkit.electrical.power import ArrayPower
from pvkit.electrical.system import metered_kwh
from pvkit.sky.year import Sky


@dataclass(frozen=True, slots=True)
class WiringComparison:
    """A year of metered a.c. energy by the way the modules are wired [kWh].

    Parameters
    ----------
    string_kwh : plain strings, at the highest maximum in every half-hour
    string_local_maximum_kwh : the same with a tracker that only climbs from where it stood
    optimiser_kwh : an optimiser on every module
    optimiser_own_loss_kwh : what the optimisers themselves cost of it
    unshaded_kwh : plain strings with nothing in the way and no two modules different
    """

    string_kwh: float
    string_local_maximum_kwh: float
    optimiser_kwh: float
    optimiser_own_loss_kwh: float
    unshaded_kwh: float


def wiring_comparison(
    sky: Sky,
    arrays: tuple[ArrayInputs, ...],
    wiring: Wiring,
    powers: Sequence[ArrayPower] | None = None,
) -> WiringComparison:
    """Meter a site's year for each way of wiring it, all else alike.

    Parameters
    ----------
    sky : the year's air and wind
    arrays : each with the light on its sections; their own ``optimisers`` is not read
    wiring : what the arrays share
    powers : the arrays' power if it is known already, as in :class:`pvkit.electrical.system.Output`

    Returns
    -------
    energies; unshaded >= optimiser + own loss >= string >= string at a local maximum, but for the
    cables, in which the strongest module's current flows when there are optimisers
    """
    if powers is None:
        powers = [array_power(sky, inputs, wiring) for inputs in arrays]
    strings = tuple(replace(inputs, optimisers=False) for inputs in arrays)
    each = tuple(replace(inputs, optimisers=True) for inputs in arrays)
    lossless = _without(wiring, "optimisers")
    clear = tuple(unshaded(inputs) for inputs in strings)
    alike = _without(wiring, "uneven_light")
    optimiser_kwh = metered_kwh(powers, each, wiring)
    return WiringComparison(
        string_kwh=metered_kwh(powers, strings, wiring),
        string_local_maximum_kwh=metered_kwh(powers, strings, wiring, stuck=True),
        optimiser_kwh=optimiser_kwh,
        optimiser_own_loss_kwh=metered_kwh(powers, each, lossless) - optimiser_kwh,
        unshaded_kwh=metered_kwh(
            [array_power(sky, inputs, alike) for inputs in clear], clear, alike
        ),
    )


def unshaded(inputs: ArrayInputs) -> ArrayInputs:
    """Give the array with nothing in the way of its light."""
    light = inputs.light
    opened = replace(light, direct=light.direct_open, sky=light.sky_open)
    return replace(inputs, light=opened, sections=None)


def _without(wiring: Wiring, step: str) -> Wiring:
    """Give the wiring with one more step of the loss stack switched off."""
    losses = wiring.losses
    return replace(wiring, losses=losses.model_copy(update={"off": (*losses.off, step)}))
