"""What goes on and under the roof: roofs, arrays, inverter, cables and the losses in between."""

from typing import Annotated, Literal

from pydantic import Field

from pvkit.site.fields import Corner, Flag, Section, choice, corners, listing, quantity, text
from pvkit.site.keep_clear import Margins
from pvkit.site.wind import Held, RoofStrength
from pvkit.tables import default

LossStep = Literal[
    "hidden_beam",
    "hidden_sky",
    "reflected",
    "dirt",
    "weak_light",
    "warm_cells",
    "uneven_light",
    "dc_cables",
    "optimisers",
    "inverter_conversion",
    "inverter_limit",
    "ac_cables",
    "out_of_service",
]


class Roof(RoofStrength, Margins):
    """One ``[[roof]]``: a flat roof or one slope of a pitched roof."""

    name: str = text(80, 'name the roof, like "south slope"')
    kind: Literal["flat", "pitched"] = Field(
        json_schema_extra={"fix": "say whether the roof is flat or pitched"}
    )
    tilt_deg: float = quantity(
        "deg", 0.0, 90.0, "give the slope from level: 0 is flat, 90 a wall", key="roof.tilt_deg"
    )
    azimuth_deg: float = quantity(
        "deg", 0.0, 360.0, "give the compass bearing the slope faces: 180 is south, 90 east"
    )
    width_m: float | None = quantity("m", 0.5, 200.0, "give metres across the slope", optional=True)
    depth_m: float | None = quantity("m", 0.5, 200.0, "give metres up the slope", optional=True)
    outline_m: tuple[Corner, ...] | None = corners(
        3, 100, "list the corners in order round the roof"
    )
    height_m: float = quantity(
        "m",
        0.5,
        100.0,
        "give metres from the ground to the eaves or flat surface",
        key="roof.height_m",
    )
    parapet_m: float = quantity(
        "m", 0.0, 3.0, "give the height of the upstand in metres", key="roof.parapet_m"
    )


class ModuleSheet(Section):
    """``[array.datasheet]``: a module's own numbers at 1000 W/m², 25 °C."""

    pmax_w: float = quantity("W", 20.0, 1000.0, "give watts of one module")
    vmp_v: float = quantity("V", 5.0, 200.0, "give volts at maximum power")
    imp_a: float = quantity("A", 0.5, 30.0, "give amps at maximum power")
    voc_v: float = quantity("V", 5.0, 250.0, "give open-circuit volts")
    isc_a: float = quantity("A", 0.5, 30.0, "give short-circuit amps")
    alpha_isc_per_k: float = quantity(
        "1/K", -0.002, 0.002, "give the share of Isc per kelvin, 0.00045 for 0.045 %/K"
    )
    beta_voc_per_k: float = quantity(
        "1/K", -0.006, -0.001, "give the share of Voc per kelvin, -0.0026 for -0.26 %/K"
    )
    gamma_pmax_per_k: float = quantity(
        "1/K", -0.007, -0.001, "give the share of power per kelvin, -0.0034 for -0.34 %/K"
    )
    cells_in_series: int = quantity(
        "cells", 10, 200, "count cells in series: a 108-half-cell module has 54"
    )
    length_m: float = quantity("m", 0.3, 3.0, "give the module's longer side in metres")
    width_m: float = quantity("m", 0.2, 2.0, "give the module's shorter side in metres")
    mass_kg: float = quantity("kg", 1.0, 60.0, "give the mass of one module")
    half_cut: Flag = Field(default=True, json_schema_extra={"fix": "write true or false"})
    series_fuse_a: float | None = quantity(
        "A", 5.0, 60.0, "give the largest series fuse of the data sheet", optional=True
    )


class InverterSheet(Section):
    """``[inverter.datasheet]``: an inverter's own numbers."""

    ac_w: float = quantity("W", 200.0, 50000.0, "give the a.c. rating in watts, not kilowatts")
    efficiency_10: float = quantity("-", 0.5, 0.999, "give the share at 10 % load, like 0.94")
    efficiency_50: float = quantity("-", 0.5, 0.999, "give the share at 50 % load, like 0.97")
    efficiency_100: float = quantity("-", 0.5, 0.999, "give the share at full load, like 0.965")
    dc_max_v: float = quantity("V", 50.0, 1500.0, "give the highest d.c. volts it withstands")
    mppt_min_v: float = quantity("V", 10.0, 1200.0, "give the lowest volts it tracks at")
    mppt_max_v: float = quantity("V", 20.0, 1500.0, "give the highest volts it tracks at")
    trackers: int = quantity("-", 1, 12, "count the independent d.c. inputs")
    input_max_a: float = quantity("A", 1.0, 60.0, "give the operating amps of one input")
    input_isc_max_a: float = quantity("A", 1.0, 80.0, "give the short-circuit amps of one input")
    phases: Annotated[int, quantity("-", 1, 3, "count the phases it feeds: 1 or 3")] = 1


