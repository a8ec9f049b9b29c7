"""A commissioning record as it is kept: what was measured, how it was judged, what is missing."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from itertools import groupby
from typing import Any

from pydantic import ValidationError

from pvkit.electrical.commission_strings import StringTest
from pvkit.electrical.commissioning import Commissioning, judge_record
from pvkit.electrical.outcome import NOT_RECORDED
from pvkit.electrical.record_file import RecordFile
from pvkit.errors import Fault, InputError
from pvkit.site.survey import Site
from pvkit.study.cautions import ELECTRICAL
from pvkit.verdict import CheckGroup, CheckRow, Verdict

FORMAT_VERSION = 1
KIND = "commissioning"
NOT_A_CERTIFICATE = (
    "This record lists what the person named above wrote down and holds it against the limits "
    "shown. It does not replace the electrical certificate, and nobody's signature is on it until "
    "somebody signs."
)


@dataclass(frozen=True, slots=True)
class Record:
    """A judged commissioning record, with the survey it was judged against.

    Parameters
    ----------
    site : the survey as it was then
    file : what was recorded
    groups : the rows of the test report under their heads
    blocking : why it is not complete, one reason each; empty if it is
    strings : each string of the site: what was measured, what the module model expects
    """

    site: Site
    file: RecordFile
    groups: tuple[CheckGroup, ...]
    blocking: tuple[str, ...]
    strings: tuple[Mapping[str, Any], ...]

    @property
    def complete(self) -> bool:
        """Whether every test is recorded and none failed."""
        return not self.blocking

    @property
    def rows(self) -> tuple[CheckRow, ...]:
        """All rows in the order of the report."""
        return tuple(row for group in self.groups for row in group.rows)

    @property
    def failing(self) -> tuple[CheckRow, ...]:
        """The tests that failed, or are still missing."""
        return tuple(row for row in self.rows if row.verdict == "fail")

    @property
    def missing(self) -> tuple[CheckRow, ...]:
        """The tests that were not recorded."""
        return tuple(row for row in self.rows if row.value == NOT_RECORDED)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What must stand beside the record wherever it is shown."""
        return (NOT_A_CERTIFICATE, ELECTRICAL)

    def count(self, verdict: Verdict) -> int:
        """Give how many rows have a verdict; a test that was not recorded counts as failed."""
        return sum(row.verdict == verdict for row in self.rows)

    def facts(self) -> dict[str, Any]:
        """Give everything as plain numbers, words and lists: what is saved as JSON."""
        return {
            "format_version": FORMAT_VERSION,
            "kind": KIND,
            "site": self.site.site.name,
            "date": self.file.record.date.isoformat(),
            "complete": self.complete,
            "blocking": list(self.blocking),
            "rows": [asdict(row) | {"group": g.title} for g in self.groups for row in g.rows],
            "strings": [dict(string) for string in self.strings],
            "record": self.file.model_dump(mode="json", exclude_unset=True),
            "survey": self.site.model_dump(mode="json", exclude_unset=True),
            "cautions": list(self.cautions),
        }


def commission(site: Site, file: RecordFile) -> Record:
    """Judge a record and make it ready to keep.

    Parameters
    ----------
    site : the survey that the system was built to
    file : from :func:`pvkit.electrical.readings.load_record`

    Raises
    ------
    InputError
        If the record has strings that the site has not, or readings they cannot have.
    """
    judged: Commissioning = judge_record(site, file)
    strings = tuple(_string_facts(test) for test in judged.strings)
    return Record(site, file, judged.groups, judged.blocking, strings)


def record_json(record: Record) -> str:
    """Write a record as JSON."""
    return json.dumps(record.facts(), indent=2, allow_nan=False, ensure_ascii=False) + "\n"


def read_record(text: str, where: str = "record") -> Record:
    """Read a saved record back, as it was judged then.

    Parameters
    ----------
    text : JSON, from :func:`record_json`
    where : its file's name, for messages

    Raises
    ------
    InputError
        If it is no saved record, or one of a later format.
    """
    try:
        facts = json.loads(text)
        if facts["format_version"] != FORMAT_VERSION:
            raise InputError(_not_ours(where, f"format {facts['format_version']}"))
        site = Site.model_validate_json(json.dumps(facts["survey"]))
        file = RecordFile.model_validate_json(json.dumps(facts["record"]))
        groups, strings = tuple(_groups(facts["rows"])), tuple(facts["strings"])
        record = Record(site, file, groups, tuple(facts["blocking"]), strings)
    except (ValueError, ValidationError, LookupError, TypeError) as error:
        raise InputError(_not_ours(where, "something else")) from error
    if record.complete != facts["complete"]:
        raise InputError(_not_ours(where, "a record that was changed after it was saved"))
    return record


def _not_ours(where: str, found: str) -> Fault:
    return Fault(where, f"found {found}", f"a saved commissioning record, format {FORMAT_VERSION}",
                 "save the record again from its own file")  # fmt: skip


def _groups(rows: list[dict[str, Any]]) -> Iterator[CheckGroup]:
    for title, found in groupby(rows, key=lambda row: row["group"]):
        kept = ({key: value for key, value in row.items() if key != "group"} for row in found)
        yield CheckGroup(title, tuple(CheckRow(**row) for row in kept))


def _string_facts(test: StringTest) -> dict[str, Any]:
    """Give a string's figures for machines; None where nothing can be expected."""
    expected = test.expected
    measured = {} if test.record is None else test.record.model_dump(mode="json", exclude_none=True)
    return {
        "array": test.plan.name,
        "number": test.number,
        "modules": test.modules,
        "measured": {k: v for k, v in measured.items() if k not in ("array", "number")},
        "expected": None if expected is None else asdict(expected),
    }
