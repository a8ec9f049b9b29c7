"""The ``[battery]`` table: what stores electricity in the home."""

from typing import Literal

from pvkit.site.fields import Flag, Section, choice, quantity


class Battery(Section):
    """A battery and its converter.

    ``round_trip_efficiency`` is from the home's a.c. through the battery and back. On the d.c.
    side (``coupling = "dc"``) the sun's energy is spared one conversion.
    """

    capacity_kwh: float = quantity(
        "kWh", 0.0, 100.0, "give the capacity on the data sheet; 0 is no battery"
    )
    power_kw: float = quantity(
        "kW", 0.1, 50.0, "give kilowatts, in and out, not watts", key="battery.power_kw"
    )
    round_trip_efficiency: float = quantity(
        "-", 0.5, 1.0, "give a share, 0.88 for 88 %", key="battery.round_trip_efficiency"
    )
    reserve_fraction: float = quantity(
        "-", 0.0, 0.9, "give the share that is never used, 0.1 for 10 %",
        key="battery.reserve_fraction",
    )  # fmt: skip
    coupling: Literal["ac", "dc"] = choice(
        "battery.coupling", "say on which side of the inverter it is: ac or dc"
    )
    standby_w: float = quantity(
        "W", 0.0, 500.0, "give the watts it draws all year", key="battery.standby_w"
    )
    fade_per_year: float = quantity(
        "1/year", 0.0, 0.2, "give the share of capacity lost a year, 0.025 for 2.5 %",
        key="battery.fade_per_year",
    )  # fmt: skip
    life_years: int = quantity(
        "years", 1, 60, "count the years until it is worn out", key="battery.life_years"
    )
    grid_charge: Flag = choice("battery.grid_charge", "write true or false")
