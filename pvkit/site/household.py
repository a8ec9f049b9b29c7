"""How the home uses energy and what it pays: demand, hot water, tariff."""

from typing import Annotated, Literal

from pydantic import Field

from pvkit.site.fields import Flag, Section, choice, clock, listing, quantity, text
from pvkit.tables import default

Element = Annotated[
    float, quantity("kW", 0.3, 6.0, "give kilowatts, not watts: 2.8 for a nominal 3 kW element")
]


class Home(Section):
    """The ``[home]`` table: how much electricity, and who is in when."""

    yearly_kwh: float = quantity(
        "kWh/year",
        100.0,
        50000.0,
        "give the yearly electricity from the bill, in kWh",
        key="home.yearly_kwh",
    )
    day: Literal["out", "half", "in"] = choice("home.day", "say how the day is spent at home")
    occupants: float = quantity("people", 1.0, 20.0, "count the people", key="home.occupants")


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


class Band(Section):
    """A part of the day with its own import price, in local clock time."""

    name: str = text(40, 'name the band, like "night"')
    start: str = clock("give when the band starts, midnight as 00:00")
    end: str = clock("give when the band ends, midnight as 00:00")
    gbp_per_kwh: float = quantity("GBP/kWh", 0.0, 2.0, "give pounds, not pence: 0.09 for 9 p")


class Tariff(Section):
    """The ``[tariff]`` table: prices today and how they change.

    Without ``import_bands`` the import price is flat. With them, ``import_gbp_per_kwh`` is the
    price of every half-hour that no band covers.
    """

    import_gbp_per_kwh: float = quantity(
        "GBP/kWh",
        0.0,
        2.0,
        "give pounds, not pence: 0.26 for 26 p",
        key="tariff.import_gbp_per_kwh",
    )
    import_bands: tuple[Band, ...] = Field(
        default=(),
        **listing(
            "a list of up to 48 bands",
            0,
            48,
            'write each as { name = "night", start = "00:30", end = "07:30", gbp_per_kwh = 0.15 }',
        ),
    )
    standing_gbp_per_day: float = quantity(
        "GBP/day", 0.0, 5.0, "give pounds a day, not pence", key="tariff.standing_gbp_per_day"
    )
    export_gbp_per_kwh: float = quantity(
        "GBP/kWh",
        0.0,
        2.0,
        "give pounds, not pence: 0.12 for 12 p",
        key="tariff.export_gbp_per_kwh",
    )
    gas_gbp_per_kwh: float = quantity(
        "GBP/kWh", 0.0, 2.0, "give pounds, not pence: 0.07 for 7 p", key="tariff.gas_gbp_per_kwh"
    )
    import_change_per_year: float = quantity(
        "1/year",
        -0.2,
        0.2,
        "give a share, 0.02 for 2 % a year",
        key="tariff.import_change_per_year",
    )
    export_change_per_year: float = quantity(
        "1/year",
        -0.2,
        0.2,
        "give a share, 0.02 for 2 % a year",
        key="tariff.export_change_per_year",
    )
    gas_change_per_year: float = quantity(
        "1/year", -0.2, 0.2, "give a share, 0.02 for 2 % a year", key="tariff.gas_change_per_year"
    )
