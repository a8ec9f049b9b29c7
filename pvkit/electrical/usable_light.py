"""Light on its way to the cells: past obstacles, through glass and dirt."""

from dataclasses import dataclass

from pvkit.electrical.glass import NO_GLASS, passed_by_glass, soiling_fraction
from pvkit.electrical.inputs import ArrayInputs
from pvkit.electrical.uneven import Passing
from pvkit.roof.light import Array
from pvkit.site.kit import Losses

HALF_HOUR_KWH_PER_W = 0.5 / 1000.0


@dataclass(frozen=True, slots=True, eq=False)
class UsableLight:
    """Light on its way to the cells.

    Parameters
    ----------
    absorbed : (d,) mean after obstacles and reflection [W m⁻²]
    effective_irradiance : (d,) after dirt as well [W m⁻²]
    passing : its parts as they would be with nothing in the way, after reflection and dirt
    remaining_kwh_per_m2 : after each step from "plane" to "dirt"
    """

    absorbed: Array
    effective_irradiance: Array
    passing: Passing
    remaining_kwh_per_m2: tuple[float, ...]


def usable_light(inputs: ArrayInputs, losses: Losses) -> UsableLight:
    """Take what obstacles, glass and dirt keep off the light on the plane.

    Reflection and dirt take the same share on every section: the sun's angle and the glass are
    the same, and what is hidden of the sky changes the mean angle of the rest but little.
    """
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
    passing = Passing(
        light.direct_open * glass.direct * (1 - dirt),
        light.sky_open * (glass.sky * (1 - dirt)),
        light.ground * (glass.ground * (1 - dirt)),
    )
    remaining = tuple(each * HALF_HOUR_KWH_PER_W for each in sums)
    return UsableLight(absorbed, absorbed * (1 - dirt), passing, remaining)
