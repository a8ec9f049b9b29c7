"""Copper between modules, inverter and meter: resistance and the heat it makes."""

from typing import Literal

import numpy as np

from pvkit.errors import Fault, InputError
from pvkit.roof.light import Array
from pvkit.site.kit import Cables
from pvkit.tables import constant, rows

TABLE = "en60228_copper_ohm_per_km.csv"


def dc_loop_ohm(cables: Cables) -> float:
    """Give the resistance of one string's d.c. run, out and back, at working temperature [ohm]."""
    ohm_per_km = conductor_ohm_per_km(cables.dc_mm2, "class_5_tinned", "cables.dc_mm2")
    return _loop_ohm(ohm_per_km, cables.dc_length_m, constant("cables.dc_working_degc"))


def ac_loop_ohm(cables: Cables) -> float:
    """Give the resistance of the a.c. run, line and neutral, at working temperature [ohm]."""
    ohm_per_km = conductor_ohm_per_km(cables.ac_mm2, "class_1_2_plain", "cables.ac_mm2")
    return _loop_ohm(ohm_per_km, cables.ac_length_m, constant("cables.ac_working_degc"))


def conductor_ohm_per_km(
    mm2: float, kind: Literal["class_5_tinned", "class_5_plain", "class_1_2_plain"], where: str
) -> float:
    """Give a copper conductor's largest allowed resistance at 20 °C [ohm/km].

    Parameters
    ----------
    mm2 : nominal size
    kind : class_5_tinned is PV cable, class_1_2_plain house wiring
    where : dotted key of the size, for the message

    Raises
    ------
    InputError
        If no cable of that size is made.

    Source
    ------
    BS EN 60228, tables 1, 2 and 4.

    Examples
    --------
    >>> conductor_ohm_per_km(4.0, "class_5_tinned", "cables.dc_mm2")
    5.09
    """
    sizes = {float(row["mm2"]): float(row[kind]) for row in rows(TABLE)}
    if mm2 not in sizes:
        raise InputError(
            Fault(
                where,
                f"found {mm2:g} mm2, which is not a cable size",
                ", ".join(f"{size:g}" for size in sizes) + " mm2",
                "read the size printed on the cable",
            )
        )
    return sizes[mm2]


def after_cable(power_w: Array, current_a: Array, loop_ohm: float) -> Array:
    """Take the heat in a cable off the power it carries [W]; never below 0, (d,)."""
    return np.maximum(power_w - current_a**2 * loop_ohm, 0.0)


def _loop_ohm(ohm_per_km: float, length_m: float, working_degc: float) -> float:
    warm_k = working_degc - constant("copper.reference_degc")
    return 2 * length_m / 1000.0 * ohm_per_km * (1 + constant("copper.alpha_per_k") * warm_k)
