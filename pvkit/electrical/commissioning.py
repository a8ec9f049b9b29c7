"""The commissioning record of a site: every test judged, and whether it is complete."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from pvkit.electrical.commission_earth import earth_tests, insulation_tests
from pvkit.electrical.commission_like import like_tests
from pvkit.electrical.commission_mains import (
    ac_tests,
    loss_of_mains_tests,
    protection_tests,
    works_tests,
)
from pvkit.electrical.commission_papers import paper_tests
from pvkit.electrical.commission_strings import StringTest, string_tests
from pvkit.electrical.network import network_route
from pvkit.electrical.outcome import Outcome
from pvkit.electrical.readings import refuse_other_sites
from pvkit.electrical.record_file import RecordFile
from pvkit.electrical.string_volts import string_plans
from pvkit.site.survey import Site
from pvkit.verdict import CheckGroup, CheckRow

Judged = list[tuple[str, list[Outcome]]]


@dataclass(frozen=True, slots=True)
class Commissioning:
    """A judged record.

    Parameters
    ----------
    groups : the rows of the test report under their heads
    blocking : why the record is not complete, one reason each; empty if it is
    strings : every string of the site with its record
    """

    groups: tuple[CheckGroup, ...]
    blocking: tuple[str, ...]
    strings: tuple[StringTest, ...]

    @property
    def rows(self) -> tuple[CheckRow, ...]:
        """All rows in the order of the report."""
        return tuple(row for group in self.groups for row in group.rows)

    @property
    def complete(self) -> bool:
        """Whether every test is recorded and none failed."""
        return not self.blocking


def judge_record(site: Site, record: RecordFile) -> Commissioning:
    """Judge every test of a commissioning record.

    Parameters
    ----------
    site : the survey that the system was built to
    record : as filled in; what is missing is a reason why it is not complete

    Raises
    ------
    InputError
        If the record has strings that the site has not, or readings they cannot have.

    Examples
    --------
    >>> import datetime
    >>> from pvkit.electrical.readings import build_record
    >>> from pvkit.site.reader import load_site
    >>> site = load_site("bungalow_extension")
    >>> empty = build_record({"record": {"date": datetime.date(2026, 5, 14)}}, site)
    >>> judge_record(site, empty).complete
    False
    """
    refuse_other_sites(record, site)
    strings = string_records(site, record)
    found = [*_strings(strings), *_beside(site, strings), *_mains(site, record)]
    return Commissioning(
        groups=tuple(CheckGroup(title, tuple(t.row for t in tests)) for title, tests in found),
        blocking=tuple(test.reason for _, tests in found for test in tests if test.reason),
        strings=strings,
    )


def string_records(site: Site, record: RecordFile) -> tuple[StringTest, ...]:
    """Give every string of the site with what was recorded of it, or nothing."""
    known = {(string.array, string.number): string for string in record.string}
    return tuple(
        StringTest(plan, number, known.get((plan.name, number)), record.optimisers)
        for plan in string_plans(site)
        for number in range(1, plan.strings + 1)
    )


def _strings(strings: tuple[StringTest, ...]) -> Iterator[tuple[str, list[Outcome]]]:
    for test in strings:
        title = f"String {test.number} of “{test.plan.name}”, {test.modules} modules"
        tests = (*string_tests(test), *insulation_tests(test))
        yield title, list(_named(tests, test.name) if len(strings) > 1 else tests)


def _named(tests: Iterable[Outcome], name: str) -> Iterator[Outcome]:
    """Put the string's name to each test and reason."""
    for test in tests:
        row = replace(test.row, what=f"{name}: {test.row.what}")
        yield Outcome(row, test.reason and f"{name}: {test.reason}")


def _beside(site: Site, strings: tuple[StringTest, ...]) -> Judged:
    """Put strings of like modules, length and plane beside each other."""
    arrays = {array.name: array for array in site.array}
    alike = defaultdict(list)
    for test in strings:
        array = arrays[test.plan.name]
        plane = site.tilt_deg(array), site.azimuth_deg(array)
        alike[test.plan.module, test.modules, test.plan.optimisers, *plane].append(test)
    tests = [test for group in alike.values() for test in like_tests(group)]
    return [("Like strings beside each other", tests)] if tests else []


def _mains(site: Site, record: RecordFile) -> Judged:
    route = network_route(site.inverter_sheet(), site.kwp() * 1000, site.supply)
    return [
        ("Earth", list(earth_tests(record.earth))),
        ("Loss of mains", list(loss_of_mains_tests(record.loss_of_mains))),
        (
            "Protection as read off the inverter",
            list(protection_tests(record.protection, ask_first=route.ask_first)),
        ),
        ("A.c. circuit", list(ac_tests(record.ac_tests))),
        ("Tried with the system on", list(works_tests(record.works))),
        ("Papers and numbers", list(paper_tests(site, record, route))),
    ]
