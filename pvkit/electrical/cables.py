"""Copper between modules, inverter and meter: resistance and the heat it makes."""

from typing import Literal, cast

import numpy as np

from pvkit.errors import Fault, InputError
from pvkit.roof.light import Array
from pvkit.site.kit import Cables
from pvkit.tables import constant, rows

TABLE = "en60228_copper_ohm_per_km.csv"
KINDS_TABLE = "bs7671_cable_kinds.csv"

Conductor = Literal["class_5_tinned", "class_5_plain", "class_1_2_plain"]


def dc_loop_ohm(cables: Cables) -> float:
    """Give the resistance of one string's d.c. run, out and back, at working temperature [ohm]."""
    ohm_per_km = conductor_ohm_per_km(cables.dc_mm2, "class_5_tinned", "cables.dc_mm2")
    return _loop_ohm(ohm_per_km, cables.dc_length_m, constant("cables.dc_working_degc"))


def ac_loop_ohm(cables: Cables) -> float:
    """Give the resistance of the a.c. run, line and neutral, at working temperature [ohm]."""
    return _ac_ohm(cables, constant("cables.ac_working_degc"))


def ac_loss_ohm(cables: Cables, phases: int) -> float:
    """Give what turns the square of all the current on one phase into the a.c. run's heat [ohm].

    Parameters
    ----------
    cables : the run
    phases : of the inverter; on three each line carries a third and the neutral nothing

    Examples
    --------
    >>> run = Cables(ac_length_m=20.0)
    >>> round(ac_loss_ohm(run, 1) / ac_loss_ohm(run, 3), 9)
    6.0
    """
    return ac_loop_ohm(cables) / phases * return_share(phases)


def dc_design_ohm(cables: Cables) -> float:
    """Give the resistance of one string's d.c. run, out and back, copper hot [ohm]."""
    ohm_per_km = conductor_ohm_per_km(cables.dc_mm2, "class_5_tinned", "cables.dc_mm2")
    return _loop_ohm(ohm_per_km, cables.dc_length_m, constant("cables.dc_design_degc"))


def ac_design_ohm(cables: Cables, phases: int) -> float:
    """Give what turns amps on each phase into the a.c. run's volts, copper fully warm [ohm]."""
    return _ac_ohm(cables, float(cable_kind(cables)["degc"])) * return_share(phases)


def return_share(phases: int) -> float:
    """Give the share of a loop's ohms that current meets: half on three equal phases."""
    return 0.5 if phases == 3 else 1.0


def cable_kind(cables: Cables) -> dict[str, str]:
    """Give the kind of the a.c. cable: its conductor, and how warm it may be."""
    return next(row for row in rows(KINDS_TABLE) if row["cable"] == cables.ac_cable)


def _ac_ohm(cables: Cables, degc: float) -> float:
    conductor = cast(Conductor, cable_kind(cables)["conductor"])
    ohm_per_km = conductor_ohm_per_km(cables.ac_mm2, conductor, "cables.ac_mm2")
    return _loop_ohm(ohm_per_km, cables.ac_length_m, degc)


def conductor_ohm_per_km(mm2: float, kind: Conductor, where: str) -> float:
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
