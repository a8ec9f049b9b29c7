"""The weight that an array lays on its roof, as mass and as load, whole and where it is worst."""

from dataclasses import dataclass

from pvkit.roof.loads import load_number
from pvkit.site.kit import Roof

_NEWTONS_A_KILONEWTON = 1000.0
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class RoofLoad:
    """Dead load of an array: modules, frames and ballast.

    Parameters
    ----------
    total_kg, ballast_kg : of the array
    array_m2 : the array's part of the roof, gaps and row pitch counted
    local_kg, local_m2 : the heaviest module with all that holds it, over its own area in plan;
        under the feet or trays themselves it is more
    roof_m2 : the whole roof
    allowance_kn_per_m2 : what an engineer says the roof can still take, if the survey has it
    """

    total_kg: float
    ballast_kg: float
    array_m2: float
    local_kg: float
    local_m2: float
    roof_m2: float
    allowance_kn_per_m2: float | None

    @property
    def total_kn(self) -> float:
        """Weight of the array."""
        return kilonewtons(self.total_kg)

    @property
    def array_kg_per_m2(self) -> float:
        """Mean over the array's part of the roof."""
        return self.total_kg / self.array_m2

    @property
    def array_kn_per_m2(self) -> float:
        """Mean over the array's part of the roof."""
        return kilonewtons(self.array_kg_per_m2)

    @property
    def local_kg_per_m2(self) -> float:
        """Over the heaviest module's own area in plan."""
        return self.local_kg / self.local_m2

    @property
    def local_kn_per_m2(self) -> float:
        """Over the heaviest module's own area in plan."""
        return kilonewtons(self.local_kg_per_m2)

    @property
    def roof_kg_per_m2(self) -> float:
        """Mean over the whole roof."""
        return self.total_kg / self.roof_m2

    @property
    def exceeds(self) -> bool:
        """Whether the local load is above the allowance; no allowance is never exceeded."""
        allowed = self.allowance_kn_per_m2
        return allowed is not None and self.local_kn_per_m2 > allowed + _ROUNDING


def kilonewtons(mass_kg: float) -> float:
    """Give the weight of a mass [kN], or its load from kg/m² [kN/m²].

    Examples
    --------
    >>> round(kilonewtons(61.0), 2)
    0.6
    """
    return mass_kg * load_number("gravity.m_per_s2") / _NEWTONS_A_KILONEWTON


def allowance_words(roof: Roof) -> str:
    """Say what the roof may still carry, as the survey has it."""
    if roof.allowance_kn_per_m2 is None:
        return "no allowance given (roof.allowance_kn_per_m2)"
    return f"{roof.allowance_kn_per_m2:.2f} kN/m², the surveyor's allowance"
