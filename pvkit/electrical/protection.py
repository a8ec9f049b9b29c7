"""The interface protection that an inverter must be set to, to read and record on site."""

from dataclasses import dataclass

from pvkit.electrical.finding import where_from
from pvkit.tables import Kind, constant, rows, source_of
from pvkit.verdict import CheckRow

PROTECTION = "g98_protection.csv"
READ = "read and record on site; do not change"


@dataclass(frozen=True, slots=True)
class Setting:
    """One protection function as the network rules want it.

    Parameters
    ----------
    id : stable name, as in ``over_voltage_1``
    function : in plain words
    level : at which it trips
    unit : V, Hz or Hz/s
    trip_s : longest time until it has tripped [s]
    kind : how sure the level is
    """

    id: str
    function: str
    level: float
    unit: str
    trip_s: float
    kind: Kind


def protection_settings() -> tuple[Setting, ...]:
    """Give every protection function expected of an inverter in a home.

    Source
    ------
    Table ``g98_protection.csv``; its voltages are shares of ``grid.nominal_v``.

    Examples
    --------
    >>> [round(s.level, 1) for s in protection_settings() if s.unit == "V"]
    [184.0, 262.2, 273.7]
    """
    return tuple(_setting(row) for row in rows(PROTECTION))


def over_voltage_v() -> float:
    """Give the volts at which an inverter's first over-voltage stage trips [V]."""
    return next(s.level for s in protection_settings() if s.id == "over_voltage_1")


def protection_rows() -> tuple[CheckRow, ...]:
    """List the settings for the sheet: only the person on site can read what is set."""
    trips = tuple(
        CheckRow(
            setting.function,
            READ,
            f"{setting.level:g} {setting.unit}, within {setting.trip_s:g} s",
            "ask",
            f"{source_of(PROTECTION)} ({setting.kind})",
        )
        for setting in protection_settings()
    )
    return (*trips, _reconnection(), _droop())


def _reconnection() -> CheckRow:
    name = "protection.reconnect_s"
    limit = f"not before {constant(name):g} s of normal volts and frequency"
    return CheckRow("Reconnection", READ, limit, "ask", where_from(name))


def _droop() -> CheckRow:
    name = "protection.droop_hz"
    limit = f"output falls above {constant(name):g} Hz"
    return CheckRow("High frequency", READ, limit, "ask", where_from(name))


def _setting(row: dict[str, str]) -> Setting:
    in_volts = row["unit"] == "pu"
    level = float(row["setting"]) * (constant("grid.nominal_v") if in_volts else 1.0)
    kind: Kind = "published" if row["kind"] == "published" else "from memory"
    return Setting(
        row["id"],
        row["function"],
        level,
        "V" if in_volts else row["unit"],
        float(row["trip_s"]),
        kind,
    )
