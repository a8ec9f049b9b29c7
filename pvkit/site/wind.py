"""What wind and ballast sums are told: the wind, the roof, and how modules are held."""

from typing import Literal

from pydantic import Field

from pvkit.site.fields import Flag, Section, choice, quantity, text

Column = Literal["sea", "lake", "country", "suburb", "town"]
Membrane = Literal["concrete", "bitumen", "rubber", "single-ply"]


class Wind(Section):
    """The ``[wind]`` table: the storm that the array must stand."""

    basic_m_per_s: float | None = quantity(
        "m/s",
        15.0,
        40.0,
        "read the basic wind velocity off the map of the national annex, before altitude",
        optional=True,
    )
    sea_km: float | None = quantity(
        "km", 0.0, 200.0, "give kilometres to the nearest open sea", optional=True
    )
    terrain: Column | None = Field(
        default=None,
        json_schema_extra={"fix": "say what the wind crosses, if you would overrule site.terrain"},
    )


class Ballast(Section):
    """The ``[ballast]`` table: blocks and frames, and how much more an edge needs."""

    block_kg: float = quantity(
        "kg", 1.0, 100.0, "give the mass of one block", key="ballast.block_kg"
    )
    frame_kg: float = quantity(
        "kg", 0.0, 60.0, "give the mass of frame and feet for one module", key="ballast.frame_kg"
    )
    edge_factor: float = quantity(
        "-", 1.0, 3.0, "give how many times the pull grows at an edge", key="ballast.edge_factor"
    )
    corner_factor: float = quantity(
        "-",
        1.0,
        4.0,
        "give how many times the pull grows in a corner",
        key="ballast.corner_factor",
    )
    wet: Flag = choice("ballast.wet", "write true or false")


class RoofStrength(Section):
    """Keys of a ``[[roof]]`` that only wind and ballast sums read."""

    building_height_m: float | None = quantity(
        "m", 0.5, 150.0, "give metres from the ground to the top of the building", optional=True
    )
    allowance_kn_per_m2: float | None = quantity(
        "kN/m2",
        0.0,
        20.0,
        "give the dead load a structural engineer says the roof can still take",
        optional=True,
    )
    membrane: Membrane | None = Field(
        default=None, json_schema_extra={"fix": "say what the feet stand on"}
    )
    friction: float | None = quantity(
        "-", 0.05, 1.5, "measure pull over weight on this roof, wet", optional=True
    )


class Held(Section):
    """Keys of an ``[[array]]`` that only wind and ballast sums read."""

    tied: Flag | None = Field(
        default=None,
        json_schema_extra={
            "allowed": "true or false",
            "fix": "write true if the rows are tied to one another",
        },
    )
    closed_back: Flag | None = Field(
        default=None,
        json_schema_extra={
            "allowed": "true or false",
            "fix": "write true if plates or deflectors close the rows' backs",
        },
    )
    pressure_coefficient: float | None = quantity(
        "-",
        -4.0,
        -0.05,
        "give the net suction from the maker's report as a negative number, like -0.4",
        optional=True,
    )
    pressure_source: str | None = text(
        300, "name the report or standard the coefficient is from", optional=True
    )
