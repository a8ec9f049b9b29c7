"""What an array's power is: wired as strings, or each module on its own."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from pvkit.electrical.usable_light import UsableLight
from pvkit.roof.light import Array, IntArray


@dataclass(frozen=True, slots=True, eq=False)
class Feed:
    """Power that an array feeds into its cables.

    Parameters
    ----------
    watts : (d,) of all strings [W]
    volts : (d,) of the strings; with optimisers the voltage at which the strongest module's
        current would carry the power [V]
    """

    watts: Array
    volts: Array


@dataclass(frozen=True, slots=True, eq=False)
class Alone:
    """Each module at its own maximum.

    Parameters
    ----------
    feed : all modules together, before the optimisers' loss
    above_w : (d,) part of it beyond what the optimisers can carry [W]
    module_kwh : (modules,) a year of each module [kWh d.c.]
    """

    feed: Feed
    above_w: Array
    module_kwh: Array


@dataclass(frozen=True, slots=True, eq=False)
class Wired:
    """Modules wired as strings.

    Parameters
    ----------
    string : at the highest maximum
    local : where a tracker may end that only climbs
    """

    string: Feed
    local: Feed


@dataclass(frozen=True, eq=False)
class ArrayPower:
    """A year of one array's power, whichever way it is wired.

    Parameters
    ----------
    light : light on its way to the cells
    weak_w : (d,) with weak light counted, all modules together [W]
    even : with warm cells as well, each module lit evenly by its own mean light
    uneven : (u,) positions among the daylight half-hours of those that are solved in full
    find_wired, find_alone : work out the strings and each module on its own; each takes long, so
        only when asked
    """

    light: UsableLight
    weak_w: Array
    even: Feed
    uneven: IntArray
    find_wired: Callable[[], Wired]
    find_alone: Callable[[], Alone]

    @cached_property
    def wired(self) -> Wired:
        """All modules as strings."""
        return self.find_wired()

    @property
    def string(self) -> Feed:
        """Wired as strings, at the highest maximum."""
        return self.wired.string

    @property
    def local(self) -> Feed:
        """Wired as strings, where a tracker may end that only climbs."""
        return self.wired.local

    @cached_property
    def alone(self) -> Alone:
        """Each module at its own maximum."""
        return self.find_alone()

    @property
    def own(self) -> Feed:
        """Each module at its own maximum, all together, before the optimisers' loss."""
        return self.alone.feed

    @property
    def above_w(self) -> Array:
        """Part of ``own`` beyond what the optimisers can carry, (d,) [W]."""
        return self.alone.above_w

    @property
    def module_kwh(self) -> Array:
        """A year of each module at its own maximum, (modules,) [kWh d.c.]."""
        return self.alone.module_kwh
