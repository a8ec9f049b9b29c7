"""A commissioning record to fill in: every key of the site's own strings, with its advice."""

import datetime
import json
from collections.abc import Iterator
from typing import Any

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from pvkit.electrical.protection import protection_settings
from pvkit.electrical.record_file import Photo, Protection, RecordFile, StringRecord, Trip
from pvkit.electrical.string_volts import StringPlan, string_plans
from pvkit.site.survey import Site
from pvkit.site.wording import allowed, bare

_HEAD = """\
# Commissioning record. Take the # away before a line once it is measured, and put the value
# after the =. What stays behind a # counts as not tested, and the record as not complete.
# Check it as often as you like: pvkit commission SITE --record THIS_FILE
"""
_OPTIMISERS_ONLY = ("safe_v", "module_voc_v")
_COMMENT_COLUMN, _TRIP_COLUMN = 34, 48


def record_template(site: Site, date: datetime.date) -> str:
    """Write a record of a site with nothing measured yet.

    Parameters
    ----------
    site : the survey; each of its strings has a table of its own
    date : the day of the tests

    Returns
    -------
    TOML; sound as it is, and every line sound once its # is taken away and its value put in

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> text = record_template(load_site("bungalow_extension"), datetime.date(2026, 5, 14))
    >>> [line.split()[2] for line in text.splitlines() if line.startswith("array")]
    ['"main"']
    """
    lines = [_HEAD, f"# Site: {_one_line(site.site.name)}", ""]
    for name, field in RecordFile.model_fields.items():
        lines += _part(site, name, field, date)
    return "\n".join(lines)


def _part(site: Site, name: str, field: FieldInfo, date: datetime.date) -> list[str]:
    plans = string_plans(site)
    if name == "string":
        return [line for plan in plans for line in _strings(plan)]
    if name == "photo":
        keys = [_line(key, inner) for key, inner in Photo.model_fields.items()]
        return ["# One table for each picture:", "# [[photo]]", *keys, ""]
    if name == "optimisers" and not any(plan.optimisers for plan in plans):
        return []
    model: type[BaseModel] = bare(field.annotation)
    given = {"date": date.isoformat()} if name == "record" else {}
    lines = [_line(key, inner, given.get(key)) for key, inner in model.model_fields.items()]
    if model is Protection:
        lines = [_trip_line(key, inner) for key, inner in model.model_fields.items()]
    return [f"[{name}]", *lines, ""]


def _strings(plan: StringPlan) -> Iterator[str]:
    unused = () if plan.optimisers else _OPTIMISERS_ONLY
    for number in range(1, plan.strings + 1):
        given = {"array": json.dumps(plan.name, ensure_ascii=False), "number": str(number)}
        yield "[[string]]"
        for key, field in StringRecord.model_fields.items():
            if key not in unused:
                yield _line(key, field, given.get(key))
        yield ""


def _line(key: str, field: FieldInfo, value: str | None = None) -> str:
    facts: Any = field.json_schema_extra or {}
    start = f"# {key} = " if value is None else f"{key} = {value}"
    words = facts["fix"]
    if facts.get("unit", "-") != "-":
        words = f"{facts['unit']}: {words}"
    elif value is None:
        words = f"{words}; {allowed(field.annotation, facts)}"
    return f"{start:<{_COMMENT_COLUMN}} # {words}"


def _trip_line(key: str, field: FieldInfo) -> str:
    """Show a protection function's two numbers with what the network rules want."""
    if bare(field.annotation) is not Trip:
        return _line(key, field)
    wanted = next(setting for setting in protection_settings() if setting.id == key)
    facts: Any = field.json_schema_extra
    start = f"# {key} = {{ level = , trip_s = }}"
    rules = f"the rules want {wanted.level:.4g} {wanted.unit}, {wanted.trip_s:g} s"
    return f"{start:<{_TRIP_COLUMN}} # {rules}; {facts['fix']}"


def _one_line(text: str) -> str:
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())
