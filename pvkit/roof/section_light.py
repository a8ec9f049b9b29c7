"""Light on the sections of each module, half-hour by half-hour."""

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pvkit.roof.horizon import horizon_elevation, sky_seen_fraction
from pvkit.roof.light import Light, Plane, plane_light
from pvkit.roof.perez import SkySplit
from pvkit.roof.sky_share import left_of_sky, sky_weights
from pvkit.roof.sky_view import SkyView
from pvkit.roof.threads import in_parts
from pvkit.tables import constant

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Float32 = NDArray[np.float32]
Shares = NDArray[np.float32] | NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class SectionLight:
    """Light on the sections of an array's modules over the daylight half-hours.

    A cell's light is ``direct_open`` × share + ``sky_open`` × sky_share + ``ground``. Light thrown
    back by the ground is not hidden. Where nothing hides the sky the shares are broadcast ones.

    Parameters
    ----------
    light : light on the plane; ``direct`` and ``sky`` are the array's means after obstacles
    modules, sections : of the array, and of each module
    season : (d,) 0 with bare trees, 1 with leaves; all 0 where no tree makes a difference
    direct_share : (d, modules, sections) mean share of direct light that reaches a section's cells
    worst_share : the same for the cell of the section that gets the least
    sky_share : (seasons, modules, sections) share of the plane's own sky light
    """

    light: Light
    modules: int
    sections: int
    season: IntArray
    direct_share: Shares
    worst_share: Shares
    sky_share: Array


def section_light(split: SkySplit, plane: Plane, view: SkyView) -> SectionLight:
    """Weigh the sky's light by what each section sees of it.

    Parameters
    ----------
    split : the plane-independent part, from :func:`pvkit.roof.perez.sky_split`
    plane : tilt, direction, ground and distant skyline
    view : from :func:`pvkit.roof.sky_view.sky_view_table`

    Returns
    -------
    shares by section, and the plane's light with the means of them taken

    Source
    ------
    As :func:`pvkit.roof.light.plane_light`. The light from round the sun is hidden together with
    the sun. The rest of the sky's light is hidden by what the table takes off an isotropic sky and
    off a band along the horizon (Lambert's law), the two weighed by the year's light of each: one
    share for each leaf season, the band counting for nothing where it darkens on the whole. The
    sun is hidden by the distant skyline or by the table, whichever comes first.
    """
    base = plane_light(split, plane)
    if view.hidden is None or view.darkest is None:
        return _open(base, split, plane, view)
    season = _season(split.daylight, view.seasons)
    shape = (len(split.daylight), view.modules, view.sections)
    sun = _Suns(
        split.azimuth_rad, np.pi / 2 - split.zenith_rad, season, _above_skyline(split, plane)
    )
    mean, worst = (share.reshape(shape) for share in _read((view.hidden, view.darkest), sun))
    left = _left(view.hidden, plane, _band_part(base, split, plane, season, view.seasons))
    left = left.reshape(view.seasons, view.modules, view.sections)
    light = replace(
        base,
        direct=base.direct_open * mean.mean(axis=(1, 2), dtype=np.float64),
        sky=base.sky * left.mean(axis=(1, 2))[season],
    )
    return SectionLight(
        light, view.modules, view.sections, season, mean, worst, left * _skyline_share(plane)
    )


def _open(base: Light, split: SkySplit, plane: Plane, view: SkyView) -> SectionLight:
    """Give every section the plane's own light, without copying it for each."""
    shape = (len(base.daylight), view.modules, view.sections)
    above = _above_skyline(split, plane)
    seen = above[:, None, None] if plane.horizon is not None else np.float64(1.0)
    sky = np.broadcast_to(np.float64(_skyline_share(plane)), (1, *shape[1:]))
    shares = np.broadcast_to(seen, shape)
    season = np.zeros(len(base.daylight), dtype=np.int64)
    return SectionLight(base, view.modules, view.sections, season, shares, shares, sky)


def _skyline_share(plane: Plane) -> float:
    """Give the share of the plane's sky light that the distant skyline leaves."""
    if plane.horizon is None:
        return 1.0
    return sky_seen_fraction(plane.horizon, plane.surface_tilt, plane.surface_azimuth)


def _above_skyline(split: SkySplit, plane: Plane) -> Array:
    """Give 1 where the sun stands above the distant skyline, else 0."""
    if plane.horizon is None:
        return np.ones(len(split.daylight), dtype=np.float64)
    skyline = horizon_elevation(plane.horizon, split.azimuth_rad)
    return (np.pi / 2 - split.zenith_rad > skyline).astype(np.float64)


def _season(daylight: IntArray, seasons: int) -> IntArray:
    """Give 1 for the half-hours of the months with leaves, if there are seasons to tell."""
    if seasons == 1:
        return np.zeros(len(daylight), dtype=np.int64)
    start = np.datetime64(f"{int(constant('calendar.year'))}-01-01T00:00")
    months = (start + daylight * np.timedelta64(30, "m")).astype("datetime64[M]")
    number = months.astype(np.int64) % 12 + 1
    first, last = constant("tree.first_leaf_month"), constant("tree.last_leaf_month")
    return ((number >= first) & (number <= last)).astype(np.int64)


class _Suns(NamedTuple):
    """Where the sun stands [rad], the season, and whether the distant skyline lets it through."""

    bearing: Array
    elevation: Array
    season: IntArray
    above: Array


def _read(tables: tuple[Float32, Float32], suns: _Suns) -> tuple[Float32, Float32]:
    """Give mean and worst shares (times, sections) at each sun."""
    from pvkit.roof.light_kernel import read_table

    count = len(suns.bearing)
    shape = (count, tables[0].shape[-1])
    shares = np.empty(shape, np.float32), np.empty(shape, np.float32)

    def run(first: int, last: int) -> None:
        part = slice(first, last)
        read_table(
            tables,
            suns.bearing[part],
            suns.elevation[part],
            suns.season[part],
            suns.above[part],
            (shares[0][part], shares[1][part]),
        )

    in_parts(count, run)
    return shares


def _band_part(base: Light, split: SkySplit, plane: Plane, season: IntArray, seasons: int) -> Array:
    """Give the band's part of the plane's sky light in each season, (seasons,)."""
    band = split.horizon_band * np.sin(np.radians(plane.surface_tilt)) * (base.sky_open > 0)
    total = np.bincount(season, base.sky_open, minlength=seasons)
    part = np.bincount(season, band, minlength=seasons) / np.maximum(total, 1.0)
    return np.asarray(np.clip(part, 0.0, 1.0), dtype=np.float64)


def _left(hidden: Float32, plane: Plane, band_part: Array) -> Array:
    """Give the share of the plane's sky light that the table leaves, (seasons, sections)."""
    whole = left_of_sky(hidden, sky_weights(hidden.shape[1], hidden.shape[2], plane))
    top = constant("sky.band_top_deg")
    weight = sky_weights(hidden.shape[1], hidden.shape[2], plane, top)
    if weight.sum() == 0:  # the distant skyline stands above the band all round
        return whole
    return np.asarray(whole + band_part[:, None] * (left_of_sky(hidden, weight) - whole))