class Array(Held):
    """One ``[[array]]``: like modules on one roof, on one tracker of the inverter."""

    name: str = text(80, 'name the array, like "main"')
    roof: str = text(80, "give the name of the roof it lies on")
    module: str | None = text(80, "name a module of the parts list", optional=True)
    datasheet: ModuleSheet | None = Field(
        default=None,
        json_schema_extra={
            "allowed": "a table [array.datasheet]",
            "fix": "copy each number from the module's data sheet",
        },
    )
    count: int | None = quantity("modules", 1, 500, "count the modules", optional=True)
    rows: int | None = quantity("rows", 1, 100, "count the rows", optional=True)
    columns: int | None = quantity("columns", 1, 100, "count the columns", optional=True)
    strings: int = quantity("strings", 1, 20, "count the strings", key="array.strings")
    tilt_deg: float | None = quantity(
        "deg", 0.0, 90.0, "give the tilt from level: 0 is flat, 90 a wall", optional=True
    )
    azimuth_deg: float | None = quantity(
        "deg", 0.0, 360.0, "give the compass bearing it faces: 180 is south", optional=True
    )
    mounting: Literal["ballasted", "on-roof", "in-roof"] | None = Field(
        default=None, json_schema_extra={"fix": "say how the modules are held"}
    )
    optimisers: Flag = choice("array.optimisers", "write true or false")
    orientation: Literal["portrait", "landscape"] | None = Field(
        default=None, json_schema_extra={"fix": "say whether the modules stand or lie"}
    )
    x_m: float | None = quantity(
        "m",
        -200.0,
        200.0,
        "give metres from the roof's lower left corner, along its width, to the array's",
        optional=True,
    )
    y_m: float | None = quantity(
        "m",
        -200.0,
        200.0,
        "give metres from the roof's lower left corner, up its depth, to the array's",
        optional=True,
    )
    positions_m: tuple[Corner, ...] | None = corners(
        1, 500, "give each module's lower left corner, as seen standing in front of the array"
    )
    gap_m: float = quantity("m", 0.0, 1.0, "give metres between modules", key="array.gap_m")
    row_pitch_m: float | None = quantity(
        "m",
        0.2,
        20.0,
        "give metres from the front of one row to the front of the next",
        optional=True,
    )


class Inverter(Section):
    """The ``[inverter]`` table: a part by name, or its own data sheet."""

    part: str | None = text(80, "name an inverter of the parts list", optional=True)
    datasheet: InverterSheet | None = Field(
        default=None,
        json_schema_extra={
            "allowed": "a table [inverter.datasheet]",
            "fix": "copy each number from the inverter's data sheet",
        },
    )


class Cables(Section):
    """The ``[cables]`` table: one-way lengths and copper sizes."""

    dc_length_m: float = quantity(
        "m", 0.0, 200.0, "give the one-way run in metres", key="cables.dc_length_m"
    )
    dc_mm2: float = quantity("mm2", 1.5, 25.0, "give the copper size", key="cables.dc_mm2")
    ac_length_m: float = quantity(
        "m", 0.0, 200.0, "give the one-way run in metres", key="cables.ac_length_m"
    )
    ac_mm2: float = quantity("mm2", 1.5, 25.0, "give the copper size", key="cables.ac_mm2")
    ac_cable: Literal["twin-and-earth", "armoured", "flexible"] = choice(
        "cables.ac_cable", "say which kind of cable runs from the inverter"
    )
    ac_breaker_a: float | None = quantity(
        "A", 6.0, 100.0, "give the rating of the circuit's own breaker", optional=True
    )
    string_fuse_a: float | None = quantity(
        "A", 5.0, 60.0, "give the rating of each string's fuses, if it has any", optional=True
    )


class Losses(Section):
    """The ``[losses]`` table: shares lost, and steps switched off to see what they cost."""

    soiling_fraction: float | None = quantity(
        "-", 0.0, 0.5, "give a share, 0.02 for 2 %", optional=True
    )
    uneven_fraction: float = quantity(
        "-", 0.0, 0.5, "give a share, 0.01 for 1 %", key="losses.uneven_fraction"
    )
    out_of_service_fraction: float = quantity(
        "-", 0.0, 0.9, "give a share, 0.01 for 1 %", key="losses.out_of_service_fraction"
    )
    tracker_stuck: Flag = choice("losses.tracker_stuck", "write true or false")
    off: tuple[LossStep, ...] = Field(
        default_factory=lambda: default("losses.off"),
        **listing("a list of up to 13 steps", 0, 13, 'name the steps to leave out, like ["dirt"]'),
    )
