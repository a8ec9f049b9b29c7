"""What the front glass throws back, by the direction the light comes from, and what dirt takes."""

from dataclasses import dataclass
from functools import cache

import numpy as np

from pvkit.roof.light import Array
from pvkit.site.kit import Losses
from pvkit.tables import constant, default


@dataclass(frozen=True, slots=True, eq=False)
class Passed:
    """Share of each part of the light that passes the glass, against straight-on light.

    Parameters
    ----------
    direct : (d,) by the angle of incidence
    sky, ground : by the tilt alone
    """

    direct: Array | float
    sky: float
    ground: float


NO_GLASS = Passed(1.0, 1.0, 1.0)


def passed_by_glass(aoi: Array, surface_tilt: float) -> Passed:
    """Give the share of direct, sky and ground light that is not reflected.

    Parameters
    ----------
    aoi : (d,) angle of incidence of the direct light [deg]
    surface_tilt : from level [deg]

    Source
    ------
    Martin & Ruiz, *Solar Energy Materials & Solar Cells* 70 (2001) 25-38 and corrigendum 110
    (2013) 154, also IEC 61853-3, through ``pvlib.iam``; a_r 0.16, clean plain glass. Known
    weakness: the closed form for sky light is up to 0.9 % below the sum over the sky's directions
    that it stands for.

    Examples
    --------
    >>> passed_by_glass(np.array([0.0, 60.0]), 30.0).direct.round(4)
    array([1.    , 0.9579])
    """
    from pvlib.iam import martin_ruiz

    direct = martin_ruiz(aoi, a_r=constant("glass.martin_ruiz_a_r"))
    return Passed(direct, *diffuse_passed(surface_tilt))


@cache
def diffuse_passed(surface_tilt: float) -> tuple[float, float]:
    """Give the share of sky light and of ground light that is not reflected, by tilt [deg]."""
    from pvlib.iam import martin_ruiz_diffuse

    share = martin_ruiz_diffuse(surface_tilt, a_r=constant("glass.martin_ruiz_a_r"))
    return float(share["sky"]), float(share["ground"])


def soiling_fraction(losses: Losses, surface_tilt: float) -> float:
    """Give the share of light that dirt takes: the site file's, else by tilt.

    Parameters
    ----------
    losses : the site file's losses
    surface_tilt : from level [deg]; rain washes a steep module and leaves a rim on a flat one

    Examples
    --------
    >>> [round(soiling_fraction(Losses(), tilt), 4) for tilt in (0, 10, 15, 20, 40)]
    [0.03, 0.03, 0.0225, 0.015, 0.015]
    """
    if losses.soiling_fraction is not None:
        return losses.soiling_fraction
    tilts = (constant("dirt.low_tilt_deg"), constant("dirt.steep_tilt_deg"))
    shares = (default("losses.soiling_fraction_low_tilt"), default("losses.soiling_fraction"))
    return float(np.interp(surface_tilt, tilts, shares))
