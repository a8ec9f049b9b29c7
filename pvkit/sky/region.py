"""The built-in year: hours of light and air made from a region's published monthly means."""

import difflib
from functools import cache

import numpy as np

from pvkit.errors import Fault, InputError
from pvkit.site.place import Place
from pvkit.sky.clearness import clear_sky
from pvkit.sky.day_profile import hours_of_days
from pvkit.sky.diffuse import split_global
from pvkit.sky.distance import great_circle_km
from pvkit.sky.half_hours import half_hourly
from pvkit.sky.month_days import Days, days_of_months, smooth_days
from pvkit.sky.record import Readings, Sky, sky_of
from pvkit.sky.sun import Array, IntArray, Sun, above, cos_zenith, steps
from pvkit.tables import MONTHS, constant, rows

LIGHT = "sap_u3_irradiance_w_per_m2.csv"
TEMPERATURE = "sap_u1_temperature_degc.csv"
WIND = "sap_u2_wind_m_per_s.csv"
# Erbs, Klein & Beckman (1983), ASHRAE Journal 25(6), 60-65, from memory: shape of a mean day's
# temperature, sum of a cos(k t - b), t the hour angle from midnight; about 1 from low to high.
DAY_SHAPE = ((0.4632, 3.805), (0.0984, 0.360), (0.0168, 0.822), (0.0138, 3.513))
NOTES = (
    "The built-in year is a mean year made from published monthly means: no frosts, storms or"
    " heatwaves out of the ordinary.",
    "The published means are of an older, duller period: Met Office readings at Bedford, 2000 to"
    " 2022, give 3 to 10 % more light than the means of the regions around it.",
)


def region_number(place: Place) -> int:
    """Find the region of a place: the one it names, or else the nearest.

    Parameters
    ----------
    place : its ``region`` may be a number, a short name or a name of SAP Appendix U

    Returns
    -------
    region number, 1 to 21

    Raises
    ------
    InputError
        If there is no region of that name, or the place is far from all of them.

    Examples
    --------
    >>> region_number(Place(name="a", latitude=51.5, longitude=-0.1, region="midlands"))
    6
    >>> region_number(Place(name="a", latitude=51.5, longitude=-0.1))
    1
    """
    return _nearest(place) if place.region is None else _named(place.region)


def region_year(sun: Sun, region: int, *, brightness: float = 1.0) -> Sky:
    """Make a year of light and air from a region's monthly means.

    Light on level ground adds up to each month's published total, air temperature and wind to
    its published mean. Days, clouds and their order are drawn at random from a fixed start, the
    same for every region. Hours are UTC; the place's longitude moves the sun, not the clock.

    Parameters
    ----------
    sun : the sun over the place
    region : number of SAP Appendix U, 1 to 21
    brightness : every month's light over its published mean, for a brighter or duller year

    Source
    ------
    SAP 2012 Appendix U, Tables U1 to U3; days of Bendt et al. (1981), hours of Liu & Jordan (1960)
    and Aguiar & Collares-Pereira (1992), share of the sky's light of Erbs et al. (1982).
    Known weakness: temperature swings with each day's brightness but knows no warm or cold
    spells, and wind is the month's mean in every hour.
    """
    month = np.asarray(sun.times.month, np.int64)[::48] - 1
    days, ghi = _light(sun, monthly_means(LIGHT, region) * brightness, month)
    dni, dhi = split_global(ghi, above(sun, 2))
    hours = Readings(
        ghi=ghi,
        dni=dni,
        dhi=dhi,
        temp_air=_temperature(region, month, days.clearness),
        wind_speed=np.repeat(smooth_days(monthly_means(WIND, region), month), 24),
    )
    name = next(row["short_name"] for row in rows("regions.csv") if int(row["region"]) == region)
    label = f"region {region}, {name}: built-in year from published monthly means"
    return sky_of(sun, half_hourly(sun, hours), label, NOTES)


def monthly_means(file: str, region: int) -> Array:
    """Read one region's twelve monthly means from a table of SAP Appendix U."""
    row = next(row for row in rows(file) if int(row["region"]) == region)
    return np.array([float(row[month]) for month in MONTHS])


def _light(sun: Sun, means: Array, month: IntArray) -> tuple[Days, Array]:
    """Give the days, and the light on level ground of every hour [W m⁻²], from monthly means."""
    offer = above(sun, 2)
    hourly = (-1, 24)
    outside = offer.horizontal.reshape(hourly)
    clear = steps(clear_sky(cos_zenith(sun)), 2).reshape(hourly)
    sine = np.divide(
        offer.cos_zenith, offer.up_fraction, out=np.zeros(8760), where=offer.up_fraction > 0.0
    ).reshape(hourly)
    totals = means * np.bincount(month) * 24.0
    days = days_of_months(totals, month, outside.sum(axis=1), clear.sum(axis=1))
    share = hours_of_days(days, outside, clear, sine)
    return days, (share * outside).ravel()


def _temperature(region: int, month: IntArray, clearness: Array) -> Array:
    """Give hourly air temperature: the months' means, and a swing that grows with brightness."""
    turn = 2.0 * np.pi * (np.arange(24) + 0.5) / 24.0
    shape = sum(a * np.cos(k * turn - b) for k, (a, b) in enumerate(DAY_SHAPE, start=1))
    swing = constant("region.swing_degc") * clearness
    mean = smooth_days(monthly_means(TEMPERATURE, region), month)
    return np.asarray(mean[:, None] + swing[:, None] * shape).ravel()


@cache
def _names() -> dict[str, int]:
    """Give every name a region goes by, in small letters."""
    names = {row["region"]: int(row["region"]) for row in rows("regions.csv")}
    for row in rows(LIGHT)[1:]:
        whole = row["name"].lower()
        names |= dict.fromkeys([whole, *whole.split(" / ")], int(row["region"]))
    return names | {row["short_name"].lower(): int(row["region"]) for row in rows("regions.csv")}


def _named(region: str) -> int:
    names = _names()
    asked = " ".join(region.lower().split())
    if asked in names:
        return names[asked]
    near = difflib.get_close_matches(asked, names, n=3, cutoff=0.5)
    shown = " or ".join(f"'{_short_name(names[name])}'" for name in near)
    raise InputError(
        Fault(
            "site.region",
            f"found '{region}'",
            "; ".join(f"{row['region']} {row['short_name']}" for row in rows("regions.csv")),
            f"did you mean {shown}" if near else "leave this out for the nearest region",
        )
    )


def _short_name(region: int) -> str:
    return next(row["short_name"] for row in rows("regions.csv") if int(row["region"]) == region)


def _nearest(place: Place) -> int:
    latitude = {int(row["region"]): float(row["latitude_deg"]) for row in rows(LIGHT)}
    away = {
        int(row["region"]): great_circle_km(
            (place.latitude, place.longitude),
            (latitude[int(row["region"])], float(row["longitude_deg"])),
        )
        for row in rows("regions.csv")
    }
    nearest = min(away, key=lambda region: away[region])
    if away[nearest] <= constant("region.farthest_km"):
        return nearest
    raise InputError(
        Fault(
            "site.latitude, site.longitude",
            f"found {place.latitude:g}, {place.longitude:g}, which is {away[nearest]:,.0f} km from"
            f" the middle of the nearest region, {_short_name(nearest)}",
            "a place in the United Kingdom: the built-in light covers no other",
            "check that latitude and longitude are not swapped, and that a longitude west of"
            " Greenwich is negative; for another country bring a weather file",
        )
    )
