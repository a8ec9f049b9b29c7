"""Turn what the typed model refuses into the kit's own plain faults."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Annotated, Any, Literal, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from pvkit.errors import Fault
from pvkit.site.kinds import KIND, tables, variants
from pvkit.site.wording import allowed, bare, labels, one_of, shown

LONGEST_WORD = 80
FEW_WORDS = 4
NO_QUOTES = "write it without quotes; "
# A file with more is something else than a site file; its first faults say enough.
MOST_FAULTS = 100

Loc = Sequence[int | str]


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in the file as the model declares it.

    Parameters
    ----------
    owner : the table that the place stands in
    kind : what the model wants there; None where it knows no such key
    facts : range, unit and advice declared with it
    """

    owner: type[BaseModel]
    kind: Any
    facts: Mapping[str, Any]


def faults_of(
    error: ValidationError, raw: Mapping[str, Any], model: type[BaseModel], where: str
) -> list[Fault]:
    """Say everything pydantic found in the kit's own form.

    Parameters
    ----------
    error : what validation raised
    raw : the mapping that was validated, to name list entries by their own name
    model : the model it was validated against
    where : file name or other origin, put before each key
    """
    details = [detail for detail in error.errors(include_url=False) if not _is_echo(detail)]
    faults = [_fault(detail, raw, model, where) for detail in details[:MOST_FAULTS]]
    if len(details) > MOST_FAULTS:
        more = f"found {len(details) - MOST_FAULTS:,} further faults"
        faults.append(Fault(where, more, "none", "put the ones above right first"))
    return faults


def _is_echo(detail: ErrorDetails) -> bool:
    """Tell a list called too short only because entries of it are refused one by one."""
    least = (detail.get("ctx") or {}).get("min_length", 0)
    long_enough = isinstance(detail["input"], list | tuple) and len(detail["input"]) >= least
    return detail["type"] == "too_short" and long_enough


def _fault(
    detail: ErrorDetails, raw: Mapping[str, Any], model: type[BaseModel], where: str
) -> Fault:
    loc, value, kind = detail["loc"], detail["input"], detail["type"]
    if kind == "missing" and loc and isinstance(loc[-1], int):
        loc, kind = loc[:-1], "too_short"  # a pair with one number: the pair is at fault
    if kind == "union_tag_not_found":
        loc, kind = (*loc, KIND), "missing"
    if kind == "union_tag_invalid":
        loc, kind, value = (*loc, KIND), "literal_error", value[KIND]
    key = key_of(_as_written(loc, model), raw)
    place = f"{where}, {key}" if key else where
    spot = _spot(model, loc)
    if kind in ("extra_forbidden", "invalid_key"):
        return _unknown(place, str(loc[-1]), spot.owner, model)
    wanted = allowed(spot.kind, spot.facts)
    fix = str(spot.facts.get("fix", "check this table against a sample site"))
    if kind == "missing":
        head = _head(str(loc[-1]), spot.kind)
        noun = "table" if head else "key"
        return Fault(place, f"this {noun} is missing", wanted, f"add {head or 'it'}; {fix}")
    if kind == "literal_error" and isinstance(value, str):
        words = get_args(bare(spot.kind))
        return Fault(place, f"found {shown(value)}", wanted, nearest(value, words))
    return Fault(place, f"found {_found(kind, value)}", wanted, _advice(value, spot) + fix)


def _head(name: str, annotation: Any) -> str:
    """Give a table's head as a site file has it; empty for a plain key."""
    if not tables(annotation):
        return ""
    return f"[[{name}]]" if get_origin(bare(annotation)) is tuple else f"[{name}]"


def nearest(word: str, known: Sequence[str]) -> str:
    """Say which of the known words is meant, or list them.

    Examples
    --------
    >>> nearest("tlt_deg", ["tilt_deg", "azimuth_deg"])
    "use 'tilt_deg' if that is what you meant"
    """
    spelt = {name.lower(): name for name in known}
    close = get_close_matches(word[:LONGEST_WORD].lower(), list(spelt), n=1, cutoff=0.5)
    if close:
        return f"use '{spelt[close[0]]}' if that is what you meant"
    return f"use {one_of(known)}" if len(known) <= FEW_WORDS else "use one of those allowed"


def key_of(loc: Loc, raw: Mapping[str, Any]) -> str:
    """Give the dotted key of a place in the file; list entries by name, else counted from 1.

    Examples
    --------
    >>> key_of(("roof", 1, "tilt_deg"), {"roof": [{"name": "front"}, {"name": "back"}]})
    'roof.back.tilt_deg'
    """
    words: list[str] = []
    here: Any = raw
    for part in loc:
        if isinstance(part, int) and isinstance(here, list | tuple):
            names = [e.get("name") if isinstance(e, Mapping) else None for e in here]
            words.append(labels(names)[part])
        else:
            words.append(ascii(part)[1:-1] if not str(part).isprintable() else str(part))
        here = _inside(here, part)
    return ".".join(word[:LONGEST_WORD] for word in words)


