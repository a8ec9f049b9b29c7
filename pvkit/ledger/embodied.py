"""What making the system put into the air, part by part."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.site.carbon import Carbon
from pvkit.tables import rows

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class EmbodiedPart:
    """One part of the making [kgCO2e]."""

    name: str
    kg: float


def batteries_kwh(capacity_kwh: Array) -> float:
    """Add up all batteries bought: the first, and one each time the capacity rises again.

    Parameters
    ----------
    capacity_kwh : (years,) what the battery holds in each year [kWh]

    Examples
    --------
    >>> batteries_kwh(np.array([5.0, 4.9, 5.0, 4.9, 0.0]))
    10.0
    """
    before = np.concatenate(([0.0], capacity_kwh[:-1]))
    return float(capacity_kwh[capacity_kwh > before].sum())


def embodied_parts(
    carbon: Carbon, kwp: float, battery_kwh: float = 0.0
) -> tuple[EmbodiedPart, ...]:
    """List what making the system weighs.

    Parameters
    ----------
    carbon : kilograms for each kWp (modules, mounting, and the inverter with one change of it) and
        for each kWh of battery
    kwp : rated d.c. power [kWp]
    battery_kwh : all batteries bought in the years counted [kWh]

    Source
    ------
    IEA PVPS Task 12 for the whole; its parts by ``embodied_parts.csv``, from memory.

    Examples
    --------
    >>> for part in embodied_parts(Carbon(embodied_kgco2e_per_kwp=1000.0), 2.0):
    ...     print(part.name, round(part.kg))
    modules 1560
    inverter 200
    mounting 240
    """
    whole = carbon.embodied_kgco2e_per_kwp * kwp
    table = rows("embodied_parts.csv")
    parts = [EmbodiedPart(row["part"], float(row["share"]) * whole) for row in table]
    if battery_kwh > 0:
        parts.append(EmbodiedPart("battery", carbon.battery_kgco2e_per_kwh * battery_kwh))
    return tuple(parts)
