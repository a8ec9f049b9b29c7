"""How much mass a module on a flat roof needs so that the wind neither lifts, slides nor tips it.

One module is a free body on a roof that falls by a small angle. The wind's suction acts square to
the module: most of it lifts, the rest pulls along the roof the way the module faces. The fall is
taken the same way, which is the worst. Modules lean against the roof's own surface.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.roof.loads import load_number

Array = NDArray[np.float64]

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Hold:
    """How the modules of an array are held.

    Parameters
    ----------
    tilt_deg : of the modules against the roof
    fall_deg : of the roof
    friction : of the feet on the roof, pull over weight
    tied : rows tied to one another, so that none can tip by itself
    """

    tilt_deg: float
    fall_deg: float
    friction: float
    tied: bool


@dataclass(frozen=True, slots=True, eq=False)
class Mass:
    """Least mass of module, frame and ballast together for each module [kg].

    ``inf`` where no mass would do, because the roof falls too much for its friction.

    Parameters
    ----------
    lifting, sliding, tipping : (modules,) against each by itself; tipping is 0 where tied
    """

    lifting: Array
    sliding: Array
    tipping: Array

    @property
    def needed(self) -> Array:
        """The largest of the three."""
        return np.maximum(np.maximum(self.lifting, self.sliding), self.tipping)


def needed_mass(force_n: Array, hold: Hold) -> Mass:
    """Give the least mass for each module.

    Parameters
    ----------
    force_n : (modules,) suction of the wind, square to the module, before partial factors [N]
    hold : how they are held

    Source
    ------
    Partial factors of BS EN 1990 with its UK annex, stability: 0.9 on weight that helps, 1.1 on
    weight that pulls down the fall, 1.5 on wind (from memory). Free body, F the factored wind::

        lifting   0.9 m g cos(fall)  >=  F cos(tilt)
        sliding   friction (0.9 m g cos(fall) - F cos(tilt))  >=  F sin(tilt) + 1.1 m g sin(fall)
        tipping   0.9 m g cos(fall) cos(tilt) / 2  >=  F 3/4,  about the lower edge, untied rows

    Tipping has the suction a quarter of the module's length from its upper edge, as on a canopy,
    and the ballast in the middle between feet under both edges.

    Examples
    --------
    >>> mass = needed_mass(np.array([462.0]), Hold(10.0, 0.0, 0.4, True))
    >>> mass.lifting.round(), mass.sliding.round()
    (array([77.]), array([111.]))
    """
    wind = load_number("factor.wind") * np.asarray(force_n, dtype=np.float64)
    g = load_number("gravity.m_per_s2")
    tilt, fall = np.radians(hold.tilt_deg), np.radians(hold.fall_deg)
    square = load_number("factor.helpful") * g * np.cos(fall)
    down_fall = load_number("factor.harmful") * g * np.sin(fall)
    lifting = wind * np.cos(tilt) / square
    grip = hold.friction * square - down_fall
    pull = wind * (np.sin(tilt) + hold.friction * np.cos(tilt))
    sliding = pull / grip if grip > 0 else np.full_like(pull, np.inf)
    arm = 1.0 - load_number("pressure.centre_share")
    tipping = np.zeros_like(wind) if hold.tied else wind * arm / (square * np.cos(tilt) / 2.0)
    return Mass(lifting, sliding, tipping)


def whole_blocks(ballast_kg: Array, block_kg: float) -> Array:
    """Round ballast up to whole blocks.

    Parameters
    ----------
    ballast_kg : (n,) mass needed; 0 or less needs no block
    block_kg : mass of one block

    Returns
    -------
    (n,) number of blocks; ``inf`` where no mass would do

    Examples
    --------
    >>> whole_blocks(np.array([-3.0, 0.0, 40.0, 40.1]), 20.0)
    array([0., 0., 2., 3.])
    """
    share = np.maximum(ballast_kg, 0.0) / block_kg
    return np.asarray(np.ceil(share * (1.0 - _ROUNDING)) + 0.0)


def tray_shares(ballast_kg: Array, rows: Sequence[int]) -> tuple[Array, ...]:
    """Share each module's ballast between the trays at its two ends.

    A row of n modules stands on n + 1 trays; neighbours share the one between them, so an inner
    tray takes half of what each of the two needs, and the last one half of one module's.

    Parameters
    ----------
    ballast_kg : (modules,) mass needed, row after row
    rows : modules in each row

    Returns
    -------
    for each row (modules + 1,) mass on each tray

    Examples
    --------
    >>> tray_shares(np.array([40.0, 20.0]), (2,))
    (array([20., 30., 10.]),)
    """
    needed = np.maximum(ballast_kg, 0.0) / 2.0
    ends = np.cumsum(rows)
    return tuple(
        np.append(part, 0.0) + np.insert(part, 0, 0.0)
        for part in (needed[end - count : end] for end, count in zip(ends, rows, strict=True))
    )
