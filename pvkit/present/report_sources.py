"""Where each number came from, grouped by how well it is known."""

from dataclasses import dataclass
from typing import Any

from pvkit.tables import Number

_HEADS = {
    "given": ("Given", "Written in the site file by whoever surveyed the home."),
    "published": ("Published", "From a standard, an official table or a published paper."),
    "common practice": ("Common practice", "What the trade usually does; no document says so."),
    "from memory": ("From memory", "Remembered from a source that was not at hand to check."),
    "assumption": (
        "Assumed",
        "Our choice where nothing was measured; the reason stands beside it.",
    ),
}
_UNITS = (
    ("GBP", "£"), ("kgCO2e", "kg CO₂e"), ("degC", "°C"), ("deg", "°"), ("m2", "m²"), ("m3", "m³"),
)  # fmt: skip

# So much of what heads a whole table is printed.
TABLE_LETTERS = 150

# A calendar year or a count of years says itself what it is.
_NO_UNITS = {"-": "", "year": ""}


@dataclass(frozen=True, slots=True)
class Group:
    """The values of one kind.

    Parameters
    ----------
    head, meaning : the kind in plain words
    rows : values (name and value with unit) that share a source, and that source; "" for values
        that were given
    """

    head: str
    meaning: str
    rows: tuple[tuple[tuple[tuple[str, str], ...], str], ...]


def source_groups(found: tuple[Number, ...]) -> tuple[Group, ...]:
    """Group the values of an estimate by kind, those of no value left out.

    Parameters
    ----------
    found : every value that an estimate rests on

    Returns
    -------
    the groups from the best known kind to the least; every value stands in one of them, beside
    those that come from the same place
    """
    groups = []
    for kind, (head, meaning) in _HEADS.items():
        of_kind = [number for number in found if number.kind == kind]
        by_source: dict[str, list[tuple[str, str]]] = {}
        for number in of_kind:
            source = "" if kind == "given" else _brief(number)
            by_source.setdefault(source, []).append((number.name, value_text(number)))
        if of_kind:
            rows = tuple((tuple(values), source) for source, values in by_source.items())
            groups.append(Group(f"{head} ({len(of_kind)})", meaning, rows))
    return tuple(groups)


def _brief(number: Number) -> str:
    """Give a source; that of a whole table, whose head says more, up to a full word."""
    if not number.name.startswith("table ") or len(number.source) <= TABLE_LETTERS:
        return number.source
    return f"{number.source[:TABLE_LETTERS].rpartition(' ')[0]} … (the table's head says more)"


def value_text(number: Number) -> str:
    """Say a value with its unit.

    Examples
    --------
    >>> value_text(Number("finance.discount_rate", 0.035, "1/year", "", "given"))
    '3.5 % a year'
    >>> value_text(Number("hot_water.diverter", True, "-", "", "given"))
    'yes'
    >>> value_text(Number("costs.visit_gbp_per_year", 60.0, "GBP/year", "", "given"))
    '£60/year'
    >>> value_text(Number("water.boiler_windows_h", [[6.0, 8.0], [17.0, 19.0]], "h", "", "given"))
    '6 to 8, 17 to 19 h'
    """
    if number.value in ([], ()):
        return "none"
    if number.unit == "1/year":
        return f"{_plain(number.value * 100)} % a year"
    unit = _NO_UNITS.get(number.unit, number.unit)
    for written, said in _UNITS:
        unit = unit.replace(written, said)
    if unit.startswith("£"):
        return f"£{number.value:,.6g}{unit[1:]}"
    return f"{_plain(number.value)}{'' if unit == '°' else ' '}{unit}".strip()


def _plain(value: Any) -> str:
    if isinstance(value, list | tuple):
        return ", ".join(_span(entry) for entry in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return f"{value:.6g}".replace("-", "−")
    return str(value)


def _span(entry: Any) -> str:
    if isinstance(entry, list | tuple):
        return " to ".join(_plain(end) for end in entry)
    return _plain(entry)
