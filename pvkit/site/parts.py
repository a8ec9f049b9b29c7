"""The parts list: generic modules, inverters and optimisers, each from data-sheet numbers."""

from functools import cache

from pvkit.site.kit import InverterSheet, ModuleSheet
from pvkit.tables import parts


@cache
def module_sheet(name: str) -> ModuleSheet:
    """Give the data sheet of a module in the parts list.

    Examples
    --------
    >>> module_sheet("half-cut-430").cells_in_series
    54
    """
    return ModuleSheet.model_validate(parts("modules")[name])


@cache
def inverter_sheet(name: str) -> InverterSheet:
    """Give the data sheet of an inverter in the parts list.

    Examples
    --------
    >>> inverter_sheet("single-phase-2500").ac_w
    2500.0
    """
    return InverterSheet.model_validate(parts("inverters")[name])
