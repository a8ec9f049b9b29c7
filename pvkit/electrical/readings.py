"""Read a commissioning record, and hold it against the site it is of."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from pvkit.electrical.record_file import RecordFile, StringRecord
from pvkit.electrical.string_volts import StringPlan, longest, shortest, string_plans
from pvkit.errors import Fault, InputError
from pvkit.site.faults import faults_of, nearest
from pvkit.site.samples import record_files
from pvkit.site.survey import Site
from pvkit.site.toml_file import read_toml
from pvkit.site.wording import one_of

KIND = "commissioning record (.toml)"
MODULE_VOLTS = "module volts"


def load_record(path: str | Path, site: Site) -> RecordFile:
    """Read a commissioning record of a site.

    Parameters
    ----------
    path : a TOML file (``pvkit commission SITE --template`` writes one to fill in), or the name
        of a sample record
    site : the survey

    Raises
    ------
    InputError
        With every fault found: unknown keys, values out of range, strings the site has not.
    """
    file = record_files().get(str(path)) or Path(path)
    return build_record(read_toml(file, KIND), site, file.name)


def build_record(raw: Mapping[str, Any], site: Site, where: str = "record") -> RecordFile:
    """Check a mapping shaped like a commissioning record.

    Parameters
    ----------
    raw : what ``tomllib`` reads from a record
    site : the survey
    where : put before each key in messages

    Raises
    ------
    InputError
        With every fault found.

    Examples
    --------
    >>> import datetime
    >>> from pvkit.site.reader import load_site
    >>> raw = {"record": {"date": datetime.date(2026, 5, 14)}}
    >>> build_record(raw, load_site("bungalow_extension")).string
    ()
    """
    try:
        file = RecordFile.model_validate(raw)
    except ValidationError as error:
        raise InputError(*faults_of(error, raw, RecordFile, where)) from error
    refuse_other_sites(file, site, where)
    return file


def refuse_other_sites(file: RecordFile, site: Site, where: str = "record") -> None:
    """Raise every fault of a record that only its site shows.

    Raises
    ------
    InputError
        If a string is not of the site, stands twice, or has readings it cannot have.
    """
    faults = [replace(fault, where=f"{where}, {fault.where}") for fault in _faults(file, site)]
    if faults:
        raise InputError(*faults)


def _faults(file: RecordFile, site: Site) -> Iterator[Fault]:
    plans = {plan.name: plan for plan in string_plans(site)}
    seen: set[tuple[str, int]] = set()
    for place, string in enumerate(file.string, 1):
        key, plan = f"string.{place}", plans.get(string.array)
        if plan is None:
            yield _unknown(key, string, list(plans))
            continue
        if string.number > plan.strings:
            yield Fault(f"{key}.number", f"found {string.number}",
                        f"1 to {plan.strings}, the strings of array '{plan.name}'",
                        "count the array's strings from 1, or mend the site file")  # fmt: skip
        if (string.array, string.number) in seen:
            yield Fault(f"{key}.number", f"found string {string.number} of '{plan.name}' again",
                        "each string once", "take one of the two away")  # fmt: skip
        seen.add((string.array, string.number))
        yield from _readings(key, string, plan, file)


def _unknown(key: str, string: StringRecord, known: Sequence[str]) -> Fault:
    return Fault(f"{key}.array", f"found '{string.array}', which the site file does not have",
                 one_of(known), nearest(string.array, known))  # fmt: skip


def _readings(
    key: str, string: StringRecord, plan: StringPlan, file: RecordFile
) -> Iterator[Fault]:
    if string.module_voc_v is not None and not (
        shortest(plan) <= len(string.module_voc_v) <= longest(plan)
    ):
        yield Fault(f"{key}.module_voc_v", f"found {len(string.module_voc_v)} readings",
                    f"{longest(plan)}, one for each module of the string",
                    "give every module's volts in order, or leave the list out")  # fmt: skip
    if not plan.optimisers and string.safe_v is not None:
        yield Fault(f"{key}.safe_v", f"found {string.safe_v:g} V, but '{plan.name}' has no"
                    " optimisers", "voc_v", "give the string's open-circuit volts as"
                    " voc_v")  # fmt: skip
    if plan.optimisers and file.optimisers.before_start != MODULE_VOLTS:
        yield from _not_started(key, string)
    if string.insulation_joined_mohm is not None and (
        string.insulation_plus_mohm is not None or string.insulation_minus_mohm is not None
    ):
        yield Fault(f"{key}.insulation_joined_mohm", "found it beside + or - alone",
                    "insulation_plus_mohm with insulation_minus_mohm, or insulation_joined_mohm",
                    "keep the way it was measured")  # fmt: skip


def _not_started(key: str, string: StringRecord) -> Iterator[Fault]:
    """Refuse a module's figures on a string whose optimisers hold it at safe volts."""
    for name in ("voc_v", "isc_a"):
        found = getattr(string, name)
        if found is not None:
            yield Fault(
                f"{key}.{name}",
                f"found {found:g} on a string of optimisers that have not started",
                "safe_v for the string, module_voc_v for its modules",
                "move it there, or write before_start = 'module volts' under [optimisers] if"
                " their maker says that a string shows its modules' volts",
            )
