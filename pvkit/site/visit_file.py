"""What a yearly visit brings home: meter readings, the light of the period, what was looked at."""

import datetime
from typing import Annotated, Any, Literal

from pydantic import Field

from pvkit.site.fields import Section, listing, quantity, text

LARGEST_KWH = 10_000_000.0
MONTH = r"^\d{4}-(0[1-9]|1[0-2])$"
Answer = Literal["good", "put right", "fault"]
Clock = Literal["utc", "local"]
Energy = Annotated[float, quantity("kWh", 0.0, LARGEST_KWH, "give kWh, none below 0")]
Light = Annotated[
    float, quantity("kWh/m2", 0.0, 400.0, "give kWh for each square metre of level ground")
]
Amps = Annotated[float, quantity("A", 0.0, 1000.0, "give amperes")]


def _day(fix: str, *, optional: bool = False) -> Any:
    """Declare a date."""
    extra: dict[str, Any] = {"allowed": "a date without quotes, like 2026-04-12", "fix": fix}
    known: dict[str, Any] = {"strict": True, "json_schema_extra": extra}
    return Field(default=None, **known) if optional else Field(**known)


def _month(fix: str) -> Any:
    """Declare a month."""
    extra: dict[str, Any] = {"allowed": "a month in quotes, like '2026-04'", "fix": fix}
    return Field(default=None, strict=True, pattern=MONTH, json_schema_extra=extra)


def _answer(fix: str) -> Any:
    """Declare one line of the list of what to look at; left out, it was not looked at."""
    return Field(default=None, json_schema_extra={"fix": f"say how you found {fix}"})


def _table(head: str, holds: str) -> Any:
    extra: dict[str, Any] = {"allowed": f"a table {head}", "fix": holds}
    return Field(default=None, json_schema_extra=extra)


class VisitDay(Section):
    """The ``[visit]`` table: when, how old the system is, who came."""

    date: datetime.date = _day("give the day of the visit")
    installed: datetime.date = _day("give the day the system was switched on")
    by: str | None = text(200, "say who made the visit", optional=True)
    remarks: str | None = text(4000, "write what else was seen", optional=True)


class MeterReading(Section):
    """One ``[[meter]]``: the generation meter's total on a day, taken as read at midday."""

    date: datetime.date = _day("give the day the meter was read")
    kwh: float = quantity("kWh", 0.0, LARGEST_KWH, "give the total that the meter shows, in kWh")


class Monthly(Section):
    """The ``[monthly]`` table: energy of calendar months, in a list or in a CSV file."""

    first: str | None = _month("give the first month of the list")
    kwh: tuple[Energy, ...] | None = Field(
        default=None,
        **listing("a list of 1 to 600 numbers, kWh", 1, 600, "give the kWh of each month in turn"),
    )
    file: str | None = text(1000, "give a CSV file with the columns month, kWh", optional=True)


class HalfHourly(Section):
    """The ``[half_hourly]`` table: a CSV file with the columns timestamp and kWh."""

    file: str = text(1000, "give a CSV file with the columns timestamp, kWh")
    clock: Clock | None = Field(
        default=None,
        json_schema_extra={"fix": "say which clock the times are of; 'local' changes in March"},
    )
    label: Literal["start", "end"] = Field(
        default="start",
        json_schema_extra={"fix": "say which end of its half-hour a row is labelled by"},
    )
    gaps: Literal["refuse", "leave out"] = Field(
        default="refuse",
        json_schema_extra={"fix": "leave out: a day with a gap counts neither way"},
    )


class Irradiation(Section):
    """The ``[irradiation]`` table: light on level ground by calendar month."""

    first: str | None = _month("give the first month of the list")
    kwh_per_m2: tuple[Light, ...] | None = Field(
        default=None,
        **listing(
            "a list of 1 to 600 numbers, kWh/m2", 1, 600, "give the light of each month in turn"
        ),
    )
    file: str | None = text(1000, "give a CSV file with the columns month, kWh_per_m2",
                            optional=True)  # fmt: skip
    source: str | None = text(400, "say where the figures are from", optional=True)


class PeriodWeather(Section):
    """The ``[weather]`` table: a file of the light and air that there really were."""

    source: Literal["csv", "epw"] = Field(
        default="csv", json_schema_extra={"fix": "say what kind of file it is"}
    )
    file: str = text(1000, "give the name of a file beside this one")
    time_label: Literal["start", "middle", "end"] | None = Field(
        default=None, json_schema_extra={"fix": "say which part of its hour a row is labelled by"}
    )
    utc_offset_hours: float | None = quantity(
        "hours", -12.0, 14.0, "give the file's clock against UTC, 0 for GMT", optional=True
    )


class Looked(Section):
    """The ``[checks]`` table: how each thing was found; one left out was not looked at."""

    panels: Answer | None = _answer("the panels: clean, whole, none slipped")
    fixings: Answer | None = _answer("clamps, rails and hooks")
    cables: Answer | None = _answer("the cables: tied up, none on the roof's skin")
    ballast: Answer | None = _answer("the ballast: nothing slid, pads in place")
    membrane: Answer | None = _answer("the roof's skin under and beside the array")
    gutters: Answer | None = _answer("the gutters and outlets")
    nests: Answer | None = _answer("the space below the panels: nests, droppings, gnawed cables")
    new_shade: Answer | None = _answer("what stands in the light: nothing new since the survey")
    connectors: Answer | None = _answer("connectors and isolators: none warmer than its fellows")
    labels: Answer | None = _answer("the labels: all there and legible")
    inverter: Answer | None = _answer("the inverter: its vents clear, no faults in its log")
    over_voltage_trips: int | None = quantity(
        "trips", 0, 100000, "count the over-voltage trips in the inverter's log", optional=True
    )
    string_amps: tuple[Amps, ...] | None = Field(
        default=None,
        **listing(
            "a list of 2 to 100 numbers, A", 2, 100, "give like strings' current, one after another"
        ),
    )


class Insulation(Section):
    """One ``[[insulation]]``: insulation to earth measured again."""

    name: str = text(100, "name the string or array")
    test_v: float = quantity("V", 50.0, 1500.0, "give the test voltage")
    mohm: float = quantity("Mohm", 0.0, 100000.0, "give megohms")


class VisitFile(Section):
    """A readings file, as it was typed."""

    visit: VisitDay = Field(
        json_schema_extra={"allowed": "a table [visit]", "fix": "it holds date and installed"}
    )
    meter: tuple[MeterReading, ...] = Field(
        default=(),
        **listing("2 to 1000 tables [[meter]]", 2, 1000, "give the total at the period's two ends"),
    )
    monthly: Monthly | None = _table("[monthly]", "it holds first and kwh, or file")
    half_hourly: HalfHourly | None = _table("[half_hourly]", "it holds file and clock")
    irradiation: Irradiation | None = _table("[irradiation]", "it holds first and kwh_per_m2")
    weather: PeriodWeather | None = _table("[weather]", "it holds file")
    checks: Looked = Field(
        default_factory=Looked,
        json_schema_extra={"allowed": "a table [checks]", "fix": "it holds what was looked at"},
    )
    insulation: tuple[Insulation, ...] = Field(
        default=(),
        **listing("up to 100 tables [[insulation]]", 0, 100, "each holds name, test_v and mohm"),
    )
