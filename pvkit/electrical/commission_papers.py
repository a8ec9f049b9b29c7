"""What must be on paper: who tested, the network operator, meter, serial numbers, photos."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from pvkit.electrical.finding import judged, where_from
from pvkit.electrical.network import Route
from pvkit.electrical.outcome import Outcome, missing, outcome
from pvkit.electrical.record_file import MeterRecord, Photo, RecordFile, SerialNumbers
from pvkit.electrical.string_volts import string_plans
from pvkit.site.survey import Site
from pvkit.tables import constant

PACK = "what a handover pack holds: BS EN 62446-1 (from memory)"
PRACTICE = "common practice, no source (common practice)"
_NOTIFY, _NOTIFY_DAYS = "network.notify_a", "network.notify_days"


def paper_tests(site: Site, file: RecordFile, route: Route) -> Iterator[Outcome]:
    """Judge what was written down beside the tests.

    Parameters
    ----------
    site : the survey, for the numbers of modules and optimisers
    file : the record
    route : whether the network operator is asked first or told afterwards
    """
    by, limit = file.record.by, "the role of whoever tested"
    yield (
        missing("Tested by", limit, PACK)
        if by is None
        else outcome("Tested by", by, limit, "pass", PACK)
    )
    yield _consent(file) if route.ask_first else _notice(file)
    yield _meter(file.meter)
    yield from serial_tests(site, file.serials)
    yield _photos(file.photo)


def _notice(file: RecordFile) -> Outcome:
    """Judge the notice; it follows the switching on, so a record is complete without it."""
    what, days = "Notice to the network operator", constant(_NOTIFY_DAYS)
    last = file.record.date + timedelta(days=days)
    limit, source = (
        f"by {_day(last)}, within {days:g} days of switching on",
        where_from(_NOTIFY_DAYS),
    )
    sent = file.network.date
    if sent is None:
        return outcome(what, "not sent yet: send it", limit, "ask", source)
    reference = file.network.reference
    words = f"sent {_day(sent)}{f', reference {reference}' if reference else ''}"
    return outcome(what, words, limit, judged(sent <= last), source)


def _consent(file: RecordFile) -> Outcome:
    what, limit = "Consent of the network operator", "given before switching on, with reference"
    given, reference = file.network.date, file.network.reference
    if given is None or reference is None:
        return missing(what, limit, where_from(_NOTIFY))
    words, good = f"given {_day(given)}, reference {reference}", given <= file.record.date
    return outcome(what, words, limit, judged(good), where_from(_NOTIFY))


def _day(day: date) -> str:
    return f"{day.day} {day:%B %Y}"


def _meter(found: MeterRecord) -> Outcome:
    what, limit = (
        "Generation meter's first reading",
        "read on the day; every later year starts here",
    )
    if found.generation_kwh is None:
        return missing(what, limit, PACK)
    words = f"{found.generation_kwh:g} kWh{f', meter {found.serial}' if found.serial else ''}"
    return outcome(what, words, limit, "pass", PACK)


def serial_tests(site: Site, found: SerialNumbers) -> Iterator[Outcome]:
    """Hold the lists of serial numbers against what the site has, each number once."""
    plans = string_plans(site)
    modules = sum(plan.count for plan in plans)
    optimisers = sum(plan.count for plan in plans if plan.optimisers)
    if found.inverter is None:
        yield missing("Serial number of the inverter", "copied from its name plate", PACK)
    else:
        limit = "copied from its name plate"
        yield outcome("Serial number of the inverter", found.inverter, limit, "pass", PACK)
    yield _serials("modules", found.modules, modules)
    if optimisers:
        yield _serials("optimisers", found.optimisers, optimisers)


def _serials(of: str, numbers: Sequence[str] | None, count: int) -> Outcome:
    what, limit = f"Serial numbers of the {of}", f"{count}, each once"
    if numbers is None:
        return missing(what, limit, PACK)
    twice = sorted({number for number in numbers if numbers.count(number) > 1})
    words = f"{len(numbers)}{f', {twice[0]} twice' if twice else ''}"
    return outcome(what, words, limit, judged(len(numbers) == count and not twice), PACK)


def _photos(found: Sequence[Photo]) -> Outcome:
    limit = "fixings, cable entries and labels, of what will be covered before it is"
    words = f"{len(found)} listed" if found else "none listed"
    return outcome("Photos", words, limit, judged(bool(found), "ask"), PRACTICE)
