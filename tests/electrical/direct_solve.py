"""A slow direct solution of a shaded array, cell by cell, for the quick one to be held against.

Every single cell's curve comes from ``pvlib.singlediode.bishop88`` on a dense grid of diode
voltages; curves are added by interpolation on dense grids of current and voltage. Nothing of the
quick solution is used.
"""

from dataclasses import dataclass

import numpy as np
from pvlib.pvsystem import calcparams_desoto
from pvlib.singlediode import bishop88

BREAKDOWN_V, BREAKDOWN_EXPONENT, BYPASS_V = -15.0, 3.0, 0.5


@dataclass(frozen=True)
class CellNumbers:
    """A whole cell at 1000 W/m², 25 °C, as ``pvlib.pvsystem.calcparams_desoto`` takes it."""

    alpha_sc: float
    a_ref: float
    i_l_ref: float
    i_o_ref: float
    r_sh_ref: float
    r_s: float
    reverse_fraction: float = 2e-3
    fineness: int = 1


# pvlib's documented example of reverse-biased cells (the page on partial shading of a module).
EXAMPLE = CellNumbers(0.0042, 1.3 * 8.617333262e-5 * 298.15, 8.24, 2.36e-9, 1000.0, 0.00181)


def cell_of(module, cells_in_series):
    """Give the cell behind a module's fitted numbers."""
    return CellNumbers(
        module.alpha_isc_a_per_k,
        module.a_ref_v / cells_in_series,
        module.photocurrent_a,
        module.saturation_current_a,
        module.resistance_shunt_ohm / cells_in_series,
        module.resistance_series_ohm / cells_in_series,
    )


def cell_curve(cell, light, temp_cell, parts=1):
    """Give amps, rising, and volts, falling, of one cell cut into ``parts``."""
    photo, saturation, series, shunt, scale = (
        float(number)
        for number in calcparams_desoto(
            light,
            temp_cell,
            alpha_sc=cell.alpha_sc,
            a_ref=cell.a_ref,
            I_L_ref=cell.i_l_ref,
            I_o_ref=cell.i_o_ref,
            R_sh_ref=cell.r_sh_ref,
            R_s=cell.r_s,
            EgRef=1.121,
            dEgdT=-0.0002677,
        )
    )
    n = cell.fineness
    diode_v = np.concatenate(
        [
            BREAKDOWN_V + np.geomspace(1e-4, 15.0, 1500 * n)[:-1],
            np.linspace(0.0, 0.3, 100 * n),
            np.linspace(0.3, 0.85, 1500 * n)[1:],
        ]
    )
    amps, volts, _ = bishop88(
        diode_v,
        photo / parts,
        saturation / parts,
        series * parts,
        shunt * parts,
        scale,
        breakdown_factor=cell.reverse_fraction,
        breakdown_voltage=BREAKDOWN_V,
        breakdown_exp=BREAKDOWN_EXPONENT,
    )
    return amps[::-1], volts[::-1]


def section_curve(cell, groups, temp_cell, amps, parts=1):
    """Give the volts of cells in series at ``amps``; ``groups`` is (number, light) pairs."""
    total = np.zeros_like(amps)
    for number, light in groups:
        if number > 0:
            total += number * np.interp(amps, *cell_curve(cell, light, temp_cell, parts))
    return total


def third_curve(cell, sides, temp_cell, amps, in_series):
    """Give the volts of one bypass diode's cells at ``amps``: one section, or two side by side."""
    if len(sides) == 1:
        return np.maximum(section_curve(cell, sides[0], temp_cell, amps), -BYPASS_V)
    half = np.linspace(-0.6, 1.05, 3000 * cell.fineness) * amps[-1]
    volts = np.linspace(-BYPASS_V, 0.8 * in_series, 3000 * cell.fineness)
    total = np.zeros_like(volts)
    for groups in sides:
        curve = section_curve(cell, groups, temp_cell, half, parts=2)
        total += np.interp(-volts, -curve, half)
    return np.interp(amps, total[::-1], volts[::-1])


def chain_curve(cell, thirds, temp_cell, amps, in_series):
    """Give the volts of thirds in series at ``amps``."""
    return sum(third_curve(cell, sides, temp_cell, amps, in_series) for sides in thirds)


def highest_power(amps, volts, window=(0.0, np.inf)):
    """Give the highest power of a curve inside a window of voltage."""
    inside = (volts >= window[0]) & (volts <= window[1])
    return float((amps * volts)[inside].max(initial=0.0))


def side_by_side(curves, amps, volts):
    """Give the amps at ``volts`` of chains that share one voltage."""
    return sum(np.interp(-volts, -curve, amps, right=0.0) for curve in curves)
