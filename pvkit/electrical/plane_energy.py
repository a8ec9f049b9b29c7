"""The yearly energy of many planes at once: one array turned and tilted, all else as it stands."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from pvkit.electrical.cables import ac_loss_ohm, dc_loop_ohm
from pvkit.electrical.glass import diffuse_passed, soiling_fraction
from pvkit.electrical.inputs import ArrayInputs, Wiring
from pvkit.electrical.inverter import loss_curve
from pvkit.electrical.power_table import power_table
from pvkit.electrical.temperature import wind_factor
from pvkit.electrical.usable_light import HALF_HOUR_KWH_PER_W
from pvkit.roof.horizon import horizon_elevation
from pvkit.roof.light import Array
from pvkit.roof.perez import SkySplit
from pvkit.roof.threads import in_parts
from pvkit.site.place import Horizon
from pvkit.sky.year import Sky
from pvkit.tables import constant

if TYPE_CHECKING:
    from pvkit.electrical.plane_kernel import Chain, Plane, Sun, Table

_SKYLINE_STEPS = 180


class Surroundings(NamedTuple):
    """What stands round the planes of a map.

    Parameters
    ----------
    albedo : share of light that the ground throws back
    horizon : distant skyline, None for a clear one
    direct_share : (d,) share of the direct light that obstacles near by leave, ones for none
    sky_share : the same of the sky light
    other_w : (n,) power of the site's other arrays at the inverter [W]
    """

    albedo: float
    horizon: Horizon | None
    direct_share: Array
    sky_share: float
    other_w: Array


def planes_kwh(
    light: tuple[Sky, SkySplit],
    inputs: ArrayInputs,
    wiring: Wiring,
    around: Surroundings,
    planes: Sequence[tuple[float, float]],
) -> Array:
    """Give the site's metered energy of a year for each plane of one array.

    Parameters
    ----------
    light : the year's sky and its split
    inputs : the array; its own plane and its shade are not read
    wiring : what the arrays share
    around : skyline, shade and the other arrays
    planes : tilt and direction of each [deg]

    Returns
    -------
    (planes,) [kWh]

    Notes
    -----
    The same equations as the whole engine, in one compiled loop. Modules are lit evenly: where
    obstacles stand near, their mean shade is counted and uneven light between modules is not.
    """
    from pvkit.electrical.plane_kernel import plane_year

    sun, table, chain = (
        _sun(light, inputs, around, wiring),
        _table(inputs, wiring),
        _chain(inputs, wiring),
    )
    made, nothing = _planes(wiring, around, planes), np.empty(0)
    sums = np.empty(len(made))

    def run(first: int, last: int) -> None:
        for at in range(first, last):
            sums[at] = plane_year(sun, table, chain, made[at], nothing)

    in_parts(len(made), run)
    return sums * HALF_HOUR_KWH_PER_W


def plane_years(
    light: tuple[Sky, SkySplit],
    inputs: ArrayInputs,
    wiring: Wiring,
    around: Surroundings,
    *,
    to_meter: bool = True,
) -> Callable[[tuple[float, float]], Array]:
    """Give what turns a plane, tilt and direction [deg], into its year's half-hours, (n,) [kWh].

    Parameters
    ----------
    light, inputs, wiring, around : as in :func:`planes_kwh`
    to_meter : metered with the site's other arrays; False for this array's own d.c. energy at the
        inverter

    Returns
    -------
    a function that threads may call at once; what all planes share is worked out before
    """
    from pvkit.electrical.plane_kernel import plane_year

    sky, split = light
    chain = _chain(inputs, wiring)
    if not to_meter:
        around = around._replace(other_w=np.zeros_like(around.other_w))
        chain = chain._replace(limit_w=float("inf"), convert=0.0, ac_ohm=0.0, in_service=1.0)
    sun, table = _sun(light, inputs, around, wiring), _table(inputs, wiring)

    def half_hours_kwh(plane: tuple[float, float]) -> Array:
        watts, year = np.zeros(len(split.daylight)), np.zeros(sky.ghi.size)
        plane_year(sun, table, chain, _planes(wiring, around, [plane])[0], watts)
        year[split.daylight] = watts * HALF_HOUR_KWH_PER_W
        return year

    return half_hours_kwh


def _sun(
    light: tuple[Sky, SkySplit], inputs: ArrayInputs, around: Surroundings, wiring: Wiring
) -> "Sun":
    from pvkit.electrical.plane_kernel import Sun

    sky, split = light
    lit, off = split.daylight, wiring.losses.off
    share = np.ones(len(lit)) if "hidden_beam" in off else around.direct_share.copy()
    if around.horizon is not None and "hidden_beam" not in off:
        skyline = horizon_elevation(around.horizon, split.azimuth_rad)
        share = share * (np.pi / 2 - split.zenith_rad > skyline)
    cold = "warm_cells" in off
    wind = sky.wind_speed[lit] * wind_factor(inputs.height_m, inputs.terrain)
    u0 = constant(f"temperature.u0.{inputs.mounting}")
    cooling = u0 + constant(f"temperature.u1.{inputs.mounting}") * wind
    level = np.sin(split.zenith_rad)
    return Sun(
        east=level * np.sin(split.azimuth_rad),
        north=level * np.cos(split.azimuth_rad),
        up=np.cos(split.zenith_rad),
        direct=split.dni + split.circumsolar / split.cos_zenith,
        seen=share,
        isotropic=split.isotropic.copy(),
        band=split.horizon_band.copy(),
        ground=split.ghi * around.albedo,
        temp_air=np.full(len(lit), constant("stc.temp_cell_degc")) if cold else sky.temp_air[lit],
        cooling=np.full(len(lit), np.inf) if cold else cooling,
        other_w=around.other_w[lit],
    )


def _table(inputs: ArrayInputs, wiring: Wiring) -> "Table":
    from pvkit.electrical.plane_kernel import Table

    table = power_table(inputs.module)
    per_light, degc = table.power_per_light, table.temp_cell
    if "weak_light" in wiring.losses.off:
        held = int(np.abs(degc - constant("stc.temp_cell_degc")).argmin())
        rated = inputs.module.pmax_w / constant("stc.irradiance_w_per_m2")
        per_light = rated * per_light / per_light[:, held : held + 1]
    return Table(
        np.ascontiguousarray(per_light),
        table.volts.copy(),
        float(table.log_light[0]),
        float(table.log_light[1] - table.log_light[0]),
        float(degc[0]),
        float(degc[1] - degc[0]),
    )


def _chain(inputs: ArrayInputs, wiring: Wiring) -> "Chain":
    from pvkit.electrical.plane_kernel import Chain

    losses, inverter, optimiser = wiring.losses, wiring.inverter, wiring.optimiser
    off, curve = losses.off, loss_curve(inverter)
    uneven = 0.0 if inputs.optimisers or "uneven_light" in off else losses.uneven_fraction
    return Chain(
        glass=0.0 if "reflected" in off else constant("glass.martin_ruiz_a_r"),
        modules=float(inputs.count),
        in_series=inputs.in_series,
        strings=float(inputs.strings),
        uneven=uneven,
        optimised=float(inputs.optimisers and "optimisers" not in off),
        optimiser_most_w=optimiser.max_w,
        optimiser_efficiency=optimiser.efficiency,
        optimiser_standby_w=optimiser.standby_w,
        dc_ohm=0.0 if "dc_cables" in off else dc_loop_ohm(wiring.cables),
        ac_rating_w=inverter.ac_w,
        limit_w=float("inf") if "inverter_limit" in off else inverter.ac_w,
        convert=float("inverter_conversion" not in off),
        own_use=curve.own_use,
        linear=curve.linear,
        square=curve.square,
        ac_ohm=0.0 if "ac_cables" in off else ac_loss_ohm(wiring.cables, inverter.phases),
        grid_v=constant("grid.nominal_v"),
        in_service=1.0 - (0.0 if "out_of_service" in off else losses.out_of_service_fraction),
    )


def _planes(
    wiring: Wiring,
    around: Surroundings,
    planes: Sequence[tuple[float, float]],
) -> "list[Plane]":
    from pvkit.electrical.plane_kernel import Plane, sky_left

    off, skyline = wiring.losses.off, None
    if around.horizon is not None:
        turn = 2 * np.pi / _SKYLINE_STEPS
        middles: Array = (np.arange(_SKYLINE_STEPS, dtype=np.float64) + 0.5) * turn
        skyline = horizon_elevation(around.horizon, middles)
    found = []
    for tilt_deg, azimuth_deg in planes:
        sky_glass, ground_glass = (
            (1.0, 1.0) if "reflected" in off else diffuse_passed(float(tilt_deg))
        )
        clean = 1.0 - (0.0 if "dirt" in off else soiling_fraction(wiring.losses, tilt_deg))
        tilt, azimuth = float(np.radians(tilt_deg)), float(np.radians(azimuth_deg))
        plane = Plane(tilt, azimuth, 1.0, sky_glass, ground_glass, clean)
        if "hidden_sky" not in off:
            left = 1.0 if skyline is None else sky_left(skyline, plane)
            plane = plane._replace(sky_seen=left * around.sky_share)
        found.append(plane)
    return found
