"""What a year makes on every plane: a map of tilt by direction for one array."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from pvkit.electrical.dc_side import dc_run
from pvkit.electrical.plane_energy import Surroundings, plane_years, planes_kwh
from pvkit.electrical.usable_light import HALF_HOUR_KWH_PER_W
from pvkit.errors import Fault, InputError
from pvkit.roof.horizon import sky_seen_fraction
from pvkit.roof.light import Array
from pvkit.roof.perez import SkySplit, sky_split
from pvkit.site.kit import Array as SiteArray
from pvkit.site.survey import Site
from pvkit.sky.year import Sky
from pvkit.study.stages import Stages
from pvkit.study.study import Study

TILTS_DEG = tuple(float(tilt) for tilt in range(0, 91, 5))
AZIMUTHS_DEG = tuple(float(azimuth) for azimuth in range(0, 361, 10))
SKYLINE, AS_SURVEYED = "skyline alone", "with the obstacles as surveyed"
SHADES = (SKYLINE, AS_SURVEYED)


@dataclass(frozen=True, slots=True, eq=False)
class PlaneMap:
    """A year's energy over tilt and direction.

    Parameters
    ----------
    tilts_deg, azimuths_deg : the planes' tilts and directions
    ac_kwh : (tilts, azimuths) metered by the whole site in a year with new modules [kWh]
    here : tilt and direction of the array as surveyed [deg]
    here_kwh : what that plane makes under the same shade [kWh]
    shade : one of SHADES
    """

    tilts_deg: tuple[float, ...]
    azimuths_deg: tuple[float, ...]
    ac_kwh: Array
    here: tuple[float, float]
    here_kwh: float
    shade: str

    @property
    def best(self) -> tuple[float, float, float]:
        """Tilt, direction [deg] and energy [kWh] of the best plane of the map."""
        row, column = np.unravel_index(int(self.ac_kwh.argmax()), self.ac_kwh.shape)
        return self.tilts_deg[row], self.azimuths_deg[column], float(self.ac_kwh[row, column])

    @property
    def percent_of_best(self) -> Array:
        """(tilts, azimuths) [%]."""
        return np.asarray(100.0 * self.ac_kwh / self.ac_kwh.max(), dtype=np.float64)

    @property
    def lost_kwh(self) -> float:
        """Energy that the surveyed plane gives up against the best, 0 or more [kWh/year]."""
        return max(self.best[2] - self.here_kwh, 0.0)

    @property
    def table(self) -> pd.DataFrame:
        """The energy [kWh], tilts down and directions across."""
        rows = pd.Index(self.tilts_deg, name="surface_tilt")
        columns = pd.Index(self.azimuths_deg, name="surface_azimuth")
        return pd.DataFrame(self.ac_kwh, rows, columns)


def plane_map(
    study: Study,
    array: str = "",
    shade: str = SKYLINE,
    planes: tuple[Sequence[float], Sequence[float]] = (TILTS_DEG, AZIMUTHS_DEG),
) -> PlaneMap:
    """Give a year's energy on every plane, the rest of the site as it stands.

    Parameters
    ----------
    study : of the site
    array : the array that is turned and tilted, the first if left out
    shade : the distant skyline alone, or the mean shade of the obstacles as it falls on the
        array where it was surveyed; uneven light between modules is not counted
    planes : tilts and directions [deg]

    Raises
    ------
    InputError
        If there is no such array or shade.

    Examples
    --------
    >>> from pvkit import load_site
    >>> found = plane_map(Study(load_site("south_family_home")))
    >>> found.ac_kwh.shape, 20 < found.best[0] < 50, 150 < found.best[1] < 210
    ((19, 37), True, True)
    """
    stages = study.estimate().stages
    at = _position(stages.site, array)
    light, around = _light(study, stages), _surroundings(stages, at, shade)
    inputs, wiring = stages.arrays.inputs[at], stages.arrays.wiring
    tilts, azimuths = (tuple(float(value) for value in axis) for axis in planes)
    here = _here(stages.site, stages.site.array[at])
    every = [(tilt, azimuth) for tilt in tilts for azimuth in azimuths]
    kwh = planes_kwh(light, inputs, wiring, around, [*every, here])
    grid = kwh[:-1].reshape(len(tilts), len(azimuths))
    return PlaneMap(tilts, azimuths, grid, here, float(kwh[-1]), shade)


def plane_year_kwh(
    study: Study, plane: tuple[float, float], array: str = "", shade: str = SKYLINE
) -> Array:
    """Give the site's metered energy of every half-hour with one array in another plane, (n,).

    Parameters
    ----------
    study, array, shade : as in :func:`plane_map`
    plane : tilt and direction [deg]
    """
    return plane_half_hours(study, array, shade)(plane)


def plane_half_hours(
    study: Study, array: str = "", shade: str = SKYLINE
) -> Callable[[tuple[float, float]], Array]:
    """Give what does the same for one plane after another, or several at once.

    Parameters
    ----------
    study, array, shade : as in :func:`plane_map`
    """
    stages = study.estimate().stages
    at = _position(stages.site, array)
    inputs, wiring = stages.arrays.inputs[at], stages.arrays.wiring
    return plane_years(_light(study, stages), inputs, wiring, _surroundings(stages, at, shade))


def pair_year_kwh(
    study: Study,
    planes: tuple[tuple[float, float], tuple[float, float]],
    array: str = "",
    shade: str = SKYLINE,
) -> Array:
    """Give the half-hours, (n,) [kWh], with half of an array in each of two planes.

    Each half is a string of its own to the same inverter, whose voltage window is not judged; of
    an odd number of panels the first plane has one more.

    Parameters
    ----------
    study, array, shade : as in :func:`plane_map`
    planes : tilt and direction of each half [deg]

    Raises
    ------
    InputError
        If there is no such array or shade, or it has one panel alone.
    """
    stages = study.estimate().stages
    at = _position(stages.site, array)
    whole, wiring = stages.arrays.inputs[at], stages.arrays.wiring
    if whole.count < 2:
        fault = Fault("array", "found one panel", "two or more", "choose an array with more")
        raise InputError(fault)
    light, around = _light(study, stages), _surroundings(stages, at, shade)
    strings, second = max(whole.strings // 2, 1), whole.count // 2
    one, two = (replace(whole, count=count, strings=strings)
                for count in (whole.count - second, second))  # fmt: skip
    dc_kwh = plane_years(light, one, wiring, around, to_meter=False)(planes[0])
    beside = around._replace(other_w=around.other_w + dc_kwh / HALF_HOUR_KWH_PER_W)
    return plane_years(light, two, wiring, beside)(planes[1])


def _position(site: Site, name: str) -> int:
    names = [array.name for array in site.array]
    if name and name not in names:
        fault = Fault("array", f"found '{name}'", ", ".join(names), "name an array of the site")
        raise InputError(fault)
    return names.index(name) if name else 0


def _here(site: Site, array: SiteArray) -> tuple[float, float]:
    return site.tilt_deg(array), site.azimuth_deg(array)


def _light(study: Study, stages: Stages) -> tuple[Sky, SkySplit]:
    return stages.sky, study.store.get("split", id(stages.sky), lambda: sky_split(stages.sky))


def _surroundings(stages: Stages, at: int, shade: str) -> Surroundings:
    if shade not in SHADES:
        fault = Fault("shade", f"found '{shade}'", " or ".join(SHADES), "choose one of them")
        raise InputError(fault)
    site, arrays = stages.site, stages.arrays
    others = np.zeros(stages.sky.ghi.size)
    for number, (power, inputs) in enumerate(zip(arrays.powers, arrays.inputs, strict=True)):
        if number != at:
            run = dc_run(power, inputs, arrays.wiring)
            others[run.daylight] += run.dc_w
    direct, sky = _near_shade(stages, at, shade)
    return Surroundings(site.site.albedo, site.horizon, direct, sky, others)


def _near_shade(stages: Stages, at: int, shade: str) -> tuple[Array, float]:
    """Give the mean shares of direct and sky light that obstacles near by leave."""
    seen = stages.arrays.inputs[at].sections
    daylight = stages.arrays.inputs[at].light.daylight
    if shade == SKYLINE or seen is None:
        return np.ones(len(daylight)), 1.0
    site, skyline = stages.site, 1.0
    if site.horizon is not None:
        skyline = sky_seen_fraction(site.horizon, *_here(site, site.array[at]))
    near = float(seen.sky_share.mean()) / skyline
    return seen.direct_share.mean(axis=(1, 2)).astype(np.float64), near
