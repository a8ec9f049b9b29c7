"""What is written down when a system is switched on: tests of each string, mains, papers."""

import datetime
from typing import Annotated, Any, Literal

from pydantic import Field

from pvkit.site.fields import Flag, Section, listing, quantity, text

BeforeStart = Literal["safe volts", "module volts"]
Polarity = Literal["correct", "reversed"]
NetworkRule = Literal["G98", "G99"]
Serial = Annotated[str, text(60, "copy the number from the name plate")]
Volts = Annotated[float, quantity("V", 0.0, 250.0, "give the module's open-circuit volts")]


def _day(fix: str, *, optional: bool = False) -> Any:
    extra = {"allowed": "a date without quotes, like 2026-05-14", "fix": fix}
    known: dict[str, Any] = {"strict": True, "json_schema_extra": extra}
    return Field(default=None, **known) if optional else Field(**known)


def _word(fix: str) -> Any:
    return Field(default=None, json_schema_extra={"fix": fix})


def _tick(what: str) -> Any:
    return Field(default=None, json_schema_extra={"fix": f"say whether {what}"})


def _measured(unit: str, low: float, high: float, fix: str) -> Any:
    """Declare a number that may still be missing: the record is then not complete."""
    return quantity(unit, low, high, fix, optional=True)


def _table(head: str, holds: str) -> dict[str, Any]:
    return {"json_schema_extra": {"allowed": f"a table {head}", "fix": holds}}


class RecordDay(Section):
    """The ``[record]`` table: when, by whom, what else was seen."""

    date: datetime.date = _day("give the day of the tests, which is the day of switching on")
    by: str | None = text(100, "give the role of whoever tested, not a name", optional=True)
    notes: str | None = text(4000, "write what else was seen", optional=True)


class StringRecord(Section):
    """One ``[[string]]``: what was measured on one string, all in the same light."""

    array: str = text(80, "give the name of its array in the site file")
    number: int = quantity("-", 1, 20, "count the array's strings from 1")
    irradiance_w_per_m2: float | None = _measured(
        "W/m2", 0.0, 1500.0, "give the light in the plane of the modules while measuring"
    )
    module_temp_degc: float | None = _measured(
        "degC", -25.0, 95.0, "give the temperature at the back of a module while measuring"
    )
    polarity: Polarity | None = _word("say how + and - were found, twice, before joining")
    voc_v: float | None = _measured(
        "V", 0.0, 1500.0, "give open-circuit volts; a minus sign means that polarity is reversed"
    )
    isc_a: float | None = _measured("A", 0.0, 60.0, "give short-circuit amps")
    vmp_v: float | None = _measured("V", 0.0, 1500.0, "give volts at work, if measured")
    imp_a: float | None = _measured("A", 0.0, 60.0, "give amps at work, if measured")
    safe_v: float | None = _measured(
        "V", 0.0, 1500.0, "give the string's volts before its optimisers start"
    )
    module_voc_v: tuple[Volts, ...] | None = Field(
        default=None,
        **listing(
            "a list of 1 to 100 numbers, V",
            1,
            100,
            "give each module's own volts before its optimiser was joined, in order",
        ),
    )
    insulation_test_v: float | None = _measured("V", 50.0, 1500.0, "give the test voltage")
    insulation_plus_mohm: float | None = _measured(
        "Mohm", 0.0, 100000.0, "give megohms from + to earth; the most it shows if it shows more"
    )
    insulation_minus_mohm: float | None = _measured(
        "Mohm", 0.0, 100000.0, "give megohms from - to earth; the most it shows if it shows more"
    )
    insulation_joined_mohm: float | None = _measured(
        "Mohm", 0.0, 100000.0, "give megohms to earth with + and - joined, instead of the two"
    )


class OptimisersRecord(Section):
    """The ``[optimisers]`` table: what their maker says a string shows before it is started."""

    before_start: BeforeStart | None = _word("say what a string shows before it is started")
    safe_v_each: float | None = _measured(
        "V", 0.1, 60.0, "give the maker's volts of one optimiser before it is started"
    )


class EarthRecord(Section):
    """The ``[earth]`` table: whether the frames are bonded, and how well."""

    frame_bonded: Flag | None = _tick("the array frames are bonded to earth")
    continuity_ohm: float | None = _measured(
        "ohm", 0.0, 10000.0, "give ohms from the frames to the main earth"
    )


class LossOfMains(Section):
    """The ``[loss_of_mains]`` table: the main switch opened while the inverter ran."""

    stop_s: float | None = _measured(
        "s", 0.0, 3600.0, "give seconds until output stopped; 0 if at once"
    )
    stayed_off: Flag | None = _tick("it stayed off until the mains came back")
    back_s: float | None = _measured(
        "s", 0.0, 7200.0, "give seconds from the mains coming back until output came back"
    )


