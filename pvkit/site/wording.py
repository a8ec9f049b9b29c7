"""The words of a message: values as a site file has them, ranges, names."""

from collections.abc import Mapping, Sequence
from datetime import date, time
from types import NoneType
from typing import Annotated, Any, Literal, get_args, get_origin

_LONGEST = 60
_LONGEST_NAME = 80
_UNIT_WORDS = {"-": "", "year": "", "1/year": " a year", "1/K": " per kelvin"}


def shown(value: Any) -> str:
    """Give a value the way a site file would have it, cut short if need be.

    Examples
    --------
    >>> shown(True), shown([1, "a"]), shown({"part": 1})
    ('true', "[1, 'a']", 'a table with part')
    """
    words = _shown(value, 2)
    return words if len(words) <= _LONGEST else words[: _LONGEST - 3] + "..."


def _shown(value: Any, depth: int) -> str:
    if isinstance(value, Mapping):
        return _table(value)
    if isinstance(value, list | tuple):
        return _list(value, depth)
    return _plain(value)


def _plain(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return repr(value[: _LONGEST + 1])
    if isinstance(value, int) and value.bit_length() > _LONGEST:
        return "a number of very many digits"
    known = isinstance(value, int | float | date | time)
    return str(value) if known else "something that a site file cannot hold"


def _table(value: Mapping[Any, Any]) -> str:
    keys = [str(key)[:_LONGEST] for key in list(value)[:3]]
    more = " and others" if len(value) > len(keys) else ""
    return f"a table with {', '.join(keys)}{more}" if keys else "an empty table"


def _list(value: Sequence[Any], depth: int) -> str:
    if not value:
        return "an empty list"
    if all(isinstance(entry, Mapping) for entry in value):
        return "a list of tables"
    if depth == 0:
        return "[...]"
    return f"[{', '.join(_shown(entry, depth - 1) for entry in value[:_LONGEST])}]"


def bare(annotation: Any) -> Any:
    """Take ``None`` and remarks off a type, leaving what the value itself must be."""
    if get_origin(annotation) is Annotated:
        return bare(get_args(annotation)[0])
    rest = [kind for kind in get_args(annotation) if kind is not NoneType]
    return bare(rest[0]) if NoneType in get_args(annotation) else annotation


def allowed(annotation: Any, facts: Mapping[str, Any]) -> str:
    """Say what a key may hold, from its type and its declared facts.

    Examples
    --------
    >>> allowed(float, {"low": 0, "high": 90, "unit": "deg"})
    'a number from 0 to 90 deg'
    """
    kind = bare(annotation)
    if "allowed" in facts:
        return str(facts["allowed"])
    if "low" in facts:
        noun = "a whole number" if kind is int else "a number"
        unit = _UNIT_WORDS.get(facts["unit"], f" {facts['unit']}")
        return f"{noun} from {facts['low']:.10g} to {facts['high']:.10g}{unit}"
    if get_origin(kind) is Literal:
        return one_of(get_args(kind))
    if get_origin(kind) is tuple:
        return f"a list, each {allowed(get_args(kind)[0], {})}"
    return {bool: "true or false", str: "text in quotes"}.get(kind, "a table")


def one_of(names: Sequence[str]) -> str:
    """List names between quotes with ``or`` before the last.

    Examples
    --------
    >>> one_of(["out", "half", "in"])
    "'out', 'half' or 'in'"
    """
    quoted = [f"'{name}'" for name in names]
    return " or ".join([", ".join(quoted[:-1]), quoted[-1]]) if len(quoted) > 1 else "".join(quoted)


def labels(names: Sequence[Any]) -> list[str]:
    """Give what each entry of a list is called in a dotted key: its own name, or counted from 1.

    Parameters
    ----------
    names : the entries' names; one that is no text, not alone, or has a dot gives way to a number

    Examples
    --------
    >>> labels(["main", "shed", "shed", None])
    ['main', '2', '3', '4']
    """
    texts = [name.strip() if isinstance(name, str) else "" for name in names]
    return [
        name if _is_label(name) and texts.count(name) == 1 else str(place)
        for place, name in enumerate(texts, 1)
    ]


def _is_label(name: str) -> bool:
    return 0 < len(name) <= _LONGEST_NAME and name.isprintable() and "." not in name
