"""A visit beside the system's own earlier ones, where the estimate's bias falls out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pvkit.electrical.finding import judged, where_from
from pvkit.study.visit_doubt import Doubt
from pvkit.study.visit_look import FELL
from pvkit.study.visit_pattern import Pattern
from pvkit.study.visit_verdict import AS_EXPECTED, LITTLE_LOW, LOW, per_cent
from pvkit.tables import constant
from pvkit.verdict import CheckRow


@dataclass(frozen=True, slots=True)
class Earlier:
    """An earlier visit, as its record has it.

    Parameters
    ----------
    date : of the visit, as 2026-04-12
    ratio : made over expected
    verdict : in words
    light_source : where the light of its whole period was from; empty if it was not known
    own_doubt : the part of its doubt that another year does not share
    """

    date: str
    ratio: float
    verdict: str
    light_source: str
    own_doubt: float


def earlier_visits(
    records: Sequence[Mapping[str, Any]], site: str, before: str
) -> tuple[Earlier, ...]:
    """Pick a site's earlier visits from the records of a history.

    Parameters
    ----------
    records : facts of visits, as they were recorded
    site : name of the site
    before : day of the visit at hand, as 2027-04-12
    """
    own = [r for r in records if r["site"] == site and r["visit_date"] < before]
    return tuple(
        Earlier(r["visit_date"], r["ratio"], r["verdict"], r["light_source"],
                r["doubt"]["light_of_its_own"])
        for r in sorted(own, key=lambda record: str(record["visit_date"]))
    )  # fmt: skip


def against_earlier(
    ratio: float, doubt: Doubt, light_source: str, earlier: Sequence[Earlier]
) -> Pattern | None:
    """Set a visit beside the sound ones before it; None if there are none to compare with.

    Only visits whose light was given, from the same source, are compared: its bias falls out, and
    so does the estimate's. Between two years of unknown light the light is the larger doubt.

    Parameters
    ----------
    ratio : made over expected, this time
    doubt : of it
    light_source : where the light of the whole period is from; empty if it is not known
    earlier : the site's earlier visits
    """
    sound = [e for e in earlier if e.light_source == light_source and e.verdict == AS_EXPECTED]
    if not light_source or not sound:
        return None
    usual = float(np.mean([each.ratio for each in sound]))
    own = [each.own_doubt for each in sound]
    noise = np.sqrt(doubt.light_of_its_own**2 + float(np.square(own).mean()) / len(own))
    most = max(constant("visit.fall_fraction"), constant("visit.doubt_multiple") * noise)
    fall = 1.0 - ratio / usual
    many = f"{len(sound)} earlier visits" if len(sound) > 1 else f"the visit of {sound[0].date}"
    row = CheckRow(
        "Against its own earlier visits", f"{per_cent(ratio)}, after {per_cent(usual)} at {many}",
        f"a fall of up to {per_cent(most)}", judged(fall <= most),
        where_from("visit.fall_fraction"),
    )  # fmt: skip
    if fall <= most:
        return Pattern(row, AS_EXPECTED, ())
    level = LOW if fall > 1.0 - constant("visit.low_fraction") else LITTLE_LOW
    return Pattern(row, level, FELL, fall)
