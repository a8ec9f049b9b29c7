"""What the numbers of a meter or price file are: read off its headings, else off their size."""

import re

import numpy as np
from numpy.typing import NDArray

from pvkit.errors import Fault
from pvkit.home.meter_asked import Asked
from pvkit.home.meter_columns import Layout
from pvkit.home.meter_text import Sheet
from pvkit.tables import constant

Array = NDArray[np.float64]

# From the file's unit to kWh in the half-hour, or to GBP/kWh.
FACTORS = {"kWh": 1.0, "Wh": 0.001, "kW": 0.5, "GBP/kWh": 1.0, "p/kWh": 0.01}
HEADINGS = {
    "kWh": r"k\s*w\s*h",
    "Wh": r"(?<![km])w\s*h(?:\b|$)|watt[ -]?hours?",
    "kW": r"k\s*w(?!\s*h)\b",
}
PRICE_HEADINGS = {"GBP/kWh": r"gbp|£|pound", "p/kWh": r"\bp\s*/|\bp\b|pence|penny"}


def unit_of(
    sheet: Sheet, layout: Layout, values: dict[str, Array], asked: Asked
) -> tuple[str, str]:
    """Find the unit of a file's numbers, and say how it is known.

    Parameters
    ----------
    sheet, layout : the file and what stands where
    values : its numbers, by register
    asked : the unit, if the site file gives it
    """
    if asked.unit is not None:
        return asked.unit, f"{sheet.file}: numbers are {asked.unit}, as {asked.key}_unit says."
    known = PRICE_HEADINGS if asked.needed == "price" else HEADINGS
    heads = [sheet.names[column] for _, column in layout.registers] or [sheet.above]
    for text in (" ".join(heads).lower(), sheet.above.lower()):
        named = [unit for unit, pattern in known.items() if re.search(pattern, text)]
        if len(named) == 1:
            return named[0], f"{sheet.file}: numbers are {named[0]}, as a heading says."
    numbers = np.abs(values[asked.needed])
    usual = float(np.nanmedian(numbers[numbers > 0])) if (numbers > 0).any() else 0.0
    small, large, limit = (
        ("GBP/kWh", "p/kWh", constant("tariff.pence_above"))
        if asked.needed == "price"
        else ("kWh", "Wh", constant("meter.wh_above"))
    )
    unit = large if usual > limit else small
    return unit, (
        f"{sheet.file}: numbers are taken as {unit}, being about {usual:.3g} as a rule "
        f"({asked.key}_unit sets it)."
    )


def size_faults(file: str, values: dict[str, Array], asked: Asked) -> list[Fault]:
    """Refuse numbers that no home's supply could carry, and readings that only ever rise.

    Parameters
    ----------
    file : name, for messages
    values : (rows,) by register, in the order of time [kWh]
    asked : what was sought
    """
    faults = []
    for role, column in values.items():
        numbers = column[~np.isnan(column)]
        most = float(numbers.max(initial=0.0))
        rises = (np.diff(numbers) >= 0).all() and (np.diff(numbers) > 0).any()
        if len(numbers) > constant("meter.rising_readings") and rises:
            faults.append(
                Fault(
                    file,
                    f"found {role} numbers that never fall, from {numbers[0]:g} to {numbers[-1]:g}",
                    "what each half-hour used",
                    "this looks like the meter's register: export the use of each half-hour",
                )
            )
        elif most > constant("meter.most_kwh"):
            faults.append(
                Fault(
                    file,
                    f"found {most:,.4g} kWh in one half-hour ({role})",
                    f"up to {constant('meter.most_kwh'):g} kWh",
                    f"set {asked.key}_unit: 'Wh' if the file's numbers are watt-hours",
                )
            )
    return faults
