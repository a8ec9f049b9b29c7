"""What unevenly lit modules give, as strings and each on its own."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from pvkit.electrical.cell import Cells, cells_at
from pvkit.roof.light import Array
from pvkit.roof.threads import in_parts
from pvkit.site.kit import ModuleSheet
from pvkit.tables import constant

if TYPE_CHECKING:
    from pvkit.electrical.array_kernel import Lit
    from pvkit.electrical.cell_kernel import Cell
    from pvkit.electrical.mismatch_kernel import Powers


Find = Literal["both", "strings", "modules"]


@dataclass(frozen=True, slots=True, eq=False)
class CellLight:
    """Light on the cells of each section, in two groups, over unevenly lit half-hours.

    Parameters
    ----------
    full, shaded : (u, modules, sections) on the open and on the shaded cells [W m⁻²]
    number : (u, modules, sections) shaded cells of those in series, 0 to all; need not be whole
    """

    full: Array
    shaded: Array
    number: Array


@dataclass(frozen=True, slots=True)
class StringLayout:
    """How like modules are wired to one tracker.

    Parameters
    ----------
    module : data sheet; half-cut modules have 6 sections (third x 2 + half), plain ones 3
    strings : in parallel, of consecutive modules, equally long
    mppt_min_v, mppt_max_v : voltages between which the tracker works [V]
    """

    module: ModuleSheet
    strings: int
    mppt_min_v: float
    mppt_max_v: float


@dataclass(frozen=True, slots=True, eq=False)
class MismatchResult:
    """Power by the modules' fitted curve [W], voltage [V] and current [A].

    In every half-hour even_w >= sum of module_w >= string_w >= local_w, to the solution's 0.1 %.

    Parameters
    ----------
    even_w : (u,) all modules together, each lit evenly by its own mean light
    module_w, module_a : (u, modules) each module at its own highest maximum
    string_w, string_v : (u,) the strings at their highest maximum inside the window
    local_w, local_v : (u,) where a tracker ends that starts from the evenly lit string's voltage
        and only ever climbs
    """

    even_w: Array
    module_w: Array
    module_a: Array
    string_w: Array
    string_v: Array
    local_w: Array
    local_v: Array


def mismatch(light: CellLight, temp_cell: Array, layout: StringLayout) -> MismatchResult:
    """Solve modules and strings under uneven light.

    Parameters
    ----------
    light : on the cells
    temp_cell : (u,) one temperature for all cells [°C]
    layout : modules, strings and the tracker's window

    Returns
    -------
    powers of each half-hour, by :func:`mismatch_of_cells`
    """
    window = (layout.mppt_min_v, layout.mppt_max_v)
    return mismatch_of_cells(light, cells_at(layout.module, temp_cell), layout.strings, window)


def mismatch_of_cells(
    light: CellLight,
    cells: Cells,
    strings: int,
    window: tuple[float, float],
    *,
    find: Find = "both",
) -> MismatchResult:
    """Solve modules of known cells, and strings of them, under uneven light.

    Cells in series share their current; the two halves of a half-cut third share its voltage and
    its one bypass diode; thirds and modules are in series; strings in parallel share the voltage.
    The tracker holds a voltage inside its window: where the highest power lies outside, it gives
    what the window's edge gives, and nothing if the strings do not reach the window.

    Parameters
    ----------
    light : on the cells; sections are third x 2 + half where cells are cut, else thirds
    cells : at each half-hour's temperature
    strings : in parallel, of consecutive modules
    window : lowest and highest voltage at which the tracker works [V]
    find : strings, each module's own maximum, or both; what is not looked for has no rows, and
        all else is the same to the solution's own error

    Returns
    -------
    powers of each half-hour

    Source
    ------
    Bishop, *Solar Cells* 25 (1988) 73-89: I = I_L - I_0 (exp(V_d/a) - 1) - V_d/R_sh
    (1 + f (1 - V_d/V_br)^-m); with De Soto's numbers. Departs from it in: the reverse term is left
    out above 0 V, so that evenly lit cells give the module's curve back.

    Unevenly lit thirds are drawn through some 20 points of each section with a cubic between them,
    and thirds whose light differs by less than 1 % count as alike: within 0.1 % of a direct
    solution cell by cell, as a rule 0.01 %.
    """
    from pvkit.electrical.array_kernel import room_for
    from pvkit.electrical.mismatch_kernel import Powers, Tracker, solve

    half_hours, modules, sections = light.full.shape
    lit, cell = compiled_inputs(light, cells)
    wired, alone = (half_hours * (find != other) for other in ("modules", "strings"))
    each = (alone, modules)
    out = Powers(*(np.zeros(shape) for shape in (half_hours, each, each, *4 * (wired,))))
    tracker = Tracker(*window, constant("tracker.step_fraction"))

    def run(first: int, last: int) -> None:
        room = room_for(modules, sections, strings)
        solve((first, last), lit, cell, tracker, room, out)

    in_parts(half_hours, run)
    return _in_order(out)


def _in_order(out: "Powers") -> MismatchResult:
    """Take out what the solution's own error does to the order of the powers.

    Thirds counted together as alike make a string a few parts in a hundred thousand too strong,
    and the search for a module's maximum may end a hair below what it gives in the string.
    """
    string, module = np.minimum(out.string, out.even[: len(out.string)]), out.module
    if len(string) == len(module):
        module = module * lifted(module.sum(axis=1), string)[:, None]
    return MismatchResult(
        even_w=out.even,
        module_w=module,
        module_a=out.module_amps,
        string_w=string,
        string_v=out.string_v,
        local_w=np.minimum(out.local, string),
        local_v=out.local_v,
    )


def lifted(own: Array, least: Array) -> Array:
    """Give what modules' own maxima, together (u,), are multiplied by to reach at least so much."""
    return np.maximum(np.divide(least, own, out=np.ones_like(own), where=own > 0), 1.0)


def compiled_inputs(light: CellLight, cells: Cells) -> tuple["Lit", "Cell"]:
    """Put light and cells in the form the compiled functions take."""
    from pvkit.electrical.array_kernel import Lit
    from pvkit.electrical.cell_kernel import Cell

    by_section = (light.full, light.shaded, light.number)
    by_time = (cells.current_per_light, cells.saturation_a, cells.volts_scale)
    lit = Lit(*(np.require(a, np.float64, ["C", "W"]) for a in (*by_section, *by_time)))
    cell = Cell(
        current_per_light=0.0,
        shunt_per_light=cells.shunt_per_light,
        saturation_a=0.0,
        volts_scale=0.0,
        series_ohm=cells.series_ohm,
        reverse_fraction=constant("cell.reverse_fraction"),
        breakdown_v=constant("cell.breakdown_v"),
        reverse_exponent=constant("cell.reverse_exponent"),
        bypass_v=constant("bypass.forward_v"),
        in_series=cells.in_series,
        usual_v=0.0,
        log_saturation=0.0,
    )
    return lit, cell
