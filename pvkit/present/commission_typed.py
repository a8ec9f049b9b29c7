"""From what stands in the form to a record as a file would have it, and back."""

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from pvkit.electrical.record_file import RecordFile
from pvkit.present.commission_fields import FormField, FormPart, Kind

_APART = re.compile(r"[,;\s]+")
_LINES = re.compile(r"[,;\n]+")


def raw_record(parts: Sequence[FormPart], typed: Mapping[str, Any]) -> dict[str, Any]:
    """Shape what was typed like a record file; empty fields are left out.

    Parameters
    ----------
    parts : from :func:`pvkit.present.commission_fields.form_parts`
    typed : what stands in each field, by its key; text for all but dates and picks
    """
    raw: dict[str, Any] = {"string": []}
    for part in parts:
        found = {f.key.rpartition(".")[2]: read(f, typed[f.key]) for f in part.fields}
        known = {key: value for key, value in found.items() if value is not None}
        if part.table == "photo":
            raw |= {"photo": known["photo"]} if known else {}
        elif part.string is not None:
            array, number = part.string
            raw["string"] += [{"array": array, "number": number, **known}] if known else []
        elif known:
            raw[part.table] = known
    return raw


def read(field: FormField, typed: Any) -> Any:
    """Turn one field's content into a record's value; None if it is empty.

    What is no number stays as it was typed, for the record's own check to name.

    Examples
    --------
    >>> trip = FormField("protection.under_voltage", "Under-voltage", "trip", "")
    >>> read(trip, "184, 2.5"), read(trip, "0.5 s"), read(trip, "")
    ({'level': 184.0, 'trip_s': 2.5}, {'trip_s': 0.5}, None)
    """
    if not isinstance(typed, str):
        return typed
    text = typed.strip()
    return _READERS[field.kind](text) if text else None


def _number(word: str) -> float | str:
    try:
        return float(word)
    except ValueError:
        return word


def _trip(text: str) -> dict[str, Any]:
    """Read level and seconds; one number alone is seconds. Units may stand beside them."""
    words = [word for word in _APART.split(re.sub(r"(?i)(hz/s|hz|v|s)\b", " ", text)) if word]
    names = ("trip_s",) if len(words) == 1 else ("level", "trip_s")
    found: dict[str, Any] = {name: _number(word) for name, word in zip(names, words, strict=False)}
    return found if len(words) in (1, 2) else found | {"trip_s": text}


def _photos(text: str) -> list[dict[str, str]]:
    lines = (line.partition(":") for line in text.splitlines() if line.strip())
    return [{"file": file.strip(), "shows": shows.strip()} for file, _, shows in lines]


def _same(text: str) -> str:
    return text


_READERS: dict[Kind, Callable[[str], Any]] = {
    "number": _number,
    "numbers": lambda text: [_number(word) for word in _APART.split(text) if word],
    "list": lambda text: [word.strip() for word in _LINES.split(text) if word.strip()],
    "trip": _trip,
    "photos": _photos,
    "text": _same,
    "long": _same,
    "pick": _same,
    "date": _same,
}


def typed_record(parts: Sequence[FormPart], file: RecordFile) -> dict[str, Any]:
    """Say how a record stands in the form: the content of each field that it fills.

    Parameters
    ----------
    parts : of the form
    file : a record of the same site
    """
    strings = {(string.array, string.number): string for string in file.string}
    found: dict[str, Any] = {}
    for part in parts:
        table = strings.get(part.string) if part.string else getattr(file, part.table)
        for field in part.fields:
            value = table if part.table == "photo" else getattr(
                table, field.key.rpartition(".")[2], None
            )  # fmt: skip
            if value is not None:
                found[field.key] = _shown(field, value)
    return found


def _shown(field: FormField, value: Any) -> Any:
    if field.kind == "number":
        return _digits(value)
    if field.kind == "numbers":
        return ", ".join(map(_digits, value))
    if field.kind == "list":
        return ", ".join(value)
    if field.kind == "trip":
        return ", ".join(_digits(n) for n in (value.level, value.trip_s) if n is not None)
    if field.kind == "photos":
        return "\n".join(f"{photo.file}: {photo.shows}" for photo in value)
    return value


def _digits(value: float) -> str:
    """Write a number with every digit it has, so that it is read back the same.

    Examples
    --------
    >>> _digits(640.0), _digits(0.18)
    ('640', '0.18')
    """
    return repr(float(value)).removesuffix(".0")
