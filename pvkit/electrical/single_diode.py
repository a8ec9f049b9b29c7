"""The five equations that tie a single-diode curve to a data sheet, and their solver."""

from dataclasses import dataclass

import numpy as np

from pvkit.roof.light import Array
from pvkit.site.kit import ModuleSheet
from pvkit.tables import constant

# How the solver is started and when it is done; none of it moves the answer.
STARTS = tuple(
    (ideality, series, shunt_ohm)
    for ideality in (1.0, 1.2, 0.9)
    for series in (0.005, 0.01)  # of Voc/Isc
    for shunt_ohm in (300.0, 50.0, 2000.0)
)
RESIDUAL_LIMIT = 1e-9  # of Isc
LARGEST_EXPONENT = 300.0  # keeps the exponentials of a wild trial step finite
FIT_STEP_K = 2.0  # the fifth equation holds beta_voc_per_k over this small step
LEAST_SERIES, MOST_SHUNT = 1e-4, 1e3  # of Voc/Isc: as good as none, for the nearest curve


@dataclass(frozen=True, slots=True)
class DeSoto:
    """Single-diode parameters of a module at 1000 W/m², 25 °C.

    Parameters
    ----------
    photocurrent_a : light current [A]
    saturation_current_a : of the diode [A]
    resistance_series_ohm, resistance_shunt_ohm : [ohm]
    a_ref_v : ideality x cells in series x thermal voltage, pvlib's ``a_ref`` [V]
    alpha_isc_a_per_k : rise of the light current [A/K]
    residual : largest of the five equations' residuals, as a share of Isc
    """

    photocurrent_a: float
    saturation_current_a: float
    resistance_series_ohm: float
    resistance_shunt_ohm: float
    a_ref_v: float
    alpha_isc_a_per_k: float
    residual: float


def fitted(sheet: ModuleSheet) -> DeSoto:
    """Give the curve through a data sheet, or the nearest one if rounding let none pass.

    Parameters
    ----------
    sheet : a module's numbers at 1000 W/m², 25 °C

    Returns
    -------
    parameters; ``residual`` is below 1e-9 where a curve passes through all numbers

    Source
    ------
    De Soto, Klein & Beckman, *Solar Energy* 80 (2006) 78-88: five equations, the fifth being Voc
    at another temperature by ``beta_voc_per_k``. Departs from it in: all five unknowns are
    logarithms, so that none can turn negative, and a least-squares solver is started from a few
    places until one reaches a residual of 1e-9. Where none does, the exact curve would need a
    negative resistance, and the nearest with none to speak of is taken.
    """
    return _exact(sheet) or _nearest(sheet)


def _exact(sheet: ModuleSheet) -> DeSoto | None:
    from scipy.optimize import least_squares

    for start in STARTS:
        found = least_squares(
            _residuals,
            _start(sheet, *start),
            args=(sheet,),
            method="lm",
            xtol=1e-15,
            ftol=1e-15,
            gtol=1e-15,
        )
        if np.abs(found.fun).max() <= RESIDUAL_LIMIT:
            return _parameters(found.x, found.fun, sheet)
    return None


def _nearest(sheet: ModuleSheet) -> DeSoto:
    from scipy.optimize import least_squares

    resistance = np.log(sheet.voc_v / sheet.isc_a)
    low, high = np.full(5, -np.inf), np.full(5, np.inf)
    low[2], high[3] = resistance + np.log(LEAST_SERIES), resistance + np.log(MOST_SHUNT)
    tries = [
        least_squares(
            _residuals,
            np.clip(_start(sheet, *start), low, high),
            args=(sheet,),
            bounds=(low, high),
            x_scale="jac",
        )
        for start in STARTS[:3]
    ]
    best = min(tries, key=lambda found: float(found.cost))
    return _parameters(best.x, best.fun, sheet)


def _parameters(logs: Array, residuals: Array, sheet: ModuleSheet) -> DeSoto:
    il, i0, rs, rsh, a = (float(value) for value in np.exp(logs))
    worst = float(np.abs(residuals).max())
    return DeSoto(il, i0, rs, rsh, a, sheet.alpha_isc_per_k * sheet.isc_a, worst)


def _start(sheet: ModuleSheet, ideality: float, series: float, shunt_ohm: float) -> Array:
    a = ideality * sheet.cells_in_series * _thermal_volts(_kelvin(0.0))
    return np.array(
        [
            np.log(sheet.isc_a),
            np.log(sheet.isc_a) - sheet.voc_v / a,
            np.log(series * sheet.voc_v / sheet.isc_a),
            np.log(shunt_ohm),
            np.log(a),
        ]
    )


def _kelvin(step_k: float) -> float:
    from scipy.constants import zero_Celsius

    return constant("stc.temp_cell_degc") + float(zero_Celsius) + step_k


def _thermal_volts(kelvin: float) -> float:
    from scipy.constants import elementary_charge, k

    return float(k / elementary_charge) * kelvin


def _residuals(logs: Array, sheet: ModuleSheet) -> Array:
    """Give how far the five equations are from holding, as shares of Isc."""
    il, i0, rs, rsh, a = np.exp(np.clip(logs, -LARGEST_EXPONENT, LARGEST_EXPONENT))

    def excess(volts: float, amps: float) -> float:  # eq. (1)
        diode_v = volts + amps * rs
        return float(il - i0 * np.expm1(_bounded(diode_v / a)) - diode_v / rsh - amps)

    bend = i0 / a * np.exp(_bounded((sheet.vmp_v + sheet.imp_a * rs) / a)) + 1 / rsh
    slope = -bend / (1 + bend * rs)  # dI/dV at the maximum-power point
    return (
        np.array(
            [
                excess(0.0, sheet.isc_a),
                excess(sheet.voc_v, 0.0),
                excess(sheet.vmp_v, sheet.imp_a),
                sheet.imp_a + sheet.vmp_v * slope,  # dP/dV = 0
                _warm_open_circuit(sheet, il, i0, rsh, a),
            ]
        )
        / sheet.isc_a
    )


def _warm_open_circuit(sheet: ModuleSheet, il: float, i0: float, rsh: float, a: float) -> float:
    """Give the current left over at the open-circuit voltage of a slightly warmer module [A]."""
    cold, warm = _kelvin(0.0), _kelvin(FIT_STEP_K)
    gap = constant("module.band_gap_ev")
    warm_gap = gap * (1 + constant("module.band_gap_per_k") * FIT_STEP_K)
    rise = (warm / cold) ** 3 * np.exp(gap / _thermal_volts(cold) - warm_gap / _thermal_volts(warm))
    warm_il = il + sheet.alpha_isc_per_k * sheet.isc_a * FIT_STEP_K
    volts = sheet.voc_v * (1 + sheet.beta_voc_per_k * FIT_STEP_K)
    diode = i0 * rise * np.expm1(_bounded(volts / (a * warm / cold)))
    return float(warm_il - diode - volts / rsh)


def _bounded(exponent: float) -> float:
    return min(exponent, LARGEST_EXPONENT)
