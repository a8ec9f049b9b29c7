"""The inverter's own use and its limit, from three efficiencies on its data sheet."""

from dataclasses import dataclass
from functools import cache

import numpy as np

from pvkit.roof.light import Array
from pvkit.site.kit import InverterSheet

LOADS = (0.1, 0.5, 1.0)  # a.c. loads at which a data sheet gives its efficiency


@dataclass(frozen=True, slots=True)
class LossCurve:
    """Loss = own use + linear x load + square x load², all as shares of the a.c. rating.

    Parameters
    ----------
    own_use : c0, drawn whenever it runs
    linear : c1, voltage drops of the switches
    square : c2, resistance
    """

    own_use: float
    linear: float
    square: float


@cache
def loss_curve(inverter: InverterSheet) -> LossCurve:
    """Draw the loss curve through the efficiencies at 10, 50 and 100 % of the a.c. rating.

    Source
    ------
    Jantsch, Schmidt & Schmid, *Results of the concerted action on power conditioning and
    control*, 11th European PV Solar Energy Conference, Montreux (1992); from memory.

    Examples
    --------
    >>> from pvkit.site.parts import inverter_sheet
    >>> 0 < loss_curve(inverter_sheet("single-phase-2500")).own_use < 0.01
    True
    """
    load = np.array(LOADS)
    efficiency = np.array([inverter.efficiency_10, inverter.efficiency_50, inverter.efficiency_100])
    terms = np.vander(load, 3, increasing=True)
    return LossCurve(*(float(c) for c in np.linalg.solve(terms, load / efficiency - load)))


def converted(inverter: InverterSheet, dc_w: Array) -> Array:
    """Give the a.c. power an inverter would make of its d.c. power, its limit left aside.

    Parameters
    ----------
    inverter : data sheet
    dc_w : (d,) power at its d.c. inputs [W]

    Returns
    -------
    (d,) [W]; 0 while the d.c. power is below its own use, never more than ``dc_w``
    """
    curve = loss_curve(inverter)
    net = np.maximum(dc_w / inverter.ac_w - curve.own_use, 0.0)
    slope = 1 + curve.linear
    # load + c1 load + c2 load² = net, solved in the form that also holds for c2 near or below 0
    load = 2 * net / (slope + np.sqrt(np.maximum(slope**2 + 4 * curve.square * net, 0.0)))
    return np.minimum(load * inverter.ac_w, dc_w)
