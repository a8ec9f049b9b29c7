"""The cells behind a module's data sheet, and what becomes of them in reverse."""

from dataclasses import dataclass

import numpy as np

from pvkit.electrical.module import curve_at, desoto
from pvkit.roof.light import Array
from pvkit.site.kit import ModuleSheet
from pvkit.tables import constant

BYPASS_DIODES = 3


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """One whole cell of a module over half-hours of different temperature.

    A half cell under the same light carries half the current at the same voltage.

    Parameters
    ----------
    current_per_light : (u,) photocurrent over light [A per W m⁻²]
    saturation_a, volts_scale : (u,) of the diode [A], ideality x thermal voltage [V]
    shunt_per_light : shunt conductance over light [S per W m⁻²]
    series_ohm : [ohm]
    in_series : cells in series behind one bypass diode
    """

    current_per_light: Array
    saturation_a: Array
    volts_scale: Array
    shunt_per_light: float
    series_ohm: float
    in_series: float


def cells_at(sheet: ModuleSheet, temp_cell: Array) -> Cells:
    """Give a module's cells at temperatures.

    Parameters
    ----------
    sheet : the module's data sheet
    temp_cell : (u,) [°C]

    Returns
    -------
    the numbers of one cell; so many in series as the module has, and evenly lit, they give the
    module's curve back

    Source
    ------
    De Soto, Klein & Beckman (2006): photocurrent and shunt conductance are straight in light, the
    diode's numbers depend on temperature alone, series resistance on neither.

    Examples
    --------
    >>> from pvkit.site.parts import module_sheet
    >>> cells = cells_at(module_sheet("half-cut-430"), np.array([25.0]))
    >>> round(float(cells.current_per_light[0] * 1000), 2), cells.in_series
    (14.27, 18.0)
    """
    light = constant("stc.irradiance_w_per_m2")
    module, number = desoto(sheet), sheet.cells_in_series
    rated = np.full(temp_cell.shape, light)
    photo, saturation, _series, _shunt, scale = curve_at(module, rated, temp_cell)
    return Cells(
        current_per_light=photo / light,
        saturation_a=np.broadcast_to(saturation, temp_cell.shape),
        volts_scale=np.broadcast_to(scale, temp_cell.shape) / number,
        shunt_per_light=number / (module.resistance_shunt_ohm * light),
        series_ohm=module.resistance_series_ohm / number,
        in_series=number / BYPASS_DIODES,
    )
