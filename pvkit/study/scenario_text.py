"""A scenario as a scenario file has it."""

from collections.abc import Mapping, Sequence
from typing import Any

from pvkit.study.scenarios import Scenario

_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\r": "\\r", "\t": "\\t"}


def scenario_of(name: str, changes: Mapping[str, Any], note: str | None = None) -> Scenario:
    """Make a scenario of named changes as sliders give them; None takes a key out."""
    kept = {key: value for key, value in changes.items() if value is not None}
    removed = tuple(key for key, value in changes.items() if value is None)
    fields: dict[str, Any] = {"name": name, "changes": kept, "remove": removed}
    return Scenario.model_validate(fields if note is None else fields | {"note": note})


def scenario_text(scenario: Scenario) -> str:
    """Write a scenario down as TOML.

    Examples
    --------
    >>> print(scenario_text(scenario_of("dear", {"tariff.import_gbp_per_kwh": 0.4})), end="")
    [[scenario]]
    name = "dear"
    changes = { "tariff.import_gbp_per_kwh" = 0.4 }
    """
    lines = ["[[scenario]]", f"name = {toml_value(scenario.name)}"]
    if scenario.note is not None:
        lines.append(f"note = {toml_value(scenario.note)}")
    if scenario.changes:
        lines.append(f"changes = {toml_value(scenario.changes)}")
    if scenario.remove:
        lines.append(f"remove = {toml_value(scenario.remove)}")
    if scenario.extra_items:
        items = [item.model_dump() for item in scenario.extra_items]
        lines.append(f"extra_items = {toml_value(items)}")
    return "\n".join(lines) + "\n"


def toml_value(value: Any) -> str:
    r"""Write a value on one line of TOML.

    Examples
    --------
    >>> toml_value([{"name": 'a "b"', "gbp": 1.0}, True])
    '[{ "name" = "a \\"b\\"", "gbp" = 1.0 }, true]'
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'"{_escaped(value)}"'
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, Mapping):
        inner = ", ".join(f"{toml_value(str(k))} = {toml_value(v)}" for k, v in value.items())
        return f"{{ {inner} }}" if inner else "{}"
    if isinstance(value, Sequence):
        return f"[{', '.join(toml_value(each) for each in value)}]"
    if hasattr(value, "isoformat"):
        return str(value.isoformat())
    message = f"a scenario cannot hold {type(value).__name__}"
    raise TypeError(message)


def _escaped(text: str) -> str:
    return "".join(
        _ESCAPES.get(letter, letter if letter.isprintable() else f"\\u{ord(letter):04x}")
        for letter in text
    )
