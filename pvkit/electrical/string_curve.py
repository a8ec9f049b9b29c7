"""A string's current-voltage curve at one moment, with its humps and where trackers stand."""

from dataclasses import dataclass

import numpy as np

from pvkit.electrical.cell import cells_at
from pvkit.electrical.mismatch import CellLight, StringLayout, compiled_inputs, mismatch
from pvkit.roof.light import Array


@dataclass(frozen=True, slots=True, eq=False)
class StringCurve:
    """Strings on one tracker at one moment.

    Parameters
    ----------
    volts, amps, watts : (k,) the curve, from open circuit down to 0 V
    even_w : the modules together, each lit evenly
    highest_v, highest_w : where the tracker stands at best
    local_v, local_w : where it may stand if it only climbs from the evenly lit string's voltage
    module_w : (modules,) each module at its own maximum
    """

    volts: Array
    amps: Array
    watts: Array
    even_w: float
    highest_v: float
    highest_w: float
    local_v: float
    local_w: float
    module_w: Array


def string_curve(
    light: CellLight, temp_cell: float, layout: StringLayout, points: int = 600
) -> StringCurve:
    """Trace the curve of strings under uneven light at one moment.

    Parameters
    ----------
    light : of one half-hour, (1, modules, sections)
    temp_cell : [°C]
    layout : modules, strings and the tracker's window
    points : of the curve

    Returns
    -------
    curve by the modules' fitted numbers, as :func:`pvkit.electrical.mismatch.mismatch` has it
    """
    from pvkit.electrical.array_kernel import room_for
    from pvkit.electrical.mismatch_kernel import trace

    temperature = np.array([temp_cell])
    cells = cells_at(layout.module, temperature)
    lit, cell = compiled_inputs(light, cells)
    most = float(light.full.max() * cells.current_per_light[0])
    one_a = np.linspace(0.0, most * 1.02, points)
    room = room_for(light.full.shape[1], light.full.shape[2], layout.strings)
    one_v = np.zeros((layout.strings, points))
    trace(0, lit, cell, room, one_a, one_v)
    volts = np.linspace(one_v[:, 0].max(), 0.0, points)
    amps = sum((np.interp(-volts, -one, one_a) for one in one_v), start=np.zeros(points))
    found = mismatch(light, temperature, layout)
    return StringCurve(
        volts=volts,
        amps=amps,
        watts=volts * amps,
        even_w=float(found.even_w[0]),
        highest_v=float(found.string_v[0]),
        highest_w=float(found.string_w[0]),
        local_v=float(found.local_v[0]),
        local_w=float(found.local_w[0]),
        module_w=found.module_w[0],
    )
