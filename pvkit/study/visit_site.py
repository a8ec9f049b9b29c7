"""What a visit needs of a site's estimate: energy day by day, and how it answers to more light."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.electrical.inputs import ArrayInputs
from pvkit.electrical.system import Output, system_output
from pvkit.electrical.usable_light import HALF_HOUR_KWH_PER_W
from pvkit.errors import InputError
from pvkit.home.calendar import local_calendar
from pvkit.site.place import Weather
from pvkit.site.survey import Site
from pvkit.sky.month_days import smooth_days
from pvkit.sky.region import region_number, region_year
from pvkit.sky.sun import HALF_HOURS, HALF_HOURS_A_DAY, Sun, sun_year
from pvkit.sky.year import Sky, sky_year
from pvkit.study.arrays import Arrays, site_arrays
from pvkit.study.stages import file_state
from pvkit.study.store import Store
from pvkit.tables import constant

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the system that may fail by itself, and its share of the energy."""

    name: str
    share: float


@dataclass(frozen=True, slots=True, eq=False)
class SiteYear:
    """A year of the site with new modules, as a visit reads it.

    Parameters
    ----------
    kwp : rated power
    day_kwh : (365,) metered energy of each local day
    day_poa : (365,) light on the planes [kWh/m²], weighted by rated power
    day_ghi : (365,) light on level ground [kWh/m²]
    energy_power, poa_power : (12,) the month's energy, and light on the planes, grow with the
        month's light on level ground to this power
    day_spread : (12,) standard deviation of a day's energy about the month's run, as a share
    parts : strings, arrays or panels, the largest first
    dark : (n,) half-hours in which it makes nothing
    of_the_period : the light is what there really was, day by day
    regional : the light is that of the published regional means
    label : where the light is from
    notes : what the reader should know
    """

    kwp: float
    day_kwh: Array
    day_poa: Array
    day_ghi: Array
    energy_power: Array
    poa_power: Array
    day_spread: Array
    parts: tuple[Part, ...]
    dark: NDArray[np.bool_]
    of_the_period: bool
    regional: bool
    label: str
    notes: tuple[str, ...]


def site_year(site: Site, store: Store, weather: Weather | None = None) -> SiteYear:
    """Take the site through a year, and through a brighter and a duller one.

    Parameters
    ----------
    site : a checked survey
    store : remembered results
    weather : a file of the light there really was; without one the site's own source

    Raises
    ------
    InputError
        If the weather cannot be used.
    """
    own = site if weather is None else site.model_copy(update={"weather": weather})
    sky = _sky(own, store)
    arrays = site_arrays(
        own, sky, ("visit", own.site, own.weather, file_state(own.weather.file)), store
    )
    output = system_output(sky, arrays.inputs, arrays.wiring, arrays.powers)
    days = _days(sky, arrays, output)
    month = reference_month()
    real = weather is not None
    spread = np.array([_spread(days[0], month, number) for number in range(12)])
    powers, notes = _powers(site, sky, store)
    return SiteYear(
        kwp=site.kwp(),
        day_kwh=days[0] if real else _smooth(days[0], month),
        day_poa=days[1] if real else _smooth(days[1], month),
        day_ghi=days[2] if real else _smooth(days[2], month),
        energy_power=powers[0],
        poa_power=powers[1],
        day_spread=spread,
        parts=_parts(arrays, output),
        dark=np.asarray(output.ac_kwh <= 0.0),
        of_the_period=real,
        regional=own.weather.source == "region",
        label=sky.label,
        notes=notes,
    )


def _sky(site: Site, store: Store) -> Sky:
    place = site.site
    position = (place.latitude, place.longitude, place.altitude_m)
    sun: Sun = store.get("sun", position, lambda: sun_year(*position))
    return sky_year(sun, place, site.weather)


def reference_month() -> IntArray:
    """Give the month, 0 to 11, of each day of the reference year."""
    start = np.datetime64(f"{int(constant('calendar.year'))}-01-01", "D")
    months = (start + np.arange(365)).astype("datetime64[M]").astype(np.int64)
    return np.asarray(months - months[0])


def _days(sky: Sky, arrays: Arrays, output: Output) -> tuple[Array, Array, Array]:
    """Sum energy, light on the planes and light on level ground over local days."""
    day = local_calendar().day
    light = _poa(arrays.inputs)
    return (
        _sums(day, output.ac_kwh),
        _sums(day, light * HALF_HOUR_KWH_PER_W),
        _sums(day, sky.ghi * HALF_HOUR_KWH_PER_W),
    )


