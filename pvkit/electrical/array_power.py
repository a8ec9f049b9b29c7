"""One array's power before it meets a cable: wired as strings, or each module on its own."""

from dataclasses import dataclass, replace

import numpy as np

from pvkit.electrical.cell import BYPASS_DIODES, cells_at
from pvkit.electrical.datasheet import named_faults
from pvkit.electrical.inputs import ArrayInputs, Wiring
from pvkit.electrical.mismatch import CellLight, mismatch_of_cells
from pvkit.electrical.power import Alone, ArrayPower, Feed
from pvkit.electrical.power_table import (
    PowerTable,
    maximum_power,
    power_at_25_degc,
    power_table,
)
from pvkit.electrical.temperature import cell_temperature
from pvkit.electrical.uneven import as_seen, cell_light, mean_light, uneven_half_hours
from pvkit.electrical.usable_light import HALF_HOUR_KWH_PER_W, UsableLight, usable_light
from pvkit.errors import InputError
from pvkit.roof.light import Array, IntArray
from pvkit.sky.year import Sky
from pvkit.tables import constant


def array_power(sky: Sky, inputs: ArrayInputs, wiring: Wiring) -> ArrayPower:
    """Follow one array's light through glass and cells to its terminals.

    Parameters
    ----------
    sky : air and wind of the year
    inputs : the array and its light; evenly lit if it has no ``sections``
    wiring : the inverter's window, optimisers and losses; whether the array has optimisers and
        what its cables are makes no difference

    Raises
    ------
    InputError
        If the module's data sheet contradicts itself; names the array and the key.
    """
    light = usable_light(inputs, wiring.losses)
    temp_cell = _temp_cell(sky, inputs, light, wiring)
    weak, made, volts = _modules(inputs, light.effective_irradiance, temp_cell, wiring)
    even = Feed(made * inputs.count, volts * inputs.in_series)
    above = np.maximum(made - wiring.optimiser.max_w, 0.0) * inputs.count
    year_kwh = float(even.watts.sum()) * HALF_HOUR_KWH_PER_W
    alone = Alone(even, above, np.full(inputs.count, year_kwh / inputs.count))
    power = ArrayPower(
        light=light,
        weak_w=weak * inputs.count,
        even=even,
        string=even,
        local=even,
        uneven=np.zeros(0, dtype=np.int64),
        find_alone=lambda: alone,
    )
    if inputs.sections is None:
        return power
    sections = as_seen(inputs.sections, wiring.losses.off)
    at = np.union1d(uneven_half_hours(light.passing, sections), _out_of_window(even, wiring))
    if not at.size:
        return power
    in_series = inputs.module.cells_in_series / BYPASS_DIODES

    def solved(own: bool) -> _Solved:
        lit = cell_light(light.passing, sections, at, in_series)
        return _solved(lit, inputs, temp_cell[at], wiring, own=own)

    found = solved(inputs.optimisers)
    return replace(
        power,
        weak_w=_put(power.weak_w, at, found.weak_w),
        even=Feed(_put(even.watts, at, found.even_w), even.volts),
        string=_feed(even, at, found.string),
        local=_feed(even, at, found.local),
        uneven=at,
        find_alone=lambda: _alone(
            alone, at, found if inputs.optimisers else solved(True), wiring.optimiser.max_w
        ),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Solved:
    """Half-hours solved in full: as :class:`ArrayPower`, and (u, modules) each module's own."""

    weak_w: Array
    even_w: Array
    string: Feed
    local: Feed
    each_w: Array
    own_v: Array


def _solved(
    lit: CellLight, inputs: ArrayInputs, temp_cell: Array, wiring: Wiring, *, own: bool
) -> _Solved:
    """Solve unevenly lit half-hours; without ``own``, each module's own is left empty.

    The solution's shares of evenly lit modules are taken, so that the power is scaled to the data
    sheet's as elsewhere. Modules lit differently count for weak light and warmth by their own
    light; the uneven light step then holds mismatch alone.
    """
    window = (wiring.inverter.mppt_min_v, wiring.inverter.mppt_max_v)
    cells = cells_at(inputs.module, temp_cell)
    found = mismatch_of_cells(lit, cells, inputs.strings, window, own=own)
    light = mean_light(lit, cells.in_series)
    every = np.repeat(temp_cell, inputs.count)
    weak, even, _ = (
        each.reshape(light.shape).sum(axis=1)
        for each in _modules(inputs, light.ravel(), every, wiring)
    )
    scale = np.divide(even, found.even_w, out=np.zeros_like(even), where=found.even_w > 0)
    string_a = found.module_a.reshape(-1, inputs.strings, inputs.count // inputs.strings)
    amps = inputs.strings * np.sqrt((string_a.max(axis=2) ** 2).mean(axis=1))
    alone = found.module_w.sum(axis=1)
    return _Solved(
        weak_w=weak,
        even_w=even,
        string=Feed(found.string_w * scale, found.string_v),
        local=Feed(found.local_w * scale, found.local_v),
        each_w=found.module_w * scale[: len(alone), None],
        own_v=np.divide(alone, amps, out=np.ones_like(alone), where=amps > 0),
    )


def _alone(even: Alone, at: IntArray, solved: _Solved, most_w: float) -> Alone:
    """Put each module's own in place of the even one in the half-hours ``at``."""
    feed, modules = even.feed, solved.each_w.shape[1]
    rest_w = (feed.watts.sum() - feed.watts[at].sum()) / modules
    above = np.maximum(solved.each_w - most_w, 0.0).sum(axis=1)
    return Alone(
        feed=_feed(feed, at, Feed(solved.each_w.sum(axis=1), solved.own_v)),
        above_w=_put(even.above_w, at, above),
        module_kwh=(solved.each_w.sum(axis=0) + rest_w) * HALF_HOUR_KWH_PER_W,
    )


def _feed(even: Feed, at: IntArray, solved: Feed) -> Feed:
    return Feed(_put(even.watts, at, solved.watts), _put(even.volts, at, solved.volts))


def _put(year: Array, at: IntArray, values: Array) -> Array:
    changed = year.copy()
    changed[at] = values
    return changed


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
