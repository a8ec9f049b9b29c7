"""What a year's energy is worth to the household, plane by plane: worth, not only kWh."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from pvkit.electrical.usable_light import HALF_HOUR_KWH_PER_W
from pvkit.home.flows import life_flows
from pvkit.home.paths import Years
from pvkit.home.solar import Solar
from pvkit.ledger.bills import priced
from pvkit.ledger.cash import ageing
from pvkit.ledger.deal import deal
from pvkit.ledger.price_paths import price_paths
from pvkit.roof.light import Array
from pvkit.roof.threads import in_parts
from pvkit.study.plane_map import SKYLINE, plane_half_hours
from pvkit.study.stages import Stages
from pvkit.study.study import Study

WORTH_TILTS_DEG = tuple(float(tilt) for tilt in range(0, 91, 10))
WORTH_AZIMUTHS_DEG = tuple(float(azimuth) for azimuth in range(0, 361, 15))


@dataclass(frozen=True, slots=True)
class PlaneWorth:
    """What one plane makes and is worth to the home that stands below it.

    Parameters
    ----------
    ac_kwh : metered in a year with new modules [kWh]
    used_at_home_fraction : share of it used in the home or its cylinder
    saving_gbp : what the first year saves against the home without solar [GBP]
    """

    ac_kwh: float
    used_at_home_fraction: float
    saving_gbp: float


@dataclass(frozen=True, slots=True, eq=False)
class WorthMap:
    """The first year's saving over tilt and direction.

    Parameters
    ----------
    tilts_deg, azimuths_deg : the planes' tilts and directions
    saving_gbp : (tilts, azimuths) [GBP]
    """

    tilts_deg: tuple[float, ...]
    azimuths_deg: tuple[float, ...]
    saving_gbp: Array

    @property
    def best(self) -> tuple[float, float, float]:
        """Tilt, direction [deg] and saving [GBP] of the plane that is worth most."""
        row, column = np.unravel_index(int(self.saving_gbp.argmax()), self.saving_gbp.shape)
        saving = float(self.saving_gbp[row, column])
        return self.tilts_deg[row], self.azimuths_deg[column], saving

    @property
    def table(self) -> pd.DataFrame:
        """The saving [GBP], tilts down and directions across."""
        rows = pd.Index(self.tilts_deg, name="surface_tilt")
        columns = pd.Index(self.azimuths_deg, name="surface_azimuth")
        return pd.DataFrame(self.saving_gbp, rows, columns)


def plane_worth(study: Study, ac_half_hours: Array) -> PlaneWorth:
    """Send a year's energy through the home as it stands and set the bills side by side.

    Parameters
    ----------
    study : of the site; its household, tariff and ageing are read
    ac_half_hours : (n,) metered energy of a year with new modules [kWh]
    """
    return _worth(study.estimate().stages, ac_half_hours)


def worth_map(
    study: Study,
    array: str = "",
    shade: str = SKYLINE,
    planes: tuple[Sequence[float], Sequence[float]] = (WORTH_TILTS_DEG, WORTH_AZIMUTHS_DEG),
) -> WorthMap:
    """Give what every plane would save in its first year, the rest of the site as it stands.

    Parameters
    ----------
    study, array, shade, planes : as in :func:`pvkit.study.plane_map.plane_map`

    Raises
    ------
    InputError
        If there is no such array or shade.
    """
    stages, year = study.estimate().stages, plane_half_hours(study, array, shade)
    tilts, azimuths = (tuple(float(value) for value in axis) for axis in planes)
    every = sorted({_same(tilt, azimuth) for tilt in tilts for azimuth in azimuths})
    saved: dict[tuple[float, float], float] = {}
    first_year = _first_year(stages)

    def run(start: int, end: int) -> None:
        for plane in every[start:end]:
            saved[plane] = _home(stages, year(plane), [first_year])[1]

    in_parts(len(every), run)
    grid = np.array([[saved[_same(tilt, azimuth)] for azimuth in azimuths] for tilt in tilts])
    return WorthMap(tilts, azimuths, grid)


def _same(tilt: float, azimuth: float) -> tuple[float, float]:
    """Name a plane once: level faces nowhere, and 360° is north again."""
    return (tilt, azimuth % 360) if tilt else (tilt, 0.0)


def _worth(stages: Stages, ac_half_hours: Array) -> PlaneWorth:
    """Take the saving of the first year, and the shares of a year with new modules."""
    years, saving = _home(stages, ac_half_hours, [_first_year(stages), 1.0])
    new = float(years.yield_kwh[1])
    paths = (years.direct_kwh, years.battery_in_kwh, years.cylinder_kwh, years.car_solar_kwh)
    used = float(sum(path[1] for path in paths))
    return PlaneWorth(new, used / new if new > 0 else 0.0, saving)


def _first_year(stages: Stages) -> float:
    return float(ageing(stages.site.finance)[0])


def _home(stages: Stages, ac_half_hours: Array, shares: Sequence[float]) -> tuple[Years, float]:
    """Ask the home and the ledger: energy of each share of the solar, saving of the first."""
    most_kwh = stages.site.inverter_sheet().ac_w * HALF_HOUR_KWH_PER_W
    solar = Solar.under(stages.sky, ac_half_hours, None, most_kwh)
    years = life_flows(solar, stages.home, np.array(shares), stages.steering)
    terms = deal(stages.site)
    today, paths = priced(years, terms.tariff), price_paths(terms)
    bought = (today.bought_without_gbp - today.bought_gbp[0]) * paths.imported[0]
    sold, gas = today.sold_gbp[0] * paths.exported[0], today.gas_saved_gbp[0] * paths.gas[0]
    return years, float(bought + sold + gas)
