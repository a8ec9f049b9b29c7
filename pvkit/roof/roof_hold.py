"""What holds all ballasted arrays of one flat roof, taken together."""

from dataclasses import dataclass

from pvkit.errors import Fault, InputError
from pvkit.roof.ballast_plan import ballast_plan
from pvkit.roof.fit import lying_on, named_roof
from pvkit.roof.hold_plan import BallastPlan
from pvkit.roof.roof_load import RoofLoad
from pvkit.site.survey import Site


@dataclass(frozen=True, slots=True)
class RoofHold:
    """The ballast of a roof: indicative, never a proof.

    Parameters
    ----------
    plans : one for each array, in the order of the site file
    """

    plans: tuple[BallastPlan, ...]

    @property
    def holdable(self) -> bool:
        """Whether some mass would hold every array."""
        return all(plan.holdable for plan in self.plans)

    @property
    def blocks(self) -> int | None:
        """Whole blocks under all modules; None where no mass would do."""
        counts = [plan.blocks for plan in self.plans if plan.blocks is not None]
        return sum(counts) if len(counts) == len(self.plans) else None

    @property
    def tray_blocks(self) -> int | None:
        """Whole blocks on all trays; None where no mass would do."""
        counts = [plan.tray_blocks for plan in self.plans if plan.tray_blocks is not None]
        return sum(counts) if len(counts) == len(self.plans) else None

    @property
    def ballast_kg(self) -> float | None:
        """Mass of the blocks under all modules; None where no mass would do."""
        blocks = self.blocks
        return None if blocks is None else blocks * self.plans[0].block_kg

    @property
    def worst(self) -> BallastPlan:
        """The array whose heaviest module weighs most on the roof."""
        return max(self.plans, key=lambda plan: _local_kg_per_m2(plan.load))

    @property
    def load(self) -> RoofLoad | None:
        """Load of that array; None where no mass would do."""
        return self.worst.load if self.holdable else None


def roof_hold(site: Site, roof_name: str) -> RoofHold:
    """Give the ballast of every array on a roof.

    Parameters
    ----------
    site : a checked survey
    roof_name : a flat roof whose arrays are ballasted

    Raises
    ------
    InputError
        If there is no such roof, it is no flat one, or an array on it is fixed, not ballasted.

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> hold = roof_hold(load_site("flat_roof_garage"), "garage")
    >>> hold.blocks, hold.ballast_kg
    (60, 1080.0)
    """
    roof = named_roof(site, roof_name)
    if roof.kind != "flat":
        fault = Fault(
            f"roof.{roof_name}",
            "found a slope",
            "a flat roof with ballasted arrays",
            "a slope's modules are screwed to it: see the rows of `pvkit check`",
        )
        raise InputError(fault)
    return RoofHold(tuple(ballast_plan(site, array.name) for array in lying_on(site, roof_name)))


def _local_kg_per_m2(load: RoofLoad | None) -> float:
    return float("inf") if load is None else load.local_kg_per_m2
