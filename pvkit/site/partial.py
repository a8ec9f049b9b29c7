"""What can still be read of a survey in which some keys are refused.

So that all faults of a file come at once, the checks across keys run on a faulty survey too. A
check that comes to a refused key stops there: what it would say rests on a value nobody gave.
"""

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from typing import Annotated, Any, get_args

from pydantic import BaseModel, ConfigDict, TypeAdapter, ValidationError

from pvkit.errors import Fault
from pvkit.site.kinds import tables, variant
from pvkit.site.wording import bare


class RefusedError(AttributeError):
    """A check came to a key that is refused or missing."""


class Partial:
    """A table's sound keys; reading any other raises :class:`RefusedError`."""

    def __init__(self, **sound: Any) -> None:
        self.__dict__.update(sound)

    def __getattr__(self, key: str) -> Any:
        raise RefusedError(key)


def partial(model: type[BaseModel], raw: Any) -> Any:
    """Read what is sound of a table, or of a whole survey.

    Examples
    --------
    >>> from pvkit.site.kit import Inverter
    >>> partial(Inverter, {"part": "single-phase-2500", "colour": "red"}).part
    'single-phase-2500'
    """
    if not isinstance(raw, Mapping):
        return Partial()
    sound: dict[str, Any] = {"model_fields_set": set(raw)}
    for key, field in model.model_fields.items():
        if key not in raw:
            if not field.is_required():
                sound[key] = field.get_default(call_default_factory=True)
            continue
        try:
            sound[key] = _reader(model, key).validate_python(raw[key])
        except ValidationError:
            sound |= _inner(key, bare(field.annotation), raw[key])
    return Partial(**sound)


def readable(faults: Iterable[Fault]) -> Iterator[Fault]:
    """Pass faults on until the check that finds them comes to a refused key."""
    try:
        yield from faults
    except RefusedError:
        return


@cache
def _reader(model: type[BaseModel], key: str) -> TypeAdapter[Any]:
    field = model.model_fields[key]
    kind: Any = field.annotation
    for remark in field.metadata:
        kind = Annotated[kind, remark]
    if isinstance(bare(kind), type) and issubclass(bare(kind), BaseModel):
        return TypeAdapter(kind)
    return TypeAdapter(kind, config=ConfigDict(str_strip_whitespace=True))


def _inner(key: str, kind: Any, value: Any) -> dict[str, Any]:
    """Look inside a faulty table, or list of tables, for what is sound of it."""
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return {key: partial(kind, value)}
    inner = next(iter(get_args(kind)), None)
    if tables(inner) and isinstance(value, list | tuple):
        return {key: tuple(_listed(inner, entry) for entry in value)}
    return {}


def _listed(kind: Any, entry: Any) -> Any:
    """Read what is sound of a list's entry; one of unknown kind has nothing to read."""
    table = variant(kind, entry) or (bare(kind) if len(tables(kind)) == 1 else None)
    return Partial() if table is None else partial(table, entry)
