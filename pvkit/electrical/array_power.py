"""One array's power before it meets a cable: wired as strings, or each module on its own."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from pvkit.electrical.cell import BYPASS_DIODES, Cells, cells_at
from pvkit.electrical.datasheet import named_faults
from pvkit.electrical.inputs import ArrayInputs, Wiring
from pvkit.electrical.mismatch import (
    CellLight,
    Find,
    MismatchResult,
    lifted,
    mismatch_of_cells,
)
from pvkit.electrical.power import Alone, ArrayPower, Feed, Wired
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
    wiring : the inverter's window, optimisers and losses; what its cables are makes no difference

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
        uneven=np.zeros(0, dtype=np.int64),
        find_wired=lambda: Wired(even, even),
        find_alone=lambda: alone,
    )
    if inputs.sections is None:
        return power
    sections = as_seen(inputs.sections, wiring.losses.off)
    at = np.union1d(uneven_half_hours(light.passing, sections), _out_of_window(even, wiring))
    if not at.size:
        return power
    in_series = inputs.module.cells_in_series / BYPASS_DIODES
    part = _Part(
        find_light=lambda: cell_light(light.passing, sections, at, in_series),
        cells=cells_at(inputs.module, temp_cell[at]),
        strings=inputs.strings,
        window=(wiring.inverter.mppt_min_v, wiring.inverter.mppt_max_v),
    )
    lit = part.find_light()
    weak_w, even_w = _by_own_light(lit, inputs, temp_cell[at], wiring)

    def wired(lit: CellLight | None = None) -> Wired:
        return _wired(even, at, part.solve("strings", even_w, lit))

    def each(lit: CellLight | None = None, at_least: Feed | None = None) -> Alone:
        solved = part.solve("modules", even_w, lit)
        least_w = None if at_least is None else at_least.watts[at]
        return _alone(alone, at, solved, least_w, wiring.optimiser.max_w)

    power = replace(
        power,
        weak_w=_put(power.weak_w, at, weak_w),
        even=Feed(_put(even.watts, at, even_w), even.volts),
        uneven=at,
    )
    # What the site has is asked for next, while the light is at hand; the other is kept in order.
    if inputs.optimisers:
        modules = each(lit)
        return replace(
            power,
            find_alone=lambda: modules,
            find_wired=lambda: _at_most(wired(), modules.feed),
        )
    strings = wired(lit)
    return replace(
        power, find_wired=lambda: strings, find_alone=lambda: each(at_least=strings.string)
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Part:
    """Half-hours that are solved in full: light on the cells, the cells, and how they are wired."""

    find_light: Callable[[], CellLight]
    cells: Cells
    strings: int
    window: tuple[float, float]

    def solve(self, find: Find, even_w: Array, lit: CellLight | None) -> "_Solved":
        """Solve strings or modules, scaled to the data sheet's power as elsewhere."""
        lit = self.find_light() if lit is None else lit
        found = mismatch_of_cells(lit, self.cells, self.strings, self.window, find=find)
        none = np.zeros_like(even_w)
        scale = np.divide(even_w, found.even_w, out=none, where=found.even_w > 0)
        return _Solved(found, scale, self.strings)


class _Solved(NamedTuple):
    """A solution, (u,) what its power is scaled by, and the strings in parallel."""

    found: MismatchResult
    scale: Array
    strings: int


def _by_own_light(
    lit: CellLight, inputs: ArrayInputs, temp_cell: Array, wiring: Wiring
) -> tuple[Array, Array]:
    """Give all modules' power with weak light counted, then warmth as well, (u,) [W].

    Modules lit differently count for both by their own mean light; the uneven light step then
    holds mismatch alone.
    """
    light = mean_light(lit, inputs.module.cells_in_series / BYPASS_DIODES)
    every = np.repeat(temp_cell, inputs.count)
    weak, even, _ = (
        each.reshape(light.shape).sum(axis=1)
        for each in _modules(inputs, light.ravel(), every, wiring)
    )
    return weak, even


def _wired(even: Feed, at: IntArray, solved: _Solved) -> Wired:
    """Put the strings' power in place of the even one in the half-hours ``at``."""
    found, scale, _ = solved
    return Wired(
        string=_feed(even, at, Feed(found.string_w * scale, found.string_v)),
        local=_feed(even, at, Feed(found.local_w * scale, found.local_v)),
    )


def _at_most(wired: Wired, own: Feed) -> Wired:
    """Take out what the solution's own error puts the strings above the modules' own maxima."""
    string_w = np.minimum(wired.string.watts, own.watts)
    local_w = np.minimum(wired.local.watts, string_w)
    return Wired(Feed(string_w, wired.string.volts), Feed(local_w, wired.local.volts))


def _alone(
    even: Alone, at: IntArray, solved: _Solved, least_w: Array | None, most_w: float
) -> Alone:
    """Put each module's own in place of the even one in the half-hours ``at``.

    All together are at least ``least_w``: the search may end a hair below what strings give.
    """
    found, scale, strings = solved
    feed, each_w = even.feed, found.module_w * scale[:, None]
    if least_w is not None:
        each_w = each_w * lifted(each_w.sum(axis=1), least_w)[:, None]
    string_a = found.module_a.reshape(len(at), strings, -1)
    amps = strings * np.sqrt((string_a.max(axis=2) ** 2).mean(axis=1))
    made = found.module_w.sum(axis=1)
    volts = np.divide(made, amps, out=np.ones_like(made), where=amps > 0)
    rest_w = (feed.watts.sum() - feed.watts[at].sum()) / each_w.shape[1]
    above = np.maximum(each_w - most_w, 0.0).sum(axis=1)
    return Alone(
        feed=_feed(feed, at, Feed(each_w.sum(axis=1), volts)),
        above_w=_put(even.above_w, at, above),
        module_kwh=(each_w.sum(axis=0) + rest_w) * HALF_HOUR_KWH_PER_W,
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
