"""What the network brings to the house, and what is connected to it already."""

from typing import Literal

from pydantic import Field

from pvkit.site.fields import Section, quantity

Earthing = Literal["TN-C-S", "TN-S", "TT"]


class Supply(Section):
    """The ``[supply]`` table: the mains at the meter, read and measured at the survey."""

    phases: int = quantity("-", 1, 3, "count the supply's phases: 1 or 3", key="supply.phases")
    loop_ohm: float = quantity(
        "ohm",
        0.0,
        2.0,
        "give the line-to-neutral loop impedance measured at the meter",
        key="supply.loop_ohm",
    )
    measured_v: float | None = quantity(
        "V", 180.0, 280.0, "give the volts read at the meter, at noon if possible", optional=True
    )
    other_generation_w: float = quantity(
        "W",
        0.0,
        50000.0,
        "add the a.c. ratings of the other generators' inverters, in watts",
        key="supply.other_generation_w",
    )
    battery_inverter_w: float = quantity(
        "W",
        0.0,
        50000.0,
        "give the a.c. rating of a battery's own inverter, in watts",
        key="supply.battery_inverter_w",
    )
    export_limit_kw: float | None = quantity(
        "kW", 0.0, 50.0, "give the export limit that a device holds, in kilowatts", optional=True
    )
    earthing: Earthing | None = Field(
        default=None,
        json_schema_extra={"fix": "read it at the supplier's cut-out, or leave it out"},
    )
