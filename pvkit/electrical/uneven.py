"""Which half-hours are unevenly lit, and what light falls on the cells in them."""

from dataclasses import dataclass, replace

import numpy as np

from pvkit.electrical.mismatch import CellLight
from pvkit.roof.light import Array, IntArray
from pvkit.roof.section_light import SectionLight
from pvkit.roof.threads import in_parts
from pvkit.tables import constant


@dataclass(frozen=True, slots=True, eq=False)
class Passing:
    """Light that would reach the cells if nothing stood in the way, behind glass and dirt.

    Parameters
    ----------
    direct, sky, ground : (d,) [W m⁻²]
    """

    direct: Array
    sky: Array
    ground: Array


def as_seen(sections: SectionLight, off: tuple[str, ...]) -> SectionLight:
    """Give what the sections see when a step of the loss stack is switched off."""
    shape = sections.direct_share.shape
    if "hidden_beam" in off:
        open_to_all = np.broadcast_to(np.float64(1.0), shape)
        sections = replace(sections, direct_share=open_to_all, worst_share=open_to_all)
    if "hidden_sky" in off:
        whole = np.broadcast_to(np.float64(1.0), sections.sky_share.shape)
        sections = replace(sections, sky_share=whole)
    return sections


def uneven_half_hours(passing: Passing, sections: SectionLight) -> IntArray:
    """Find the half-hours whose cells are not evenly lit.

    Parameters
    ----------
    passing : light behind the glass
    sections : what each section sees of it

    Returns
    -------
    (u,) positions among the daylight half-hours: the cells' light spreads over more than
    ``uneven.spread_fraction`` of its mean. The bounds of the parts are added up, so that some
    half-hours count as uneven that hardly are, and none the other way.
    """
    seen = sections.sky_share.reshape(len(sections.sky_share), -1)
    least_sky, most_sky, mean_sky = (
        bound[sections.season] for bound in (seen.min(axis=1), seen.max(axis=1), seen.mean(axis=1))
    )
    least, most, mean = _direct_bounds(sections)
    low = passing.direct * least + passing.sky * least_sky
    high = passing.direct * most + passing.sky * most_sky
    whole = passing.direct * mean + passing.sky * mean_sky + passing.ground
    spread = constant("uneven.spread_fraction")
    return np.flatnonzero(
        (high - low > spread * whole) & (whole > constant("uneven.faintest_w_per_m2"))
    )


def cell_light(
    passing: Passing, sections: SectionLight, at: IntArray, in_series: float
) -> CellLight:
    """Give the light on open and shaded cells of each section, in some of the half-hours.

    Parameters
    ----------
    passing : light behind the glass
    sections : what each section sees of it
    at : (u,) positions among the daylight half-hours
    in_series : cells of a section

    Returns
    -------
    of a section's cells so many get its worst share, the others all, that its mean comes out; at
    least one where any is shaded
    """
    full, shaded, number = (np.empty((len(at), *sections.direct_share.shape[1:])) for _ in range(3))

    def run(first: int, last: int) -> None:
        part = slice(first, last)
        lit = _part_light(passing, sections, at[part], in_series)
        full[part], shaded[part], number[part] = lit

    in_parts(len(at), run)
    return CellLight(full=full, shaded=shaded, number=number)


def _part_light(
    passing: Passing, sections: SectionLight, at: IntArray, in_series: float
) -> tuple[Array, Array, Array]:
    """Give light on open cells, on shaded ones, and the number of these, each (u, m, s)."""
    mean = sections.direct_share[at].astype(np.float64)
    worst = np.minimum(sections.worst_share[at], mean)
    sky = sections.sky_share[sections.season[at]] * passing.sky[at, None, None]
    rest = sky + passing.ground[at, None, None]
    direct = passing.direct[at, None, None]
    hidden = 1.0 - worst
    share = np.divide(1.0 - mean, hidden, out=np.zeros_like(mean), where=hidden > 0)
    number = np.where(share > 0, np.clip(in_series * share, 1.0, in_series), 0.0)
    return direct + rest, direct * worst + rest, number


def mean_light(light: CellLight, in_series: float) -> Array:
    """Give the mean light on each module's cells, (u, modules) [W m⁻²]."""
    dimmed = (light.full - light.shaded) * light.number / in_series
    return np.asarray((light.full - dimmed).mean(axis=2))


def _direct_bounds(sections: SectionLight) -> tuple[Array, Array, Array]:
    """Give the least, the greatest and the mean share of direct light on any cell, (d,)."""
    mean, worst = sections.direct_share, sections.worst_share
    count = len(sections.season)
    if mean.strides[1:] == (0, 0):  # every section sees the same: read one
        mean, worst = mean[:, :1, :1], worst[:, :1, :1]
    mean, worst = mean.reshape(count, -1), worst.reshape(count, -1)
    least = worst.min(axis=1)
    most = np.where((mean > worst).any(axis=1), 1.0, mean.max(axis=1))
    return least, most, mean.mean(axis=1, dtype=np.float64)
