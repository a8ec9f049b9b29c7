"""The storm a roof must stand: what the survey says, and safe stand-ins for what it leaves out.

No reduction for a town is taken unasked. Terrain follows the survey's own word: the sea itself,
or else the column one step smoother than open country where the sea may be near.
"""

from dataclasses import dataclass
from functools import cache
from math import radians, sin

from pvkit.roof.loads import entry, load_number, told, usual
from pvkit.roof.wind import Pressure, Storm, direction_factors, peak_pressure, terrain_words
from pvkit.site.kit import Roof
from pvkit.site.plan import roof_box
from pvkit.site.survey import Site
from pvkit.site.wind import Column
from pvkit.sky.region import region_number
from pvkit.tables import Kind, Number, rows, source_of

MAP = "wind_map_by_region.csv"
CHARTS = (
    "The charts of the UK annex to BS EN 1991-1-4, by height, distance to the sea and distance "
    "into town, decide; the closed form used here only stands in for them."
)


@dataclass(frozen=True, slots=True)
class SiteWind:
    """The wind's pressure on one roof, and what it rests on.

    Parameters
    ----------
    pressure : step by step
    storm : what it hangs on
    why_column : why this column of terrain was taken
    inputs : every number with its source and kind
    words : what the reader must know
    """

    pressure: Pressure
    storm: Storm
    why_column: str
    inputs: tuple[Number, ...]
    words: tuple[str, ...]


def site_wind(site: Site, roof: Roof) -> SiteWind:
    """Give the peak pressure of the wind at the top of the building.

    Parameters
    ----------
    site : the survey
    roof : one of its roofs

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> site = load_site("bungalow_extension")
    >>> wind = site_wind(site, site.roof[0])
    >>> wind.storm.column, round(wind.pressure.peak_pa)
    ('lake', 782)
    """
    basic = _basic(site)
    column, why = terrain_column(site)
    storm = Storm(
        map_m_per_s=float(basic.value),
        altitude_m=site.site.altitude_m,
        height_m=building_top_m(roof),
        column=column,
        direction_factor=max(direction_factors()),
        air_kg_per_m3=load_number("air.kg_per_m3"),
    )
    inputs = (
        basic,
        _altitude(site),
        _height(roof),
        _sea(site),
        Number("terrain", column, "-", f"{terrain_words(column)}: {why}", _terrain_kind(site)),
        _direction(),
        entry("wind.season", "season factor"),
        entry("air.kg_per_m3", "density of the air"),
    )
    return SiteWind(
        peak_pressure(storm), storm, why, inputs, _words(site, column, basic.kind == "given")
    )


def building_top_m(roof: Roof) -> float:
    """Give the height of the top of the building, which the wind's pressure is taken at.

    The survey's own word, else the ridge of a slope or the parapet of a flat roof.

    Examples
    --------
    >>> slope = dict(name="s", kind="pitched", tilt_deg=30, azimuth_deg=180, width_m=8, depth_m=6)
    >>> round(building_top_m(Roof(height_m=5.0, **slope)), 3)
    8.0
    """
    if roof.building_height_m is not None:
        return roof.building_height_m
    if roof.kind == "flat":
        return roof.height_m + roof.parapet_m
    _, _, low, high = roof_box(roof)
    return roof.height_m + (high - low) * sin(radians(roof.tilt_deg))


def terrain_column(site: Site) -> tuple[Column, str]:
    """Give the column of terrain that is taken, and why.

    Source
    ------
    The charts of the UK annex lie between the columns of open country and of a lake up to about
    10 km from the sea (one published sum, 5 km from it, is 8 % above open country), so the
    smoother one is taken there, and where the distance is not known. Assumption, on the safe side.
    """
    near, coast = load_number("terrain.near_sea_km"), load_number("terrain.coast_km")
    away = site.wind.sea_km
    if site.wind.terrain is not None:
        return site.wind.terrain, "wind.terrain says so"
    if site.site.terrain == "sea":
        return "sea", "site.terrain says that the wind comes off the sea"
    if away is None:
        return "lake", f"the sea may lie within {near:g} km; give wind.sea_km to have this settled"
    if away <= coast:
        return "sea", f"the sea is within {coast:g} km"
    if away <= near:
        return "lake", f"the sea is within {near:g} km"
    town = ", and no reduction for the town is taken unasked" if site.site.terrain == "town" else ""
    return "country", f"the sea is farther than {near:g} km{town}"


def _terrain_kind(site: Site) -> Kind:
    return "assumption" if site.wind.terrain is None else "given"


@cache
def map_m_per_s(region: int) -> float:
    """Give a cautious basic wind velocity of a region of SAP Appendix U [m/s]."""
    return next(float(row["m_per_s"]) for row in rows(MAP) if int(row["region"]) == region)


def _basic(site: Site) -> Number:
    words = "basic wind velocity of the map"
    if site.wind.basic_m_per_s is not None:
        return told(words, site.wind.basic_m_per_s, "m/s")
    region = region_number(site.site)
    return Number(
        words, map_m_per_s(region), "m/s", f"region {region}: {source_of(MAP)}", "from memory"
    )


def _altitude(site: Site) -> Number:
    words = "height of the ground above the sea"
    if "altitude_m" in site.site.model_fields_set:
        return told(words, site.site.altitude_m, "m")
    return usual("site.altitude_m", words)


def _height(roof: Roof) -> Number:
    words = "top of the building above ground"
    if roof.building_height_m is not None:
        return told(words, roof.building_height_m, "m")
    how = "roof height and parapet" if roof.kind == "flat" else "eaves height and slope"
    return Number(words, round(building_top_m(roof), 2), "m", f"from {how}", "assumption")


def _sea(site: Site) -> Number:
    words = "distance to the sea"
    if site.wind.sea_km is not None:
        return told(words, site.wind.sea_km, "km")
    return Number(words, "not known", "km", "not in the site file", "assumption")


def _direction() -> Number:
    source = f"{source_of('wind_direction.csv')}: the strongest, as every direction is possible"
    return Number("direction factor", max(direction_factors()), "-", source, "published")


def _words(site: Site, column: Column, basic_given: bool) -> tuple[str, ...]:
    _, why = terrain_column(site)
    found = [
        f"Terrain column used: {column} ({terrain_words(column)}), because {why}. {CHARTS}",
        "Not for a hilltop, a cliff edge or a steep slope below the house: there the wind is "
        "stronger, and the engineer adds a factor.",
    ]
    if not basic_given:
        found.insert(
            0,
            "The basic wind velocity is a cautious stand-in for the region, from memory; read it "
            "off the map of the UK annex and put it under wind.basic_m_per_s.",
        )
    if column in ("suburb", "town"):
        found.append(
            "A reduction for built-up land has been taken because the site file asks for it; the "
            "charts allow it only by distance into town and height of the roofs around."
        )
    return tuple(found)
