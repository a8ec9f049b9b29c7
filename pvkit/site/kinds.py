"""Tables whose keys hang on their ``kind``: which keys a kind has, and which kind an entry is."""

from collections.abc import Mapping
from types import UnionType
from typing import Any, Union, get_args, get_origin

from pydantic import BaseModel

from pvkit.site.wording import bare

KIND = "kind"


def variants(annotation: Any) -> dict[str, type[BaseModel]]:
    """Give the table of each kind, or nothing if the annotation knows no kinds.

    Examples
    --------
    >>> from pvkit.site.obstacles import Obstacle
    >>> list(variants(Obstacle))
    ['box', 'cylinder', 'wall', 'tree', 'parapet', 'ridge']
    >>> variants(float | None)
    {}
    """
    union = bare(annotation)
    if get_origin(union) not in (Union, UnionType):
        return {}
    tables = [kind for kind in get_args(union) if isinstance(kind, type)]
    if not all(issubclass(table, BaseModel) and KIND in table.model_fields for table in tables):
        return {}
    return {word: table for table in tables for word in _words(table)}


def _words(table: type[BaseModel]) -> tuple[str, ...]:
    return get_args(bare(table.model_fields[KIND].annotation))


def variant(annotation: Any, entry: Any) -> type[BaseModel] | None:
    """Give the table that an entry of a list claims to be, None if it is none of them."""
    kind = entry.get(KIND) if isinstance(entry, Mapping) else None
    return variants(annotation).get(kind) if isinstance(kind, str) else None


def tables(annotation: Any) -> tuple[type[BaseModel], ...]:
    """Give every table that a key may hold, itself or as entries of a list."""
    kind = bare(annotation)
    if get_origin(kind) is tuple:
        return tables(get_args(kind)[0])
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return (kind,)
    return tuple(variants(kind).values())
