"""What a home used, half-hour by half-hour, from the registers of its meters."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.errors import Fault, InputError
from pvkit.home.meter_asked import asked_of, asked_of_generation
from pvkit.home.meter_clock import said, utc_midnights
from pvkit.home.meter_days import Days, days_of, filled, whole_days
from pvkit.home.meter_faults import (
    Register,
    fill_notes,
    register_faults,
    register_of,
    spans,
    zero_notes,
)
from pvkit.home.meter_readings import Readings, read_half_hours
from pvkit.home.meter_units import size_faults
from pvkit.site.household import Home
from pvkit.tables import constant

Array = NDArray[np.float64]

FILL_KEY = "home.meter_fill"


@dataclass(frozen=True, slots=True, eq=False)
class Use:
    """What a home used on the whole days of its meter files.

    Parameters
    ----------
    days : the use, gaps filled if the site file asks for it
    said : how the files were read
    notes : what was left out, filled, or looks odd
    """

    days: Days
    said: tuple[str, ...]
    notes: tuple[str, ...]


def read_use(home: Home) -> Use:
    """Read a home's meter files.

    Parameters
    ----------
    home : names the files and says how to read them

    Raises
    ------
    InputError
        With everything that is wrong with the files, dates told.
    """
    files = [read_half_hours(str(home.meter_file), asked_of(home))]
    if home.meter_generation_file is not None:
        files.append(read_half_hours(home.meter_generation_file, asked_of_generation(home)))
    first_day, end_day = _common_days(files)
    first, end = (int(at) for at in utc_midnights(np.array([first_day, end_day])))
    registers = _registers(files, first, end)
    if not home.meter_fill:
        _refuse(register_faults(registers, FILL_KEY))
    days = filled(days_of(first_day, end_day, _used(registers, first)))
    if not days.whole.any():
        raise InputError(Fault(files[0].file, "found no day with most of its readings",
                               "whole days", "export the file again"))  # fmt: skip
    idle = zero_notes(registers[0]) if len(registers) == 1 else ()
    notes = (*_ends(files, first, end), *fill_notes(registers), *idle)
    return Use(days, tuple(text for each in files for text in each.said), notes)


def _refuse(faults: list[Fault]) -> None:
    if faults:
        raise InputError(*faults)


def _common_days(files: list[Readings]) -> tuple[int, int]:
    """Give the whole local days that all files span, the end left out."""
    ranges = [whole_days(int(each.start[0]), int(each.start[-1])) for each in files]
    first, end = max(first for first, _ in ranges), min(end for _, end in ranges)
    least = int(constant("meter.least_days"))
    if end - first < least:
        names = " and ".join(each.file for each in files)
        raise InputError(Fault(names, f"found {max(end - first, 0)} whole days",
                               f"{least} whole days or more",
                               "export a longer time, a year if possible"))  # fmt: skip
    return first, end


def _registers(files: list[Readings], first: int, end: int) -> list[Register]:
    """Lay out the registers that say what the home used."""
    asked = asked_of(Home())
    _refuse([fault for each in files for fault in size_faults(each.file, each.numbers, asked)])
    found = [register_of(each, role, first, end) for each in files for role in each.numbers]
    sold = sum(float(np.nansum(each.kwh)) for each in found if each.role == "export")
    made = any(each.role == "generation" for each in found)
    if sold > 0.0 and not made:
        raise InputError(
            Fault(
                files[0].file,
                f"found {sold:,.0f} kWh of export: solar is there already",
                "import from before the solar, or generation beside import and export",
                "what the home used cannot be told from import and export alone: give "
                "home.meter_generation_file, a file from before the solar, or yearly_kwh in the "
                "place of meter_file",
            )
        )
    return [each for each in found if each.role != "export" or sold > 0.0]


def _used(registers: list[Register], first: int) -> Array:
    """Add import and generation and take off export: what the home used."""
    used = np.zeros_like(registers[0].kwh)
    for register in registers:
        used += -register.kwh if register.role == "export" else register.kwh
    below = np.flatnonzero(used < -constant("meter.negative_kwh"))
    if len(below):
        raise InputError(
            Fault(
                registers[0].file,
                f"found more exported than was bought and generated {spans(below + first)}",
                "import + generation - export of zero or more",
                "check that all registers are on one clock and in one unit",
            )
        )
    return np.maximum(used, 0.0)  # a missing reading stays missing


def _ends(files: list[Readings], first: int, end: int) -> tuple[str, ...]:
    """Say what was left out before the first and after the last whole day."""
    outside = [int(((each.start < first) | (each.start >= end)).sum()) for each in files]
    return tuple(
        f"{each.file}: {out:,} readings are left out, being before {said(first)} or from "
        f"{said(end)} on: only whole days count."
        for each, out in zip(files, outside, strict=True)
        if out
    )
