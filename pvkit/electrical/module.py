"""A module's current-voltage curve: the single-diode parameters behind its data sheet."""

from functools import cache

import numpy as np

from pvkit.electrical.datasheet import sheet_faults
from pvkit.electrical.single_diode import DeSoto, fitted
from pvkit.errors import Fault, InputError
from pvkit.roof.light import Array
from pvkit.site.kit import ModuleSheet
from pvkit.tables import constant


@cache
def desoto(sheet: ModuleSheet) -> DeSoto:
    """Draw the single-diode curve through a module's data sheet.

    Parameters
    ----------
    sheet : a module's numbers at 1000 W/m², 25 °C

    Returns
    -------
    parameters whose curve passes through Isc, Voc and the maximum-power point, or as near as
    the rounding of the data sheet lets it (``residual`` then says how near)

    Raises
    ------
    InputError
        If the numbers contradict each other, or no curve passes near them, or the curve's power
        coefficient is far from ``gamma_pmax_per_k``.

    Examples
    --------
    >>> from pvkit.site.parts import module_sheet
    >>> desoto(module_sheet("half-cut-430")).residual < 1e-9
    True
    """
    faults = sheet_faults(sheet)
    if faults:
        raise InputError(*faults)
    module = fitted(sheet)
    if module.residual > constant("module.misfit_fault_fraction"):
        raise InputError(_no_curve(sheet))
    gap = power_coefficient(module) - sheet.gamma_pmax_per_k
    if abs(gap) > constant("module.gamma_fault_per_k"):
        raise InputError(_wrong_gamma(sheet, power_coefficient(module)))
    return module


def curve_at(module: DeSoto, effective_irradiance: Array, temp_cell: Array) -> tuple[Array, ...]:
    """Give the five single-diode numbers at other light and temperature, as pvlib takes them.

    Parameters
    ----------
    module : fitted parameters
    effective_irradiance : light that reaches the cells [W m⁻²]
    temp_cell : [°C], same shape

    Returns
    -------
    photocurrent, saturation current, series and shunt resistance, nNsVth

    Source
    ------
    De Soto, Klein & Beckman (2006), through ``pvlib.pvsystem.calcparams_desoto``.
    """
    from pvlib.pvsystem import calcparams_desoto

    five: tuple[Array, ...] = calcparams_desoto(
        effective_irradiance,
        temp_cell,
        alpha_sc=module.alpha_isc_a_per_k,
        a_ref=module.a_ref_v,
        I_L_ref=module.photocurrent_a,
        I_o_ref=module.saturation_current_a,
        R_sh_ref=module.resistance_shunt_ohm,
        R_s=module.resistance_series_ohm,
        EgRef=constant("module.band_gap_ev"),
        dEgdT=constant("module.band_gap_per_k"),
        irrad_ref=constant("stc.irradiance_w_per_m2"),
        temp_ref=constant("stc.temp_cell_degc"),
    )
    return five


@cache
def power_coefficient(module: DeSoto) -> float:
    """Give the power lost per kelvin that the fitted curve implies [1/K], a negative number."""
    from pvlib.singlediode import bishop88_mpp

    start, span = constant("stc.temp_cell_degc"), constant("module.gamma_span_k")
    light = np.full(2, constant("stc.irradiance_w_per_m2"))
    power = bishop88_mpp(*curve_at(module, light, np.array([start, start + span])))[2]
    return float((power[1] / power[0] - 1) / span)


def _no_curve(sheet: ModuleSheet) -> Fault:
    fill = sheet.pmax_w / (sheet.voc_v * sheet.isc_a)
    return Fault(
        "datasheet.vmp_v",
        f"found numbers that no module's curve passes near (pmax_w is {fill:.2f} of voc_v x isc_a)",
        "a silicon module, whose share is about 0.65 to 0.83",
        "check vmp_v, imp_a, voc_v, isc_a and beta_voc_per_k against the data sheet",
    )


def _wrong_gamma(sheet: ModuleSheet, fitted: float) -> Fault:
    return Fault(
        "datasheet.gamma_pmax_per_k",
        f"found {sheet.gamma_pmax_per_k:.2%} per kelvin, but the other numbers make it "
        f"{fitted:.2%}",
        f"within {constant('module.gamma_fault_per_k'):.2%} of that",
        "check gamma_pmax_per_k and beta_voc_per_k: 0.34 %/K is written -0.0034",
    )
