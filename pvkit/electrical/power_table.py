"""A module's maximum power read from a table solved beforehand, so that a year takes no solver."""

from dataclasses import dataclass
from functools import cache

import numpy as np

from pvkit.electrical.module import curve_at, desoto
from pvkit.roof.light import Array
from pvkit.site.kit import ModuleSheet
from pvkit.tables import constant

# The grid: even in the logarithm of light and in temperature, because power over light is nearly
# straight in both. Below the faintest row the ratio is held; beyond the others the last slope.
# The rating's 1000 W/m² and 25 °C fall on grid points, so that rated power is met exactly.
FAINTEST_W_PER_M2, STEPS_TO_RATING, STEPS_BEYOND = 1.0, 240, 17  # to 1,630 W/m²
COLDEST_DEGC, WARMEST_DEGC, TEMPERATURE_COLUMNS = -40.0, 110.0, 61


@dataclass(frozen=True, slots=True, eq=False)
class PowerTable:
    """Maximum-power point of one module over light and cell temperature.

    Parameters
    ----------
    log_light : (m,) natural logarithm of the light [ln(W m⁻²)], even steps
    temp_cell : (k,) [°C], even steps
    power_per_light : (m, k) maximum power over light [W per W m⁻²]
    volts : (m, k) voltage at maximum power [V]
    """

    log_light: Array
    temp_cell: Array
    power_per_light: Array
    volts: Array


@cache
def power_table(sheet: ModuleSheet) -> PowerTable:
    """Solve a module's maximum-power point over a grid of light and temperature.

    Parameters
    ----------
    sheet : a module's data sheet

    Returns
    -------
    table whose power at 1000 W/m², 25 °C is the rated power: ``vmp_v`` x ``imp_a``, which the
    curve passes through, differs from ``pmax_w`` by rounding, and the whole table is scaled by it

    Source
    ------
    Bishop (1988) form of the single-diode equation, through ``pvlib.singlediode.bishop88_mpp``.
    """
    from pvlib.singlediode import bishop88_mpp

    log_light = _light_rows()
    temp_cell = np.linspace(COLDEST_DEGC, WARMEST_DEGC, TEMPERATURE_COLUMNS)
    light, temperature = (
        grid.ravel() for grid in np.meshgrid(np.exp(log_light), temp_cell, indexing="ij")
    )
    _, volts, power = bishop88_mpp(*curve_at(desoto(sheet), light, temperature), method="newton")
    shape = (log_light.size, temp_cell.size)
    per_light = (power / light).reshape(shape)
    at_rating = per_light[STEPS_TO_RATING, _rating_column(temp_cell)]
    rated = sheet.pmax_w / constant("stc.irradiance_w_per_m2")
    return PowerTable(log_light, temp_cell, per_light * rated / at_rating, volts.reshape(shape))


def maximum_power(
    table: PowerTable, effective_irradiance: Array, temp_cell: Array
) -> tuple[Array, Array]:
    """Read a module's maximum power and the voltage it stands at.

    Parameters
    ----------
    table : from :func:`power_table`
    effective_irradiance : (d,) light that reaches the cells [W m⁻²]
    temp_cell : (d,) [°C]

    Returns
    -------
    (d,) power [W], 0 without light; (d,) voltage [V]
    """
    columns = table.temp_cell.size
    row, along = _place(table.log_light, _log(effective_irradiance))
    column, across = _place(table.temp_cell, temp_cell)
    corner = row * columns + column
    both = along * across
    weights = (1 - along - across + both, across - both, along - both, both)
    corners = (corner, corner + 1, corner + columns, corner + columns + 1)
    return (
        _blend(table.power_per_light, corners, weights) * effective_irradiance,
        _blend(table.volts, corners, weights),
    )


def power_at_25_degc(table: PowerTable, effective_irradiance: Array) -> Array:
    """Read a module's maximum power [W] with its cells held at the rating's 25 °C, (d,)."""
    held = np.full(effective_irradiance.shape, constant("stc.temp_cell_degc"))
    return maximum_power(table, effective_irradiance, held)[0]


def _light_rows() -> Array:
    faintest = np.log(FAINTEST_W_PER_M2)
    step = (np.log(constant("stc.irradiance_w_per_m2")) - faintest) / STEPS_TO_RATING
    return np.asarray(faintest + step * np.arange(STEPS_TO_RATING + STEPS_BEYOND + 1))


def _rating_column(temp_cell: Array) -> int:
    return int(np.abs(temp_cell - constant("stc.temp_cell_degc")).argmin())


def _log(light: Array) -> Array:
    return np.log(np.maximum(light, FAINTEST_W_PER_M2))


def _place(axis: Array, value: Array) -> tuple[np.ndarray, Array]:
    steps = (value - axis[0]) / (axis[1] - axis[0])
    whole = np.clip(steps.astype(np.int64), 0, axis.size - 2)
    return whole, steps - whole


def _blend(values: Array, corners: tuple[np.ndarray, ...], weights: tuple[Array, ...]) -> Array:
    flat = values.ravel()
    total: Array = sum(
        (flat.take(at) * weight for at, weight in zip(corners, weights, strict=True)),
        start=np.zeros(()),
    )
    return total
