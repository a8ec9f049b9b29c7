"""How the home uses energy and what it pays: demand, hot water, tariff."""

from typing import Literal

from pydantic import Field

from pvkit.site.fields import Section, choice, quantity


class Home(Section):
    """The ``[home]`` table: how much electricity, and who is in when."""

    yearly_kwh: float = quantity(
        "kWh/year", 100.0, 50000.0, "give the yearly electricity from the bill, in kWh",
        key="home.yearly_kwh",
    )  # fmt: skip
    day: Literal["out", "half", "in"] = choice("home.day")
    occupants: float = quantity("people", 1.0, 20.0, "count the people", key="home.occupants")


class HotWater(Section):
    """The ``[hot_water]`` table: a cylinder, its elements and the boiler behind it."""

    cylinder_litres: float = quantity(
        "litres", 50.0, 1000.0, "give the cylinder's volume", key="hot_water.cylinder_litres"
    )
    immersion_kw: tuple[float, ...] = Field(
        default_factory=lambda: (2.8,),
        min_length=1,
        max_length=2,
        json_schema_extra={"fix": "give one or two element ratings, like [2.8]"},
    )
    set_point_degc: float = quantity(
        "degC", 50.0, 80.0, "give the immersion thermostat, 60 to 65 as a rule",
        key="hot_water.set_point_degc",
    )  # fmt: skip
    boiler_set_point_degc: float = quantity(
        "degC", 50.0, 80.0, "give the boiler's cylinder thermostat; store at 60 or above",
        key="hot_water.boiler_set_point_degc",
    )  # fmt: skip
    boiler_efficiency: float = quantity(
        "-", 0.4, 1.0, "give a share, 0.85 for 85 %", key="hot_water.boiler_efficiency"
    )
    insulation_mm: float = quantity(
        "mm", 5.0, 200.0, "give the thickness of the foam", key="hot_water.insulation_mm"
    )
    diverter: bool = choice("hot_water.diverter")


class Band(Section):
    """A part of the day with its own import price, in local clock time."""

    name: str = Field(min_length=1, max_length=40)
    start: str = Field(pattern=r"^([01]\d|2[0-3]):(00|30)$")
    end: str = Field(pattern=r"^([01]\d|2[0-3]):(00|30)$")
    gbp_per_kwh: float = quantity("GBP/kWh", 0.0, 2.0, "give pounds, not pence: 0.09 for 9 p")


class Tariff(Section):
    """The ``[tariff]`` table: prices today and how they change.

    Without ``import_bands`` the import price is flat. With them, ``import_gbp_per_kwh`` is the
    price of every half-hour that no band covers.
    """

    import_gbp_per_kwh: float = quantity(
        "GBP/kWh", 0.0, 2.0, "give pounds, not pence: 0.26 for 26 p",
        key="tariff.import_gbp_per_kwh",
    )  # fmt: skip
    import_bands: tuple[Band, ...] = ()
    standing_gbp_per_day: float = quantity(
        "GBP/day", 0.0, 5.0, "give pounds a day, not pence", key="tariff.standing_gbp_per_day"
    )
    export_gbp_per_kwh: float = quantity(
        "GBP/kWh", 0.0, 2.0, "give pounds, not pence: 0.12 for 12 p",
        key="tariff.export_gbp_per_kwh",
    )  # fmt: skip
    gas_gbp_per_kwh: float = quantity(
        "GBP/kWh", 0.0, 2.0, "give pounds, not pence: 0.07 for 7 p", key="tariff.gas_gbp_per_kwh"
    )
    import_change_per_year: float = quantity(
        "1/year", -0.2, 0.2, "give a share, 0.02 for 2 % a year",
        key="tariff.import_change_per_year",
    )  # fmt: skip
    export_change_per_year: float = quantity(
        "1/year", -0.2, 0.2, "give a share, 0.02 for 2 % a year",
        key="tariff.export_change_per_year",
    )  # fmt: skip
    gas_change_per_year: float = quantity(
        "1/year", -0.2, 0.2, "give a share, 0.02 for 2 % a year", key="tariff.gas_change_per_year"
    )
