"""The year's light on the modules of a layout, with the shade of its own rows and of obstacles."""

from dataclasses import dataclass

from pvkit.roof.fit import Layout, Part
from pvkit.roof.geometry import Geometry, Grid, clearance_m
from pvkit.roof.light import Light, Plane, plane_light
from pvkit.roof.perez import SkySplit, sky_split
from pvkit.roof.section_light import section_light
from pvkit.roof.sky_view import sky_view_table
from pvkit.site.survey import Site
from pvkit.sky.sun import sun_year
from pvkit.sky.year import sky_year

# A coarser look at the sky than an estimate takes: layouts are compared, and each takes a quarter
# of the time.
COARSE = Grid(bearings=90, elevations=45, rays=1)
_KWH_PER_W = 0.5 / 1000.0


@dataclass(frozen=True, slots=True, eq=False)
class LayoutLight:
    """Weighs layouts of one site by their light.

    Parameters
    ----------
    site : the survey
    split : its sky, from :func:`pvkit.roof.perez.sky_split`
    grid : how finely to part the sky
    """

    site: Site
    split: SkySplit
    grid: Grid = COARSE

    @staticmethod
    def of(site: Site) -> "LayoutLight":
        """Make the sky of a site and get ready to weigh its layouts."""
        place = site.site
        sun = sun_year(place.latitude, place.longitude, place.altitude_m)
        return LayoutLight(site, sky_split(sky_year(sun, place, site.weather)))

    def plane(self, part: Part) -> Plane:
        """Give the plane of a layout's part."""
        albedo, horizon = self.site.site.albedo, self.site.horizon
        return Plane(part.surface_tilt, part.surface_azimuth, albedo, horizon)

    def open_kwh(self, layout: Layout) -> float:
        """Give a year's light on all modules behind the skyline alone, as rated energy [kWh]."""
        return sum(
            rated_kwh(layout, part, plane_light(self.split, self.plane(part)))
            for part in layout.parts
        )

    def kwh(self, layout: Layout) -> float:
        """Give a year's light on all modules with all shade, as rated energy [kWh]."""
        return sum(rated_kwh(layout, part, self.part_light(layout, part)) for part in layout.parts)

    def part_light(self, layout: Layout, part: Part) -> Light:
        """Give the mean light on a part's modules, half-hour by half-hour, with all shade."""
        seen = part_geometry(layout, part, self.grid)
        return section_light(self.split, self.plane(part), sky_view_table(seen)).light


def rated_kwh(layout: Layout, part: Part, light: Light) -> float:
    """Give what the modules of a part would make of a year's light at their rating [kWh]."""
    w_per_m2 = float((light.direct + light.sky + light.ground).sum())
    kwp = sum(part.block.rows) * layout.sheet.pmax_w / 1000.0
    return w_per_m2 * _KWH_PER_W * kwp


def part_geometry(layout: Layout, part: Part, grid: Grid) -> Geometry:
    """Gather what a layout's part can see of the sky.

    Parameters
    ----------
    layout : the layout
    part : one of its parts
    grid : how finely to part the sky
    """
    site = layout.site
    roof = next(roof for roof in site.roof if roof.name == layout.roof)
    first = next(array for array in site.array if array.roof == roof.name)
    return Geometry(
        roof=roof,
        block=part.block,
        others=tuple(other.block for other in layout.parts if other is not part),
        obstacles=tuple(o for o in site.obstacle if o.roof in (None, roof.name)),
        cells_in_series=layout.sheet.cells_in_series,
        half_cut=layout.sheet.half_cut,
        clearance_m=clearance_m(site, first),
        grid=grid,
    )
