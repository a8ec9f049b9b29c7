"""Contradictions inside a module's data sheet, found before a curve is drawn through it."""

from collections.abc import Iterator

from pvkit.errors import Fault, InputError
from pvkit.site.kit import ModuleSheet
from pvkit.tables import constant


def sheet_faults(sheet: ModuleSheet) -> tuple[Fault, ...]:
    """Find the numbers of a data sheet that cannot stand beside each other.

    Parameters
    ----------
    sheet : a module's numbers at 1000 W/m², 25 °C

    Returns
    -------
    one fault for each, ``where`` counted from the array, as in ``datasheet.vmp_v``

    Examples
    --------
    >>> from pvkit.site.parts import module_sheet
    >>> good = module_sheet("half-cut-430")
    >>> sheet_faults(good)
    ()
    >>> sheet_faults(good.model_copy(update={"cells_in_series": 108}))[0].where
    'datasheet.cells_in_series'
    """
    return (*_order(sheet), *_power(sheet), *_cells(sheet))


def named_faults(array: str, error: InputError) -> tuple[Fault, ...]:
    """Put the array's name before each fault of its module's data sheet."""
    return tuple(
        Fault(f"array.{array}.{fault.where}", fault.found, fault.allowed, fault.fix)
        for fault in error.faults
    )


def _order(sheet: ModuleSheet) -> Iterator[Fault]:
    if sheet.vmp_v >= sheet.voc_v:
        yield Fault(
            "datasheet.vmp_v",
            f"found {sheet.vmp_v:g} V, at or above the open-circuit {sheet.voc_v:g} V",
            f"below voc_v, {sheet.voc_v:g} V",
            "look whether vmp_v and voc_v have changed places",
        )
    if sheet.imp_a >= sheet.isc_a:
        yield Fault(
            "datasheet.imp_a",
            f"found {sheet.imp_a:g} A, at or above the short-circuit {sheet.isc_a:g} A",
            f"below isc_a, {sheet.isc_a:g} A",
            "look whether imp_a and isc_a have changed places",
        )


def _power(sheet: ModuleSheet) -> Iterator[Fault]:
    product_w = sheet.vmp_v * sheet.imp_a
    share = constant("module.power_mismatch_fraction")
    if abs(product_w / sheet.pmax_w - 1) > share:
        yield Fault(
            "datasheet.pmax_w",
            f"found {sheet.pmax_w:g} W, but vmp_v x imp_a is {product_w:.1f} W",
            f"within {share:.0%} of each other",
            "copy pmax_w, vmp_v and imp_a from the same column of the data sheet",
        )


def _cells(sheet: ModuleSheet) -> Iterator[Fault]:
    low, high = constant("module.cell_voc_low_v"), constant("module.cell_voc_high_v")
    each_v = sheet.voc_v / sheet.cells_in_series
    if not low <= each_v <= high:
        yield Fault(
            "datasheet.cells_in_series",
            f"found {sheet.cells_in_series}, which makes {each_v:.2f} V of voc_v a cell",
            f"{low:g} to {high:g} V a cell (silicon)",
            "count cells in series: a 108-half-cell module has 54",
        )
