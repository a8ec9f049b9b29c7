"""One array's power before it meets a cable: wired as strings, or each module on its own."""

from dataclasses import replace

import numpy as np

from pvkit.electrical.cell import cells_at
from pvkit.electrical.datasheet import named_faults
from pvkit.electrical.inputs import ArrayInputs, Wiring
from pvkit.electrical.power import Alone, ArrayPower, Feed, Wired
from pvkit.electrical.power_table import (
    PowerTable,
    maximum_power,
    power_at_25_degc,
    power_table,
)
from pvkit.electrical.temperature import cell_temperature
from pvkit.electrical.uneven import as_seen, cell_light, mean_light, uneven_half_hours
from pvkit.electrical.uneven_power import UnevenPart, at_most, put
from pvkit.electrical.usable_light import HALF_HOUR_KWH_PER_W, UsableLight, usable_light
from pvkit.errors import InputError
from pvkit.roof.light import Array, IntArray
from pvkit.roof.section_light import SectionLight
from pvkit.sky.year import Sky
from pvkit.tables import constant


def array_power(sky: Sky, inputs: ArrayInputs, wiring: Wiring) -> ArrayPower:
    """Follow one array's light through glass and cells to its terminals.

    Parameters
    ----------
    sky : air and wind of the year
    inputs : the array and its light; evenly lit if it has no ``sections``
    wiring : the inverter's window, optimisers and losses; what its cables are makes no difference

    Raises
    ------
    InputError
        If the module's data sheet contradicts itself; names the array and the key.
    """
    light = usable_light(inputs, wiring.losses)
    temp_cell = _temp_cell(sky, inputs, light, wiring)
    power = _evenly_lit(light, temp_cell, inputs, wiring)
    if inputs.sections is None:
        return power
    sections = as_seen(inputs.sections, wiring.losses.off)
    uneven = uneven_half_hours(light.passing, sections)
    at = np.union1d(uneven, _out_of_window(power.even, wiring))
    if not at.size:
        return power
    return _solved_at(at, power, sections, (inputs, temp_cell[at], wiring))


def _evenly_lit(
    light: UsableLight, temp_cell: Array, inputs: ArrayInputs, wiring: Wiring
) -> ArrayPower:
    """Give the power of modules that all get the array's mean light."""
    weak, made, volts = _modules(inputs, light.effective_irradiance, temp_cell, wiring)
    even = Feed(made * inputs.count, volts * inputs.in_series)
    above = np.maximum(made - wiring.optimiser.max_w, 0.0) * inputs.count
    year_kwh = float(even.watts.sum()) * HALF_HOUR_KWH_PER_W
    alone = Alone(even, above, np.full(inputs.count, year_kwh / inputs.count))
    return ArrayPower(
        light=light,
        weak_w=weak * inputs.count,
        even=even,
        uneven=np.zeros(0, dtype=np.int64),
        find_wired=lambda: Wired(even, even),
        find_alone=lambda: alone,
    )


def _solved_at(
    at: IntArray,
    power: ArrayPower,
    sections: SectionLight,
    of: tuple[ArrayInputs, Array, Wiring],
) -> ArrayPower:
    """Put the full solution in place of even light in the half-hours ``at``.

    What the site has, strings or optimisers, is asked for next and solved while the light on the
    cells is at hand; the other waits until it is asked for.
    """
    inputs, temp_cell, wiring = of
    passing, cells = power.light.passing, cells_at(inputs.module, temp_cell)
    lit = cell_light(passing, sections, at, cells.in_series)
    each_light = mean_light(lit, cells.in_series)
    weak_w, even_w = _by_own_light(each_light, inputs, temp_cell, wiring)
    part = UnevenPart(
        at=at,
        find_light=lambda: cell_light(passing, sections, at, cells.in_series),
        cells=cells,
        strings=inputs.strings,
        window=(wiring.inverter.mppt_min_v, wiring.inverter.mppt_max_v),
        even_w=even_w,
        most_w=wiring.optimiser.max_w,
        evenly=power.alone,
    )
    power = replace(
        power,
        weak_w=put(power.weak_w, at, weak_w),
        even=Feed(put(power.even.watts, at, even_w), power.even.volts),
        uneven=at,
    )
    if inputs.optimisers:
        each = part.alone(lit)
        return replace(
            power, find_alone=lambda: each, find_wired=lambda: at_most(part.wired(), each.feed)
        )
    wired = part.wired(lit)
    return replace(
        power,
        find_wired=lambda: wired,
        find_alone=lambda: part.alone(part.find_light(), wired.string),
    )


def _by_own_light(
    light: Array, inputs: ArrayInputs, temp_cell: Array, wiring: Wiring
) -> tuple[Array, Array]:
    """Give all modules' power with weak light counted, then warmth as well, (u,) [W].

    ``light`` is each module's own, (u, modules) [W m⁻²]. Modules lit differently count for both
    by their own mean light; the uneven light step then holds mismatch alone.
    """
    every = np.repeat(temp_cell, inputs.count)
    weak, even, _ = (
        each.reshape(light.shape).sum(axis=1)
        for each in _modules(inputs, light.ravel(), every, wiring)
    )
    return weak, even


def _out_of_window(even: Feed, wiring: Wiring) -> IntArray:
    """Find the half-hours whose evenly lit strings work outside the tracker's window."""
    inverter = wiring.inverter
    outside = (even.volts < inverter.mppt_min_v) | (even.volts > inverter.mppt_max_v)
    return np.flatnonzero(outside & (even.watts > 0))


def _modules(
    inputs: ArrayInputs, irradiance: Array, temp_cell: Array, wiring: Wiring
) -> tuple[Array, Array, Array]:
    """Give one module's power with weak light counted, then warmth as well [W], and Vmp [V].

    Each of the two is a ratio to the step before it, so either can be left out: weak light is
    P(G, 25 °C) over the rated power's share G/1000, warmth P(G, T) over P(G, 25 °C).
    """
    table, off = _table(inputs), wiring.losses.off
    at_25 = power_at_25_degc(table, irradiance)
    at_temp, volts = maximum_power(table, irradiance, temp_cell)
    if "weak_light" not in off:
        return at_25, at_temp, volts
    weak = irradiance * (inputs.module.pmax_w / constant("stc.irradiance_w_per_m2"))
    ratio = np.divide(at_temp, at_25, out=np.ones_like(at_25), where=at_25 > 0)
    return weak, weak * ratio, volts


def _temp_cell(sky: Sky, inputs: ArrayInputs, light: UsableLight, wiring: Wiring) -> Array:
    """Give one temperature for all cells of the array, by its mean light (d,) [°C].

    A shaded module is cooler than its neighbours, by up to some 20 K in full sun, and a cell in
    reverse hotter; shade moves on within a half-hour, glass and metal spread the heat, and how
    much of it passes between modules no survey tells. Power changes by a third of a per cent per
    kelvin, of those modules alone.
    """
    if "warm_cells" in wiring.losses.off:
        return np.full(light.absorbed.shape, constant("stc.temp_cell_degc"))
    lit = inputs.light.daylight
    return cell_temperature(inputs, light.absorbed, sky.temp_air[lit], sky.wind_speed[lit])


def _table(inputs: ArrayInputs) -> PowerTable:
    try:
        return power_table(inputs.module)
    except InputError as error:
        raise InputError(*named_faults(inputs.name, error)) from error
