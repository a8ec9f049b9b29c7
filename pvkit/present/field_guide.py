"""A guide to every key of a site file, written from the model."""

from itertools import groupby

from pvkit.site.field_list import SiteField, field_list

_HEAD = """# Every key of a site file

Written by `pvkit fields` from the model itself. Lengths in metres as a tape gives them, bearings
in degrees from north as a compass gives them. What is left out takes the default shown.
"""


def field_guide() -> str:
    """Write the guide as Markdown."""
    groups = groupby(field_list(), key=lambda field: field.table)
    return "\n".join([_HEAD, *(_table(head, list(fields)) for head, fields in groups)])


def _table(head: str, fields: list[SiteField]) -> str:
    rows = [
        f"| `{field.name}` | {_cell(field.allowed)} | {_cell(field.default)} | "
        f"{_cell(field.advice)} | {_cell(field.source)} |"
        for field in fields
    ]
    names = "| key | what may stand there | left out | what to write | where the default is from |"
    return "\n".join([f"## `{head}`\n", names, "|---|---|---|---|---|", *rows, ""])


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")
