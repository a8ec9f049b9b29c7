"""The answer of the ballast sum: each module, each tray, and the load on the roof."""

from dataclasses import dataclass

from pvkit.roof.ballast import Hold
from pvkit.roof.pressure_coefficient import Coefficient
from pvkit.roof.roof_load import RoofLoad
from pvkit.roof.site_wind import SiteWind
from pvkit.roof.wind_zones import Zone
from pvkit.tables import Number


@dataclass(frozen=True, slots=True)
class HeldModule:
    """What one module needs.

    Parameters
    ----------
    number, row : from 1, lowest row first
    zone : of the roof
    open_edge : at an open edge of the array
    factor : how many times harder the wind pulls there
    force_n : suction square to the module, before partial factors
    lifting_kg, sliding_kg, tipping_kg : mass in all, own mass and ballast, against each
    ballast_kg : needed beyond the module's and frame's own mass
    blocks : whole blocks; None where no mass would do
    """

    number: int
    row: int
    zone: Zone
    open_edge: bool
    factor: float
    force_n: float
    lifting_kg: float
    sliding_kg: float
    tipping_kg: float
    ballast_kg: float
    blocks: int | None


@dataclass(frozen=True, slots=True)
class Tray:
    """What one tray between two neighbours carries.

    Parameters
    ----------
    row, place : from 1, along the row
    ballast_kg : half of what the module on each side needs
    blocks : whole blocks; None where no mass would do
    """

    row: int
    place: int
    ballast_kg: float
    blocks: int | None


@dataclass(frozen=True, slots=True)
class Case:
    """What another coefficient would ask of an inner module.

    Parameters
    ----------
    coefficient : with its source
    ballast_kg : of an inner module, beyond its own mass
    """

    coefficient: Number
    ballast_kg: float


@dataclass(frozen=True, slots=True)
class BallastPlan:
    """How an array on a flat roof is held down by weight: indicative, never a proof.

    Parameters
    ----------
    array, roof : names
    wind, coefficient, hold : what it rests on
    friction : between feet and roof, with its source
    own_kg : module and frame
    block_kg : one block
    modules, trays : what each needs
    inner_kg, edge_kg : ballast of a module with a factor of 1, and of one at an edge
    push_n : wind pressing on one module, after its partial factor, for the deck below
    load : dead load with blocks under each module; None where no mass would do
    blocks, tray_blocks : of the whole array, placed by module and by tray; None likewise
    cases : what other coefficients would ask
    inputs : every number with its source
    sentences : what the reader must know
    """

    array: str
    roof: str
    wind: SiteWind
    coefficient: Coefficient
    hold: Hold
    friction: Number
    own_kg: float
    block_kg: float
    modules: tuple[HeldModule, ...]
    trays: tuple[Tray, ...]
    inner_kg: float
    edge_kg: float
    push_n: float
    load: RoofLoad | None
    blocks: int | None
    tray_blocks: int | None
    cases: tuple[Case, ...]
    inputs: tuple[Number, ...]
    sentences: tuple[str, ...]

    @property
    def holdable(self) -> bool:
        """Whether any mass would hold it."""
        return self.blocks is not None

    @property
    def governs(self) -> str:
        """Which of the three asks most of the module that needs most: lift, slide or tip."""
        worst = max(self.modules, key=lambda module: module.force_n)
        asks = {
            "sliding": worst.sliding_kg,
            "lifting": worst.lifting_kg,
            "tipping": worst.tipping_kg,
        }
        return max(asks, key=lambda name: asks[name])
