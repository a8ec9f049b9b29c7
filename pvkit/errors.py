"""Everything that can go wrong because of what a person typed or brought.

::

    PvkitError
     └─ InputError      a site file, weather file, option or change that cannot be used

An :class:`InputError` carries every fault found, each a :class:`Fault` that says where it is,
what was found, what is allowed and what to do.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with an input.

    Parameters
    ----------
    where : file and dotted key, or file and time
    found : what stands there now
    allowed : what may stand there
    fix : what to do about it

    Examples
    --------
    >>> print(Fault("a.toml, array.1.tilt_deg", "found 300", "0 to 90 deg", "give the slope"))
    a.toml, array.1.tilt_deg: found 300.
      Allowed: 0 to 90 deg.
      Fix: give the slope.
    """

    where: str
    found: str
    allowed: str
    fix: str

    def __str__(self) -> str:
        """Say the fault in the one form that every message of the kit has."""
        return f"{self.where}: {self.found}.\n  Allowed: {self.allowed}.\n  Fix: {self.fix}."


class PvkitError(Exception):
    """The base of every error the kit raises on purpose."""


class InputError(PvkitError):
    """Something a person gave cannot be used; ``faults`` lists all that is wrong with it."""

    def __init__(self, *faults: Fault) -> None:
        self.faults = faults
        count = "" if len(faults) < 2 else f"{len(faults)} things to put right:\n"
        super().__init__(count + "\n".join(str(fault) for fault in faults))
