"""What one table of a readings file alone cannot show: order, meters running back, a period."""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from pvkit.errors import Fault
from pvkit.site.visit_file import Irradiation, Monthly, VisitFile


def visit_faults(file: VisitFile) -> list[Fault]:
    """List what is wrong between the keys of a readings file."""
    found = [*_kinds(file), *_days(file), *_meter(file)]
    if file.monthly is not None:
        found += _list_or_file("monthly", "kwh", file.monthly, file.monthly.kwh)
    if file.irradiation is not None:
        found += _list_or_file(
            "irradiation", "kwh_per_m2", file.irradiation, file.irradiation.kwh_per_m2
        )
    return found


def _kinds(file: VisitFile) -> Iterator[Fault]:
    kinds = [("[[meter]]", bool(file.meter)), ("[monthly]", file.monthly is not None),
             ("[half_hourly]", file.half_hourly is not None)]  # fmt: skip
    there = [head for head, given in kinds if given]
    if len(there) != 1:
        found = f"found {' and '.join(there)}" if there else "found no readings"
        yield Fault("readings", found, "one of [[meter]], [monthly], [half_hourly]",
                    "give what the system made in one way only")  # fmt: skip
    if file.weather is not None and file.irradiation is not None:
        yield Fault("weather, irradiation", "found both", "the light of the period given one way",
                    "take one of the two out")  # fmt: skip


def _days(file: VisitFile) -> Iterator[Fault]:
    if file.visit.installed > file.visit.date:
        yield Fault("visit.installed", f"found {file.visit.installed}, after the visit",
                    f"a day up to {file.visit.date}", "check the year of both dates")  # fmt: skip


def _meter(file: VisitFile) -> Iterator[Fault]:
    for place, (before, reading) in enumerate(pairwise(file.meter), 2):
        if reading.date == before.date:
            yield Fault(f"meter.{place}.date", f"found {reading.date} a second time",
                        "each reading on a day of its own", "take one of the two away")  # fmt: skip
        elif reading.date < before.date:
            yield Fault(f"meter.{place}.date", f"found {reading.date} after {before.date}",
                        "readings in the order of their days", "put them in order, or mend the"
                        " date")  # fmt: skip
        elif reading.kwh < before.kwh:
            yield Fault(f"meter.{place}.kwh",
                        f"found {reading.kwh:g} after {before.kwh:g}: the meter runs backwards",
                        "totals that grow", "check both readings; if the meter was changed, give"
                        " only the readings of the new one")  # fmt: skip


def _list_or_file(
    table: str, key: str, given: Monthly | Irradiation, values: tuple[float, ...] | None
) -> Iterator[Fault]:
    listed = given.first is not None and values is not None
    if listed and given.file is None:
        return
    if given.file is not None and given.first is None and values is None:
        return
    there = [name for name in ("first", key, "file") if getattr(given, name) is not None]
    yield Fault(table, f"found {' and '.join(there) or 'an empty table'}",
                f"first and {key}, or file alone", "give the list with its first month, or a CSV"
                " file")  # fmt: skip


def period_faults(file: VisitFile, first: float, last: float) -> Iterator[Fault]:
    """Say where readings reach outside the time between installation and visit.

    Parameters
    ----------
    file : the readings file
    first, last : the readings' two ends, local days since 1970-01-01
    """
    visit = file.visit
    begins, ends = (
        int(np.datetime64(day, "D").astype(int)) for day in (visit.installed, visit.date)
    )
    if first < begins:
        yield Fault("visit.installed", f"found {visit.installed}, after the readings begin on"
                    f" {_shown(first)}", f"a day up to {_shown(first)}",
                    "mend the day, or leave the earlier readings out")  # fmt: skip
    if last > ends + 0.5:
        yield Fault("visit.date", f"found {visit.date}, before the readings end on {_shown(last)}",
                    f"a day from {_shown(last)} on", "mend the day, or leave later readings"
                    " out")  # fmt: skip
    if last <= first:
        yield Fault("readings", "found a period without length", "readings over weeks or months",
                    "check the first month and the day of installation")  # fmt: skip


def _shown(day: float) -> str:
    return str(np.datetime64(int(day), "D"))
