"""What the run of the months gives away: standing still, a part gone, shade, a limit."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.electrical.finding import where_from
from pvkit.study.visit_look import FADED, OUTAGE, SHADE, SUMMER
from pvkit.study.visit_period import Period
from pvkit.study.visit_spans import Contrast, SpanTable, contrast
from pvkit.study.visit_verdict import LITTLE_LOW, LOW, Level, per_cent
from pvkit.tables import constant
from pvkit.verdict import CheckRow

BoolArray = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Pattern:
    """Something the run of the months gives away.

    Parameters
    ----------
    row : for the check sheet
    level : what it makes of the verdict
    look_at : where to look
    missing : share of the energy that the affected months lack, if a part may be gone
    clear : how clearly it stands out, to choose between two readings of the same months
    """

    row: CheckRow
    level: Level
    look_at: tuple[str, ...]
    missing: float = 0.0
    clear: float = 0.0


def patterns(table: SpanTable, period: Period) -> tuple[Pattern, ...]:
    """Look for what the months have to say, the plainest first.

    Parameters
    ----------
    table : the period's stretches
    period : for single days without energy
    """
    still = (table.ratio < constant("visit.still_fraction")) & _telling(table)
    found = [*_still(table, still), *(() if still.any() else _still_days(period))]
    kept = ~still & (table.should > 0.0)
    season, change = _season(table, kept), _change(table, kept)
    if season is None or (change is not None and change.clear > season.clear):
        return (*found, *([change] if change else []))
    return (*found, season)


def _telling(table: SpanTable) -> BoolArray:
    """Leave out stretches too short or dark to be told standing still."""
    reach = constant("visit.change_multiple") * np.sqrt(np.diag(table.covariance))
    return np.asarray((table.should > 0.0) & (reach < 1.0 - constant("visit.still_fraction")))


def _still(table: SpanTable, still: BoolArray) -> Iterator[Pattern]:
    edges = np.flatnonzero(np.diff(still, prepend=False, append=False)).reshape(-1, 2)
    for first, end in edges.tolist():
        group = np.zeros(len(still), bool)
        group[first:end] = True
        value = (f"{table.months(group)}: {table.made[group].sum():,.0f} of"
                 f" {table.should[group].sum():,.0f} kWh")  # fmt: skip
        limit = f"at least {per_cent(constant('visit.still_fraction'))} of what it should make"
        row = CheckRow("Stood still", value, limit, "fail", where_from("visit.still_fraction"))
        yield Pattern(row, LITTLE_LOW, OUTAGE)


def _still_days(period: Period) -> Iterator[Pattern]:
    if len(period.still) < constant("visit.still_days"):
        return
    named = ", ".join(str(day) for day in period.still[:5])
    more = len(period.still) - 5
    value = f"{len(period.still)} days: {named}" + (f" and {more} more" if more > 0 else "")
    limit = f"fewer than {constant('visit.still_days'):g} days without any energy"
    row = CheckRow("Days it stood still", value, limit, "fail", where_from("visit.still_days"))
    yield Pattern(row, LITTLE_LOW, OUTAGE)


def _season(table: SpanTable, kept: BoolArray) -> Pattern | None:
    """Set winter against summer: low sun meets shade first, high sun meets limits and leaves."""
    most = constant("visit.season_share")
    winter, summer = kept & (table.winter >= most), kept & (table.winter <= 1.0 - most)
    if not winter.any() or not summer.any():
        return None
    for group, others, name, look in (
        (winter, summer, "Winter against summer", SHADE),
        (summer, winter, "Summer against winter", SUMMER),
    ):
        found = contrast(table, group, others)
        least = constant("visit.season_low_fraction")
        if found.lower > least and found.deviations > constant("visit.season_multiple"):
            left = per_cent(table.ratio_of(group))
            value = f"{per_cent(found.lower)} lower, {left} of what it should make"
            source = where_from("visit.season_low_fraction")
            row = CheckRow(name, value, f"up to {per_cent(least)} lower", "fail", source)
            return Pattern(row, LITTLE_LOW, look, clear=found.clear)
    return None


def _change(table: SpanTable, kept: BoolArray) -> Pattern | None:
    """Find the run of stretches that stands out lowest against all others."""
    best: tuple[Contrast, BoolArray] | None = None
    places = np.flatnonzero(kept)
    for a in range(len(places)):
        for b in range(a + 1, len(places) + 1):
            if b - a == len(places):
                continue
            group = np.zeros(len(kept), bool)
            group[places[a:b]] = True
            found = contrast(table, group, kept & ~group)
            if best is None or found.clear > best[0].clear:
                best = (found, group)
    if best is None or not _stands_out(best[0]):
        return None
    found, group = best
    return _changed(table, found, group, ongoing=bool(group[places[-1]]))


def _stands_out(found: Contrast) -> bool:
    return found.lower > constant("visit.change_fraction") and found.deviations > constant(
        "visit.change_multiple"
    )


def _changed(table: SpanTable, found: Contrast, group: BoolArray, *, ongoing: bool) -> Pattern:
    since = f"since about {table.months(group).split(' to ')[0]}"
    when = since if ongoing else f"{table.months(group)}, then back"
    least = constant("visit.change_fraction")
    value = f"{when}: {per_cent(found.lower)} lower than the other months"
    source = where_from("visit.change_fraction")
    row = CheckRow(
        "Months against each other", value, f"up to {per_cent(least)} lower", "fail", source
    )
    is_low = ongoing and table.ratio_of(group) < constant("visit.low_fraction")
    return Pattern(row, LOW if is_low else LITTLE_LOW, FADED, found.lower, found.clear)