class Trip(Section):
    """One protection function as read off the inverter."""

    level: float | None = _measured("V, Hz or Hz/s", 0.0, 500.0, "give the level it trips at")
    trip_s: float | None = _measured("s", 0.0, 600.0, "give the seconds until it trips")


def _trip(more: str = "") -> Any:
    allowed = "{ level = a number, trip_s = a number }"
    return Field(
        default=None,
        json_schema_extra={"allowed": allowed, "fix": f"read it off the inverter{more}"},
    )


class Protection(Section):
    """The ``[protection]`` table: settings as read, none of them changed."""

    rule: NetworkRule | None = _word("say which network rule the settings are of")
    under_voltage: Trip | None = _trip()
    over_voltage_1: Trip | None = _trip()
    over_voltage_2: Trip | None = _trip()
    under_frequency_1: Trip | None = _trip()
    under_frequency_2: Trip | None = _trip()
    over_frequency: Trip | None = _trip()
    loss_of_mains: Trip | None = _trip("; leave level out where the method is active")
    reconnect_s: float | None = _measured(
        "s", 0.0, 7200.0, "read the wait before it reconnects off the inverter"
    )
    droop_hz: float | None = _measured(
        "Hz", 45.0, 55.0, "read the frequency above which output falls off the inverter"
    )


class AcTests(Section):
    """The ``[ac_tests]`` table: the certificate that holds the tests of the a.c. circuit."""

    certificate: str | None = text(
        100, "give the number of the electrical certificate", optional=True
    )
    satisfactory: Flag | None = _tick("all its results are within their limits")


class Works(Section):
    """The ``[works]`` table: what was tried with the system switched on."""

    starts: Flag | None = _tick("the inverter starts and exports")
    isolators_break: Flag | None = _tick("each d.c. and each a.c. isolator stops it")
    labels_in_place: Flag | None = _tick("all labels and the diagram are in place")


class NetworkRecord(Section):
    """The ``[network]`` table: what passed between installer and network operator."""

    reference: str | None = text(100, "give the network operator's reference", optional=True)
    date: datetime.date | None = _day(
        "give the day of the notice, or of the consent where it is needed first", optional=True
    )


class MeterRecord(Section):
    """The ``[meter]`` table: readings on the day, before anything was made."""

    generation_kwh: float | None = _measured("kWh", 0.0, 1.0e7, "give the generation meter's total")
    import_kwh: float | None = _measured("kWh", 0.0, 1.0e7, "give the import register's total")
    export_kwh: float | None = _measured("kWh", 0.0, 1.0e7, "give the export register's total")
    serial: str | None = text(60, "give the generation meter's serial number", optional=True)


def _serials(of: str) -> Any:
    allowed = "a list of up to 500 numbers in quotes"
    return Field(default=None, **listing(allowed, 1, 500, f"give the serial number of each {of}"))


class SerialNumbers(Section):
    """The ``[serials]`` table: name plates of what was fitted."""

    inverter: str | None = text(60, "copy the number from the name plate", optional=True)
    modules: tuple[Serial, ...] | None = _serials("module")
    optimisers: tuple[Serial, ...] | None = _serials("optimiser")


class Photo(Section):
    """One ``[[photo]]``: a picture kept with the record."""

    file: str = text(300, "give the name of the picture's file")
    shows: str = text(200, "say what it shows")


class RecordFile(Section):
    """A commissioning record, as it was typed; what is not in it yet was not tested yet."""

    record: RecordDay = Field(**_table("[record]", "it holds date and by"))
    string: tuple[StringRecord, ...] = Field(
        default=(),
        **listing(
            "up to 100 tables [[string]]", 0, 100, "each holds array, number and its readings"
        ),
    )
    optimisers: OptimisersRecord = Field(
        default_factory=OptimisersRecord, **_table("[optimisers]", "it holds the maker's words")
    )
    earth: EarthRecord = Field(
        default_factory=EarthRecord, **_table("[earth]", "it holds continuity_ohm")
    )
    loss_of_mains: LossOfMains = Field(
        default_factory=LossOfMains, **_table("[loss_of_mains]", "it holds stop_s and back_s")
    )
    protection: Protection = Field(
        default_factory=Protection, **_table("[protection]", "it holds the settings as read")
    )
    ac_tests: AcTests = Field(
        default_factory=AcTests, **_table("[ac_tests]", "it holds certificate")
    )
    works: Works = Field(default_factory=Works, **_table("[works]", "it holds what was tried"))
    network: NetworkRecord = Field(
        default_factory=NetworkRecord, **_table("[network]", "it holds reference and date")
    )
    meter: MeterRecord = Field(
        default_factory=MeterRecord, **_table("[meter]", "it holds generation_kwh")
    )
    serials: SerialNumbers = Field(
        default_factory=SerialNumbers, **_table("[serials]", "it holds name-plate numbers")
    )
    photo: tuple[Photo, ...] = Field(
        default=(),
        **listing("up to 500 tables [[photo]]", 0, 500, "each holds file and shows"),
    )
