"""Where the home stands and what light it gets: place, weather choice, horizon line."""

from typing import Annotated, Literal

from pydantic import Field

from pvkit.site.fields import Flag, Section, choice, listing, quantity, text

Bearing = Annotated[
    float, quantity("deg", 0.0, 360.0, "give the compass bearing: 90 is east, 180 south")
]
Elevation = Annotated[
    float, quantity("deg", 0.0, 85.0, "give the angle above level, not a height in metres")
]


class Place(Section):
    """The ``[site]`` table: name, position, surroundings."""

    name: str = text(200, 'give the job a name, like "12 High Street"')
    latitude: float = quantity(
        "deg", -66.0, 66.0, "give degrees north as a decimal number, like 52.9"
    )
    longitude: float = quantity(
        "deg", -180.0, 180.0, "give degrees east, so west of Greenwich is negative, like -1.2"
    )
    altitude_m: float = quantity(
        "m", -20.0, 2000.0, "give metres above sea level", key="site.altitude_m"
    )
    terrain: Literal["sea", "country", "town"] = choice(
        "site.terrain", "say what the wind crosses: sea, country or town"
    )
    region: str | None = text(
        80, "name the region, or leave this out for the nearest", optional=True
    )
    albedo: float = quantity(
        "-",
        0.0,
        0.9,
        "give the share of light the ground throws back, 0.2 for grass",
        key="site.albedo",
    )


class Weather(Section):
    """The ``[weather]`` table: which year of sun and air the estimate runs on."""

    source: Literal["region", "epw", "tmy3", "csv", "online"] = choice(
        "weather.source", "say which weather to use"
    )
    file: str | None = text(1000, "give the name of a file beside the site file", optional=True)
    last_year: int | None = quantity(
        "year", 1985, 2100, "give the last whole year that the archive holds", optional=True
    )
    fill_short_gaps: Flag = choice("weather.fill_short_gaps", "write true or false")
    time_label: Literal["start", "middle", "end"] | None = Field(
        default=None, json_schema_extra={"fix": "say which part of its hour a row is labelled by"}
    )
    utc_offset_hours: float | None = quantity(
        "hours", -12.0, 14.0, "give the file's clock against UTC, 0 for GMT", optional=True
    )


class Horizon(Section):
    """The ``[horizon]`` table: how high distant hills and houses stand, by compass bearing."""

    bearing_deg: tuple[Bearing, ...] = Field(
        **listing(
            "a list of 1 to 360 numbers from 0 to 360 deg, like [90, 120, 150]",
            1,
            360,
            "list the compass bearings clockwise from north",
        )
    )
    elevation_deg: tuple[Elevation, ...] = Field(
        **listing(
            "a list of 1 to 360 numbers from 0 to 85 deg, like [12, 15, 4]",
            1,
            360,
            "give one angle above level for each bearing",
        )
    )
