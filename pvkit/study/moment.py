"""One half-hour looked at closely: where the sun stands and what the string's curve looks like."""

from dataclasses import dataclass

import numpy as np

from pvkit.electrical.cell import BYPASS_DIODES
from pvkit.electrical.mismatch import StringLayout
from pvkit.electrical.string_curve import StringCurve, string_curve
from pvkit.electrical.temperature import cell_temperature
from pvkit.electrical.uneven import as_seen, cell_light
from pvkit.home.calendar import local_calendar
from pvkit.study.stages import Stages


@dataclass(frozen=True, slots=True, eq=False)
class Moment:
    """One half-hour of the year.

    Parameters
    ----------
    position : in the year
    solar_elevation, solar_azimuth : [deg]
    leaves : trees are in leaf
    curve : of the first array's strings; None while it is dark
    """

    position: int
    solar_elevation: float
    solar_azimuth: float
    leaves: bool
    curve: StringCurve | None


def sunniest_moment(stages: Stages, month: int, hour: int) -> Moment:
    """Look at an hour of the day on the sunniest such day of a month.

    Parameters
    ----------
    stages : a site taken through every stage
    month : 1 to 12
    hour : 0 to 23, local clock; the half-hour that starts then

    Returns
    -------
    the half-hour with the most direct light among that month's
    """
    calendar = local_calendar()
    wanted = np.flatnonzero((calendar.month == month - 1) & (calendar.half_hour == 2 * hour))
    position = int(wanted[np.argmax(stages.sky.dni[wanted])])
    sun, seen = stages.sky.sun, stages.arrays.inputs[0].sections
    day = stages.arrays.inputs[0].light.daylight
    at = int(np.searchsorted(day, position))
    lit = at < len(day) and int(day[at]) == position
    return Moment(
        position=position,
        solar_elevation=90.0 - float(sun.solar_zenith[position]),
        solar_azimuth=float(sun.solar_azimuth[position]),
        leaves=bool(lit and seen is not None and seen.season[at] == 1),
        curve=_curve(stages, at) if lit else None,
    )


def _curve(stages: Stages, at: int) -> StringCurve | None:
    """Trace the first array's strings in one daylight half-hour."""
    inputs, power, wiring = stages.arrays.inputs[0], stages.arrays.powers[0], stages.arrays.wiring
    if inputs.sections is None:
        return None
    place = int(inputs.light.daylight[at])
    in_series = inputs.module.cells_in_series / BYPASS_DIODES
    sections = as_seen(inputs.sections, wiring.losses.off)
    light = cell_light(power.light.passing, sections, np.array([at]), in_series)
    sky = stages.sky
    absorbed = power.light.absorbed[at : at + 1]
    air, wind = sky.temp_air[place : place + 1], sky.wind_speed[place : place + 1]
    temp_cell = float(cell_temperature(inputs, absorbed, air, wind)[0])
    window = (wiring.inverter.mppt_min_v, wiring.inverter.mppt_max_v)
    return string_curve(light, temp_cell, StringLayout(inputs.module, inputs.strings, *window))
