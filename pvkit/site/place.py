"""Where the home stands and what light it gets: place, weather choice, horizon line."""

from typing import Literal

from pydantic import Field

from pvkit.site.fields import Section, choice, quantity


class Place(Section):
    """The ``[site]`` table: name, position, surroundings."""

    name: str = Field(min_length=1, max_length=200)
    latitude: float = quantity(
        "deg", -66.0, 66.0, "give degrees north as a decimal number, like 52.9"
    )
    longitude: float = quantity(
        "deg", -180.0, 180.0, "give degrees east, so west of Greenwich is negative, like -1.2"
    )
    altitude_m: float = quantity(
        "m", -20.0, 2000.0, "give metres above sea level", key="site.altitude_m"
    )
    terrain: Literal["sea", "country", "town"] = choice("site.terrain")
    region: str | None = None
    albedo: float = quantity(
        "-", 0.0, 0.9, "give the share of light the ground throws back, 0.2 for grass",
        key="site.albedo",
    )  # fmt: skip


class Weather(Section):
    """The ``[weather]`` table: which year of sun and air the estimate runs on."""

    source: Literal["region", "epw", "tmy3", "csv"] = choice("weather.source")
    file: str | None = None
    fill_short_gaps: bool = choice("weather.fill_short_gaps")
    time_label: Literal["start", "middle", "end"] | None = None
    utc_offset_hours: float | None = quantity(
        "hours", -12.0, 14.0, "give the file's clock against UTC, 0 for GMT", optional=True
    )


class Horizon(Section):
    """The ``[horizon]`` table: how high distant hills and houses stand, by compass bearing."""

    bearing_deg: tuple[float, ...] = Field(min_length=1, max_length=360)
    elevation_deg: tuple[float, ...] = Field(min_length=1, max_length=360)
