"""Every key of a site file, listed from the model itself."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from pvkit.site.kinds import KIND, tables, variants
from pvkit.site.survey import Site
from pvkit.site.wording import allowed, bare
from pvkit.tables import numbers


@dataclass(frozen=True, slots=True)
class SiteField:
    """One key of a site file.

    Parameters
    ----------
    table : head of the table it stands in, as written, with its kind where keys hang on it
    name : the key
    allowed : what may stand there, with its unit
    default : what is taken if it is left out; "must be given", or "" where leaving it out is an
        answer of its own
    source : where the default is from, with its kind
    advice : what to write
    """

    table: str
    name: str
    allowed: str
    default: str
    source: str
    advice: str


def field_list() -> tuple[SiteField, ...]:
    """List every key in the order of a site file.

    Examples
    --------
    >>> latitude = next(field for field in field_list() if field.name == "latitude")
    >>> latitude.table, latitude.allowed, latitude.default
    ('[site]', 'a number from -66 to 66 deg', 'must be given')
    """
    return tuple(_of_table(Site, ""))


def _of_table(model: type[BaseModel], above: str) -> Iterator[SiteField]:
    fields = model.model_fields
    for name in sorted(fields, key=lambda key: key not in model.__annotations__):  # own keys first
        field = fields[name]
        inner = tables(field.annotation)
        if inner:
            yield from _inside(name, field, above)
        elif above:
            yield _field(above, name, field)


def _inside(name: str, field: FieldInfo, above: str) -> Iterator[SiteField]:
    """List the keys of a table, of a list of tables, or of each kind of a list's tables."""
    listed = get_origin(bare(field.annotation)) is tuple
    path = f"{_path(above)}.{name}" if above else name
    if listed and above:  # written as { } in a line
        yield _field(above, name, field)
        for table in tables(field.annotation):
            yield from _of_table(table, f"{above}, each of {name}")
        return
    head = f"[[{path}]]" if listed else f"[{path}]"
    kinds = variants(get_args(bare(field.annotation))[0]) if listed else {}
    if not kinds:
        for table in tables(field.annotation):
            yield from _of_table(table, head)
    for kind, table in kinds.items():
        yield from _of_table(table, f'{head} with {KIND} = "{kind}"')


def _path(head: str) -> str:
    return head.split(" ")[0].strip("[]")


def _field(table: str, name: str, field: FieldInfo) -> SiteField:
    facts: dict[str, Any] = dict(field.json_schema_extra or {})  # type: ignore[arg-type]
    usual, source = _default(table, name, field)
    return SiteField(
        table, name, allowed(field.annotation, facts), usual, source, str(facts.get("fix", ""))
    )


def _default(table: str, name: str, field: FieldInfo) -> tuple[str, str]:
    known = numbers("defaults.toml").get(f"{_path(table)}.{name}")
    if known is not None:
        return _said(known.value), f"{known.source} ({known.kind})"
    if field.is_required():
        return "must be given", ""
    value = field.get_default(call_default_factory=True)
    return ("" if value in (None, ()) else _said(value)), ""


def _said(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list | tuple):
        return f"[{', '.join(_said(entry) for entry in value)}]"
    return f'"{value}"' if isinstance(value, str) else f"{value:g}"
