"""How the home uses energy: demand, a meter's own record of it, hot water."""

from typing import Annotated, Literal

from pydantic import Field

from pvkit.site.fields import Flag, Section, choice, clock, listing, quantity, text
from pvkit.tables import default

Element = Annotated[
    float, quantity("kW", 0.3, 6.0, "give kilowatts, not watts: 2.8 for a nominal 3 kW element")
]


COLUMN = "give the heading of the column as the file has it"


# Who takes spare solar energy; "value" stands alone and lets the prices decide.
Taker = Literal["battery", "car", "cylinder", "export", "value"]


class Home(Section):
    """The ``[home]`` table: how much electricity, and who is in when.

    With ``meter_file`` the half-hours of a smart meter take the place of ``yearly_kwh``. The other
    ``meter_`` keys say how to read it where what the kit finds out for itself is not right.
    """

    yearly_kwh: float = quantity(
        "kWh/year",
        100.0,
        50000.0,
        "give the yearly electricity from the bill, in kWh",
        key="home.yearly_kwh",
    )
    day: Literal["out", "half", "in"] = choice("home.day", "say how the day is spent at home")
    occupants: float = quantity("people", 1.0, 20.0, "count the people", key="home.occupants")
    order: tuple[Taker, ...] = Field(
        default_factory=lambda: default("home.order"),
        **listing(
            'a list like ["battery", "car", "cylinder", "export"], or ["value"]',
            1,
            4,
            'name who is given spare solar energy first, or write ["value"]',
        ),
    )
    meter_file: str | None = text(
        1000, "give the name of a meter file beside the site file", optional=True
    )
    meter_generation_file: str | None = text(
        1000, "give the name of the generation meter's file, if solar is there", optional=True
    )
    meter_clock: Literal["local", "utc"] | None = Field(
        default=None, json_schema_extra={"fix": "say which clock the meter file's times follow"}
    )
    meter_label: Literal["start", "end"] | None = Field(
        default=None, json_schema_extra={"fix": "say which end of its half-hour a time marks"}
    )
    meter_unit: Literal["kWh", "Wh", "kW"] | None = Field(
        default=None, json_schema_extra={"fix": "say what the meter file's numbers are"}
    )
    meter_date_order: Literal["day first", "month first", "year first"] | None = Field(
        default=None, json_schema_extra={"fix": "say how the meter file writes its dates"}
    )
    meter_time_column: str | None = text(200, COLUMN, optional=True)
    meter_import_column: str | None = text(200, COLUMN, optional=True)
    meter_export_column: str | None = text(200, COLUMN, optional=True)
    meter_generation_column: str | None = text(200, COLUMN, optional=True)
    meter_fill: Flag = choice("home.meter_fill", "write true or false")
    meter_year: Literal["last", "mean"] = choice(
        "home.meter_year", "say which of several metered years to take"
    )


class Boost(Section):
    """A part of every day in which an element heats from whatever source, in local clock time."""

    start: str = clock("give when it starts, midnight as 00:00")
    end: str = clock("give when it ends, midnight as 00:00")


class HotWater(Section):
    """The ``[hot_water]`` table: a cylinder, its elements and the boiler behind it."""

    cylinder_litres: float = quantity(
        "litres", 50.0, 1000.0, "give the cylinder's volume", key="hot_water.cylinder_litres"
    )
    immersion_kw: tuple[Element, ...] = Field(
        default_factory=lambda: default("hot_water.immersion_kw"),
        **listing(
            "a list of one or two numbers from 0.3 to 6 kW, like [2.8]",
            1,
            2,
            "give each element's rating, the lower element first",
        ),
    )
    set_point_degc: float = quantity(
        "degC",
        50.0,
        80.0,
        "give the immersion thermostat, 60 to 65 as a rule",
        key="hot_water.set_point_degc",
    )
    boiler_set_point_degc: float = quantity(
        "degC",
        50.0,
        80.0,
        "give the boiler's cylinder thermostat; store at 60 or above",
        key="hot_water.boiler_set_point_degc",
    )
    boiler_efficiency: float = quantity(
        "-", 0.4, 1.0, "give a share, 0.85 for 85 %", key="hot_water.boiler_efficiency"
    )
    insulation_mm: float = quantity(
        "mm", 5.0, 200.0, "give the thickness of the foam", key="hot_water.insulation_mm"
    )
    diverter: Flag = choice("hot_water.diverter", "write true or false")
    control: Literal["modulating", "relay"] = choice(
        "hot_water.control", "say whether the diverter takes any surplus or switches on and off"
    )
    boost: tuple[Boost, ...] = Field(
        default=(),
        **listing(
            "a list of up to 10 spans",
            0,
            10,
            'write each as { start = "05:00", end = "06:00" }, by the local clock',
        ),
    )
    weekly_heat: Literal["boiler", "element"] = choice(
        "hot_water.weekly_heat", "say what heats the whole cylinder where a week has not"
    )
