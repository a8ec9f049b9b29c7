"""What the electrical stage reads: each array with its light, and what the arrays are wired to."""

from dataclasses import dataclass
from functools import cache

from pvkit.roof.light import Light
from pvkit.roof.section_light import SectionLight
from pvkit.site.kit import Cables, InverterSheet, Losses, ModuleSheet
from pvkit.tables import parts


@dataclass(frozen=True, slots=True, eq=False)
class ArrayInputs:
    """One array of like modules on one input of the inverter.

    Parameters
    ----------
    name : the array's name in the site file
    light : light on its plane over the daylight half-hours
    module : data sheet of its modules
    count : modules in the array
    strings : strings in parallel, equally long
    mounting : ballasted, on-roof or in-roof
    optimisers : an optimiser on every module
    surface_tilt : from level [deg]
    height_m : of the modules above ground, for the wind that cools them [m]
    terrain : sea, country or town
    sections : light on the sections of each module; None: all evenly lit by ``light``
    """

    name: str
    light: Light
    module: ModuleSheet
    count: int
    strings: int
    mounting: str
    optimisers: bool
    surface_tilt: float
    height_m: float
    terrain: str
    sections: SectionLight | None = None

    @property
    def kwp(self) -> float:
        """Rated power of the array [kWp]."""
        return self.count * self.module.pmax_w / 1000.0

    @property
    def in_series(self) -> float:
        """Modules in one string."""
        return self.count / self.strings


@dataclass(frozen=True, slots=True)
class OptimiserSheet:
    """An optimiser's own numbers.

    Parameters
    ----------
    max_w : largest module it carries [W]
    efficiency : share of the module's energy that it passes on
    standby_w : own use; fed by the module, so nothing at night [W]
    input_max_v : highest open-circuit voltage of its module [V]
    input_isc_max_a : highest short-circuit current of its module [A]
    least_in_string : fewest in series with which a string starts
    most_in_string : most in series
    """

    max_w: float
    efficiency: float
    standby_w: float
    input_max_v: float
    input_isc_max_a: float
    least_in_string: int
    most_in_string: int


@cache
def optimiser_sheet(name: str = "optimiser-500") -> OptimiserSheet:
    """Give the data sheet of an optimiser in the parts list.

    Examples
    --------
    >>> optimiser_sheet().efficiency
    0.988
    """
    return OptimiserSheet(**parts("optimisers")[name])


@dataclass(frozen=True, slots=True)
class Wiring:
    """What stands between the modules and the meter.

    Parameters
    ----------
    inverter : data sheet of the one inverter that all arrays share
    cables : lengths and sizes; the d.c. run is that of each string
    losses : shares lost, and the steps that are switched off
    optimiser : data sheet of the optimisers, where an array has them
    """

    inverter: InverterSheet
    cables: Cables
    losses: Losses
    optimiser: OptimiserSheet
