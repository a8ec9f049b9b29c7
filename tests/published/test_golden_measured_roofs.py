"""Roofs that were measured, at Golden, Colorado (39.74 N, 1,800 m): readings carried by a package.

``data/make.py`` cut the tables out of the package; neither roof is British or a house's. Only one
number is fitted, the size of the east roof, so its months and its plane are held against ours.
"""

from functools import cache
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pandas as pd
import pvlib
import pytest

from pvkit.electrical.inputs import ArrayInputs
from pvkit.electrical.power_table import maximum_power, power_table
from pvkit.electrical.temperature import cell_temperature
from pvkit.roof.light import Light, Plane, plane_light
from pvkit.roof.perez import sky_split
from pvkit.site.parts import module_sheet
from pvkit.sky.diffuse import split_global
from pvkit.sky.record import Sky
from pvkit.sky.sun import Sun, above
from pvkit.study.estimate import Estimate

DATA = Path(__file__).parent / "data"
# Source: pvanalytics 0.2.2, examples: tilt 45, azimuth 158 of the roof of the first file.
EAST = "pvanalytics 0.2.2; serf_east_15min_ac_power.csv, July to September 2016"
RATIO = "pvanalytics 0.2.2; documented example of the performance ratio"
KW = 204.12
ROOF = "pvanalytics 0.2.2; nrel_RSF_II.csv, 2 to 5 January 2022"
PLACE = (39.742, -105.1727, 1830.0)
TILT, AZIMUTH = 45.0, 158.0
BREEZE_M_PER_S = 2.0  # the file has no wind; its effect is nearly one of size, which is fitted
LEAST_LIGHT = 50.0
SHEET = module_sheet("half-cut-430")


def mounted(mounting, terrain):
    none = Light(np.zeros(0, dtype=np.int64), *(np.zeros(0),) * 6)
    return ArrayInputs("a", none, SHEET, 1, 1, mounting, False, TILT, 10.0, terrain)


@cache
def east():
    """The measured half-hours, and our sky made from light on the level alone."""
    table = pd.read_csv(DATA / "golden_east_2016.csv", comment="#", parse_dates=["start_utc"])
    times = pd.DatetimeIndex(table["start_utc"]).tz_localize("UTC")
    middles = times + pd.Timedelta(minutes=15)
    position = pvlib.solarposition.get_solarposition(middles, *PLACE)
    sun = Sun(
        times,
        position["apparent_zenith"].to_numpy(),
        position["azimuth"].to_numpy(),
        np.asarray(pvlib.irradiance.get_extra_radiation(middles.day_of_year.to_numpy())),
    )
    ghi = table["ghi"].to_numpy()
    dni, dhi = split_global(ghi, above(sun, 1))
    wind = np.full(len(ghi), BREEZE_M_PER_S)
    sky = Sky(sun, ghi, dni, dhi, table["temp_air"].to_numpy(), wind, "", ())
    return table, sky, sky_split(sky)


def power_on(tilt, azimuth):
    """Give our d.c. power on a plane, one module's, in every half-hour of the file."""
    table, sky, split = east()
    light = plane_light(split, Plane(tilt, azimuth, 0.2))
    whole = light.direct + light.sky + light.ground
    lit = light.daylight
    warm = cell_temperature(
        mounted("ballasted", "country"), whole, sky.temp_air[lit], sky.wind_speed[lit]
    )
    power = np.zeros(len(table))
    power[lit], _ = maximum_power(power_table(SHEET), np.maximum(whole, 1e-3), warm)
    return power


def test_the_measured_power_tells_the_roofs_plane(published):
    table, _, _ = east()
    clear = (table["cloudless"] == 1).to_numpy() & (table["ghi"] > LEAST_LIGHT).to_numpy()
    measured = table["ac"].to_numpy()[clear]

    def misfit(plane):
        ours = power_on(*plane)[clear]
        return float(np.sum((measured - ours * (ours @ measured) / (ours @ ours)) ** 2))

    planes = [(float(t), float(a)) for t in range(33, 58, 2) for a in range(146, 176, 2)]
    tilt, azimuth = min(planes, key=misfit)
    published("tilt at which our cloudless days fit the power best", EAST, tilt, TILT, "deg",
              "measured", 4.0)  # fmt: skip
    published("azimuth at which our cloudless days fit the power best", EAST, azimuth, AZIMUTH,
              "deg", "measured", 6.0)  # fmt: skip


def test_one_size_fits_three_months_of_measured_energy(published):
    table, _, _ = east()
    local = table["start_utc"] - pd.Timedelta(hours=7)
    whole = local.dt.month.isin((7, 8, 9)).to_numpy()
    month = local.dt.month.to_numpy()[whole]
    measured = table["ac"].to_numpy()[whole]
    ours = power_on(TILT, AZIMUTH)[whole]
    ours = ours * measured.sum() / ours.sum()
    months = [(ours[month == m].sum(), measured[month == m].sum()) for m in (7, 8, 9)]
    shares = [100 * mine / theirs for mine, theirs in months]
    published("a month's energy, one size for three months", EAST, shares, 100.0,
              "% of measured", "measured", 1.5)  # fmt: skip


# Modules over a metal roof, wind over the roof 4.6 m/s on average, some snow about. Ours are 4.5 K
# cooler: the pyranometer that is read here shows a fifth less light than the reference cell beside
# it, and a wind measured above a roof is stronger than the one among the modules, where Faiman's
# equation wants it.
def test_modules_on_a_roof_are_as_warm_as_measured(published):
    table = pd.read_csv(DATA / "golden_roof_2022.csv", comment="#")
    light, air, wind, measured = (
        table[name].to_numpy() for name in ("poa_global", "temp_air", "wind_speed", "temp_cell")
    )
    days = pd.to_datetime(table["start"]).dt.day.to_numpy() < 6
    ours = cell_temperature(mounted("on-roof", "town"), light, air, wind)
    rises = [
        float(((warm - air) * light)[days].sum() / light[days].sum()) for warm in (ours, measured)
    ]
    published("modules' warmth above the air, weighted by light", ROOF, *rises, "K", "measured",
              6.0)  # fmt: skip


# Source: the package's documented example, 0.5851959 for one inverter over five days, off on the
# last. For one whole period its correction for temperature cancels out, so that it is the plain
# ratio of IEC 61724-1, as an estimate gives it.
def test_the_performance_ratio_of_the_measured_days_is_the_published_one(published):
    table = pd.read_csv(DATA / "golden_roof_2022.csv", comment="#")
    made_kwh, light = table["inverter_kw"].sum() / 4, table["poa_global"].sum() / 4000
    measured = SimpleNamespace(specific_yield_kwh_per_kwp=made_kwh / KW, poa_kwh_per_m2=light)
    published("performance ratio of five measured days", RATIO,
              Estimate.performance_ratio.fget(measured), 0.5851959, "", "published",
              2e-6)  # fmt: skip


@pytest.mark.parametrize("azimuth", [100.0, 215.0])
def test_a_wrong_plane_fits_far_worse(azimuth):
    table, _, _ = east()
    measured = table["ac"].to_numpy()
    fits = [
        np.corrcoef(power_on(TILT, facing), measured)[0, 1] ** 2 for facing in (AZIMUTH, azimuth)
    ]
    assert fits[0] > fits[1] + 0.1