def _sums(place: IntArray, what: Array) -> Array:
    return np.bincount(place, what).astype(np.float64)


def _poa(arrays: tuple[ArrayInputs, ...]) -> Array:
    """Give the light on the planes before any shade [W m⁻²], weighted by rated power."""
    total = np.zeros(HALF_HOURS)
    for inputs in arrays:
        light = inputs.light
        total[light.daylight] += inputs.kwp * (light.direct_open + light.sky_open + light.ground)
    return total / sum(inputs.kwp for inputs in arrays)


def _smooth(days: Array, month: IntArray) -> Array:
    """Take the drawn days' ups and downs out: nobody knows which day of a month was bright."""
    return smooth_days(_sums(month, days) / np.bincount(month), month)


def _spread(days: Array, month: IntArray, number: int) -> float:
    own = days[month == number]
    return float(own.std() / own.mean()) if own.mean() > 0.0 else 0.0


def _powers(site: Site, sky: Sky, store: Store) -> tuple[tuple[Array, Array], tuple[str, ...]]:
    """Measure how a month's energy and light on the planes grow with its light on level ground.

    A bright month has more of its light straight from the sun, which a tilted plane faces: its
    energy grows faster than the light on level ground, in winter by half as much again.
    """
    try:
        region = region_number(site.site)
    except InputError:
        note = "No regional light here: energy is taken to grow in step with the given light."
        return (np.ones(12), np.ones(12)), (note,)
    step = constant("visit.brightness_step")
    month = reference_month()
    sums = []
    for brightness in (1.0 - step, 1.0 + step):
        key = ("visit", site.site, region, brightness)
        other = region_year(sky.sun, region, brightness=brightness)
        arrays = site_arrays(site, other, key, store)
        output = system_output(other, arrays.inputs, arrays.wiring, arrays.powers)
        sums.append([_sums(month, days) for days in _days(other, arrays, output)])
    (dull_kwh, dull_poa, dull), (bright_kwh, bright_poa, bright) = sums
    return (
        _power(dull_kwh, bright_kwh, dull, bright),
        _power(dull_poa, bright_poa, dull, bright),
    ), ()


def _power(dull: Array, bright: Array, dull_light: Array, bright_light: Array) -> Array:
    """Give p of ``energy ∝ light^p``; 1 for a month that makes nothing."""
    makes = dull > 0.0
    ratio = np.divide(bright, dull, out=np.ones(12), where=makes)
    return np.where(makes, np.log(ratio) / np.log(bright_light / dull_light), 1.0)


def _parts(arrays: Arrays, output: Output) -> tuple[Part, ...]:
    """List what may fail by itself, from whole arrays to single panels."""
    energy = [float(power.module_kwh.sum()) for power in output.powers]
    found: list[Part] = []
    for inputs, own in zip(arrays.inputs, energy, strict=True):
        share = own / sum(energy)
        if len(energy) > 1:
            found.append(Part(f"the whole array '{inputs.name}'", share))
        if inputs.strings > 1:
            found.append(Part(f"one string of '{inputs.name}'", share / inputs.strings))
        if inputs.count > inputs.strings:
            found.append(Part(f"one panel of '{inputs.name}'", share / inputs.count))
    return tuple(sorted(found, key=lambda part: -part.share))


def half_hour_of_year(starts: NDArray[np.datetime64]) -> IntArray:
    """Give each UTC time's half-hour of the reference year; 29 February counts as the 28th."""
    day = starts.astype("datetime64[D]")
    within = (starts - day).astype("timedelta64[m]").astype(np.int64) // 30
    return np.asarray(day_of_year(day) * HALF_HOURS_A_DAY + within)


def day_of_year(days: NDArray[np.datetime64]) -> IntArray:
    """Give each day's place in the reference year; 29 February counts as the 28th."""
    month = days.astype("datetime64[M]")
    of_month = (days - month.astype("datetime64[D]")).astype(np.int64)
    of_year = month.astype(np.int64) % 12
    lengths = np.bincount(reference_month())
    starts = np.concatenate([[0], np.cumsum(lengths)[:-1]])
    return np.asarray(starts[of_year] + np.minimum(of_month, lengths[of_year] - 1))