def _inside(here: Any, part: int | str) -> Any:
    try:
        return here[part]
    except (KeyError, IndexError, TypeError):
        return None


def _spot(model: type[BaseModel], loc: Loc) -> Spot:
    spot = Spot(model, model, {})
    for part in loc:
        kind = bare(spot.kind)
        if isinstance(part, int):
            spot = _entry(spot, kind)
        elif variants(kind):
            spot = _of_kind(spot, part)
        elif isinstance(kind, type) and issubclass(kind, BaseModel):
            field = kind.model_fields.get(part)
            spot = Spot(kind, field and field.annotation, _facts(field))
    return spot


def _entry(listed: Spot, kind: Any) -> Spot:
    """Give the place of a list's entry; without facts of its own, the list's advice holds."""
    inner = next(iter(get_args(kind)), None)
    remarks = get_args(inner)[1:] if get_origin(inner) is Annotated else ()
    field = next((remark for remark in remarks if isinstance(remark, FieldInfo)), None)
    advice = {"fix": listed.facts["fix"]} if "fix" in listed.facts else {}
    return Spot(listed.owner, inner, {**advice, **_facts(field)})


def _of_kind(entry: Spot, part: str) -> Spot:
    """Give an entry's table by its kind, or the place of the kind itself."""
    known = variants(entry.kind)
    if part in known:
        return Spot(entry.owner, known[part], entry.facts)
    words: Any = Literal
    first = next(iter(known.values()))
    return Spot(entry.owner, words[tuple(known)], _facts(first.model_fields[KIND]))


def _as_written(loc: Loc, model: type[BaseModel]) -> Loc:
    """Leave out the kinds that validation puts between an entry and its key."""
    kinds = [bool(variants(_spot(model, loc[:n]).kind)) for n in range(len(loc))]
    return [part for part, is_kind in zip(loc, kinds, strict=True) if not is_kind or part == KIND]


def _facts(field: FieldInfo | None) -> Mapping[str, Any]:
    extra = field.json_schema_extra if field is not None else None
    return extra if isinstance(extra, dict) else {}


def _unknown(place: str, word: str, owner: type[BaseModel], model: type[BaseModel]) -> Fault:
    """Name the tables where the key belongs, or the nearest key of this table."""
    known, homes = list(owner.model_fields), list(_homes(word, model))
    kinds = _kinds_with(word, owner, model)
    fix = f"move it under {' or '.join(homes)}" if homes else nearest(word, known)
    if kinds:
        fix = f"take it out, or change the kind: it goes with {one_of(kinds)}"
    if owner is not model and word in model.model_fields:
        fix = f"make it a table of its own, {_head(word, model.model_fields[word].annotation)}"
    return Fault(place, f"unknown key {shown(word)}", ", ".join(known), fix)


def _kinds_with(word: str, owner: type[BaseModel], model: type[BaseModel]) -> list[str]:
    """List the other kinds of the owner that know a key."""
    for field in model.model_fields.values():
        inner = next(iter(get_args(bare(field.annotation))), None)
        if owner in variants(inner).values():
            return [kind for kind, table in variants(inner).items() if word in table.model_fields]
    return []


def _homes(word: str, model: type[BaseModel], above: str = "") -> Iterator[str]:
    """Find the heads of the tables that know a key."""
    for name, field in model.model_fields.items():
        inner, head = tables(field.annotation), _head(above + name, field.annotation)
        if above and head.startswith("[["):
            continue  # inner lists are written as { } in a line, not as tables
        if any(word in table.model_fields for table in inner):
            yield head
        for table in inner:
            yield from _homes(word, table, f"{above}{name}.")


def _found(kind: str, value: Any) -> str:
    if kind in ("too_short", "too_long") and isinstance(value, list | tuple) and value:
        return f"a list of {len(value)}"
    return shown(value)


def _advice(value: Any, spot: Spot) -> str:
    """Say what to do about a value of another kind than the key wants."""
    kind = bare(spot.kind)
    if get_origin(kind) is not tuple and tables(kind) and isinstance(value, list | tuple):
        return "write its head with one bracket each side, like [site]; "
    if get_origin(kind) is tuple and tables(kind) and isinstance(value, Mapping):
        return "write its head with two brackets each side, like [[roof]]; "
    if kind in (int, float) and isinstance(value, str):
        comma = re.fullmatch(r"-?\d+,\d+", value.strip())
        return "write a point, not a comma; " if comma else NO_QUOTES
    if kind is str and not isinstance(value, str):
        return "put it in quotes; "
    if kind is int and isinstance(value, float):
        return "give a whole number; "
    return ""
