"""What no weather can be: readings out of any range, light at night, a clock that is wrong."""

from dataclasses import dataclass

import numpy as np

from pvkit.errors import Fault
from pvkit.sky.rows import AIR, LIGHT, Rows, listed, slots
from pvkit.sky.sun import Array, BoolArray, Sun, above
from pvkit.tables import constant

FURTHEST_HALF_HOURS = 24


@dataclass(frozen=True, slots=True, eq=False)
class FileSun:
    """The sun over the steps of a file's year, on the file's clock.

    Parameters
    ----------
    highest_deg : (steps,) smallest zenith angle at a half-hour's middle within the step
    outside : (half-hours,) light above the air on level ground [W m⁻²]
    """

    highest_deg: Array
    outside: Array

    @property
    def dark(self) -> BoolArray:
        """True where the sun is down all through the step."""
        return np.asarray(self.highest_deg > 90.0)


def file_sun(sun: Sun, rows: Rows) -> FileSun:
    """Turn the sun's year to a file's clock."""
    shift = rows.shift
    return FileSun(
        highest_deg=np.roll(sun.solar_zenith.reshape(-1, rows.halves).min(axis=1), shift),
        outside=np.roll(above(sun, 1).horizontal, shift * rows.halves),
    )


def range_faults(rows: Rows, sun: FileSun) -> list[Fault]:
    """Report every value that no air or light ever has.

    A pyranometer's small negative reading in the dark is let through (and later taken as zero).
    """
    dark = sun.dark[slots(rows)]
    highest = constant("weather.highest_w_per_m2")
    offset = np.where(dark, constant("weather.zero_offset_w_per_m2"), 0.0)
    zero = np.zeros(len(dark))
    light = "check the column, and its unit: watts per square metre, mean of the hour"
    faults: list[Fault] = []
    for name in LIGHT:
        faults += _outside(rows, name, offset, highest, (f"0 to {highest:g} W/m2", light))
    coldest, hottest = constant("weather.coldest_degc"), constant("weather.hottest_degc")
    degrees = (f"{coldest:g} to {hottest:g} degC", "check the column, and its unit: Celsius")
    faults += _outside(rows, AIR[0], zero + coldest, hottest, degrees)
    windiest = constant("weather.windiest_m_per_s")
    wind = (f"0 to {windiest:g} m/s", "check the column, and its unit: metres per second")
    return faults + _outside(rows, AIR[1], zero, windiest, wind)


def night_faults(rows: Rows, sun: FileSun) -> list[Fault]:
    """Report light in steps all of which lie beyond civil twilight."""
    below = sun.highest_deg[slots(rows)] - 90.0
    night = below > constant("weather.night_zenith_deg") - 90.0
    columns = [name for name in LIGHT if name in rows.table]
    brightest = rows.table[columns].max(axis=1).to_numpy()
    lit = np.flatnonzero(night & (brightest > constant("weather.night_w_per_m2")))
    return listed(
        [
            Fault(
                rows.at(int(row)),
                f"found {brightest[row]:g} W/m2 of light with the sun"
                f" {below[row]:.0f} deg below the horizon",
                f"up to {constant('weather.night_w_per_m2'):g} W/m2 at night",
                rows.clock_advice,
            )
            for row in lit
        ]
    )


def clock_minutes(ghi: Array, sun: FileSun) -> float:
    """Measure how late the light comes against the sun, over the year [min].

    The shift at which light and the sun's light above the air agree best, found among half-hours
    and refined by the parabola through the best three.

    Parameters
    ----------
    ghi : (steps,) light on level ground, missing counted as none
    sun : the sun on the same clock
    """
    light = np.repeat(np.nan_to_num(ghi), len(sun.outside) // len(ghi))
    tried = np.arange(-FURTHEST_HALF_HOURS, FURTHEST_HALF_HOURS + 1)
    match = np.array([light @ np.roll(sun.outside, shift) for shift in tried])
    best = int(match[1:-1].argmax()) + 1
    before, top, after = match[best - 1 : best + 2]
    curve = before - 2.0 * top + after
    bend = 0.0 if curve == 0.0 else 0.5 * (before - after) / curve
    return float(30.0 * (tried[best] + bend))


def clock_faults(rows: Rows, minutes: float) -> list[Fault]:
    """Report a clock that is clearly wrong."""
    if abs(minutes) <= constant("weather.clock_fault_minutes"):
        return []
    return [
        Fault(
            rows.file,
            f"found light {abs(minutes):.0f} minutes too {_when(minutes)} against the sun, over"
            " the whole year",
            "light and sun together: the file's clock and place right",
            rows.clock_advice,
        )
    ]


def clock_note(rows: Rows, minutes: float) -> tuple[str, ...]:
    """Mention a clock that may be wrong."""
    if abs(minutes) <= constant("weather.clock_note_minutes"):
        return ()
    return (
        f"{rows.file}: its light comes about {abs(minutes):.0f} minutes {_when(minutes)} against"
        f" the sun: {rows.clock_advice}",
    )


def no_light_fault(rows: Rows) -> list[Fault]:
    """Report a year without any light."""
    if (rows.table["ghi"] > constant("weather.night_w_per_m2")).any():
        return []
    return [
        Fault(
            rows.file,
            "found no light in the whole year",
            "ghi in watts per square metre",
            "check the column ghi, and its unit",
        )
    ]


def _when(minutes: float) -> str:
    return "late" if minutes > 0 else "early"


def _outside(rows: Rows, name: str, low: Array, high: float, words: tuple[str, str]) -> list[Fault]:
    if name not in rows.table:
        return []
    value = rows.table[name].to_numpy()
    wrong = np.flatnonzero((value < low) | (value > high))
    return listed(
        [Fault(rows.at(int(row)), f"found {name} {value[row]:g}", *words) for row in wrong]
    )
