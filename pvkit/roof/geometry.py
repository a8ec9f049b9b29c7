"""Everything that decides what an array can see, as one frozen input."""

from dataclasses import dataclass

from pvkit.site.kit import Array, Roof
from pvkit.site.obstacles import Obstacle
from pvkit.site.placing import site_blocks
from pvkit.site.plan import Block
from pvkit.site.survey import Site
from pvkit.tables import constant


@dataclass(frozen=True, slots=True)
class Grid:
    """How finely the sky is parted.

    Parameters
    ----------
    bearings : parts of the compass
    elevations : parts from level to overhead
    rays : bearings looked along within each part
    """

    bearings: int
    elevations: int
    rays: int


def usual_grid() -> Grid:
    """Give the grid that estimates run on, from the tables."""
    return Grid(*(int(constant(f"view.{name}")) for name in ("bearings", "elevations", "rays")))


@dataclass(frozen=True, slots=True)
class Geometry:
    """One array on its roof with all that may stand in its light; hashable, to remember by.

    Parameters
    ----------
    roof : the roof
    block : the array's modules
    others : blocks of the other arrays on the same roof
    obstacles : what stands in the light of this roof
    cells_in_series, half_cut : of one module
    clearance_m : from the roof to the modules: square to a slope, plumb on a flat roof
    grid : how finely the sky is parted
    """

    roof: Roof
    block: Block
    others: tuple[Block, ...]
    obstacles: tuple[Obstacle, ...]
    cells_in_series: int
    half_cut: bool
    clearance_m: float
    grid: Grid


def geometry(site: Site, array: Array, grid: Grid | None = None) -> Geometry:
    """Gather what an array can see of the sky from its survey.

    Parameters
    ----------
    site : a checked survey
    array : one of its arrays
    grid : how finely to part the sky; the usual grid if left out
    """
    roof = site.roof_of(array)
    laid = site_blocks(site, roof)
    module = site.module(array)
    return Geometry(
        roof=roof,
        block=laid.pop(array.name),
        others=tuple(laid.values()),
        obstacles=tuple(o for o in site.obstacle if o.roof in (None, roof.name)),
        cells_in_series=module.cells_in_series,
        half_cut=module.half_cut,
        clearance_m=clearance_m(site, array),
        grid=usual_grid() if grid is None else grid,
    )


def clearance_m(site: Site, array: Array) -> float:
    """Give the distance from the roof to an array's modules, or to their lower edge if flat."""
    if site.roof_of(array).kind == "flat":
        return constant("layout.clearance_m.flat")
    return constant(f"layout.clearance_m.{site.mounting(array)}")
