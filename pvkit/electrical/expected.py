"""What a string should show at the light and module temperature in which it is measured."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from pvkit.electrical.module import curve_at, desoto
from pvkit.site.kit import ModuleSheet


@dataclass(frozen=True, slots=True)
class Expected:
    """Volts and amps of one string by the module model.

    Parameters
    ----------
    voc_v, isc_a : open-circuit volts [V] and short-circuit amps [A]
    vmp_v, imp_a : at maximum power [V], [A]
    """

    voc_v: float
    isc_a: float
    vmp_v: float
    imp_a: float


@lru_cache(maxsize=256)
def expected_string(
    sheet: ModuleSheet, in_series: int, irradiance_w_per_m2: float, module_temp_degc: float
) -> Expected:
    """Say what a string of like modules should show, all evenly lit and equally warm.

    Parameters
    ----------
    sheet : the modules' data sheet
    in_series : modules in the string
    irradiance_w_per_m2 : light in the plane of the modules, above 0 [W/m²]
    module_temp_degc : taken as that of the cells [°C]

    Raises
    ------
    InputError
        If no curve passes through the data sheet.

    Source
    ------
    De Soto, Klein & Beckman (2006), the curve of :mod:`pvkit.electrical.module`; volts times the
    modules in series. Known weakness: the back of a module is 2 to 3 K cooler than its cells in
    full sun, which is 0.8 % of the volts.

    Examples
    --------
    >>> from pvkit.site.parts import module_sheet
    >>> found = expected_string(module_sheet("half-cut-430"), 6, 1000.0, 25.0)
    >>> round(found.voc_v, 1), round(found.isc_a, 2)
    (228.6, 14.25)
    """
    from pvlib.pvsystem import singlediode

    light, temp_cell = np.array([irradiance_w_per_m2]), np.array([module_temp_degc])
    points = singlediode(*curve_at(desoto(sheet), light, temp_cell))
    return Expected(
        voc_v=in_series * float(points["v_oc"][0]),
        isc_a=float(points["i_sc"][0]),
        vmp_v=in_series * float(points["v_mp"][0]),
        imp_a=float(points["i_mp"][0]),
    )
