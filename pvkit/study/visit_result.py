"""A judged visit: the figures, the verdict, the check sheet."""

from dataclasses import dataclass
from typing import Any

from pvkit.site.survey import Site
from pvkit.site.visit_readings import VisitReadings
from pvkit.study.cautions import ELECTRICAL
from pvkit.study.visit_checklist import NOT_LOOKED
from pvkit.study.visit_doubt import Doubt
from pvkit.study.visit_earlier import Earlier
from pvkit.study.visit_expected import Expected
from pvkit.study.visit_period import Period
from pvkit.study.visit_site import SiteYear
from pvkit.study.visit_verdict import Level
from pvkit.verdict import CheckGroup, CheckRow, Verdict

NO_PROOF = (
    "The verdict says where to look, it proves nothing: light, estimate and meter all have their "
    "doubt. Of invented years without a fault about 3 in 100 are called low; a lack of a tenth is "
    "noticed in about 4 of 10 years if the light of each month is given, in 1 of 4 if not."
)


@dataclass(frozen=True, slots=True, eq=False)
class Visit:
    """A judged visit.

    Parameters
    ----------
    site : the survey
    readings : what the visit brought
    year : the site's year that it was judged by
    period : the days counted
    should : what should have been made
    doubt : of made over expected
    level : the verdict
    look_at : where to look, the likeliest first
    groups : the check sheet
    earlier : visits before this one
    """

    site: Site
    readings: VisitReadings
    year: SiteYear
    period: Period
    should: Expected
    doubt: Doubt
    level: Level
    look_at: tuple[str, ...]
    groups: tuple[CheckGroup, ...]
    earlier: tuple[Earlier, ...]

    @property
    def made_kwh(self) -> float:
        """What the whole period made."""
        return float(self.period.kwh.sum())

    @property
    def ratio(self) -> float:
        """Made over expected."""
        return self.made_kwh / self.should.total_kwh

    @property
    def light_known(self) -> bool:
        """Whether the light of (nearly) every month of the period was given."""
        return self.should.light_known

    @property
    def light_source(self) -> str:
        """Where the light of the whole period is from; empty if it is not known."""
        return light_source(self.readings) if self.light_known else ""

    @property
    def performance_ratio(self) -> float | None:
        """IEC 61724-1 performance ratio of the period; None where its light is not known."""
        if not self.light_known:
            return None
        return self.made_kwh / self.year.kwp / float(self.should.poa_kwh_per_m2.sum())

    @property
    def expected_performance_ratio(self) -> float:
        """The performance ratio that it should have had."""
        return self.should.total_kwh / self.year.kwp / float(self.should.poa_kwh_per_m2.sum())

    @property
    def cautions(self) -> tuple[str, ...]:
        """What must stand beside the verdict wherever it is shown."""
        return (NO_PROOF, ELECTRICAL)

    @property
    def failing(self) -> tuple[CheckRow, ...]:
        """The rows that fail."""
        return tuple(r for group in self.groups for r in group.rows if r.verdict == "fail")

    @property
    def still_open(self) -> tuple[str, ...]:
        """What was not looked at."""
        rows = (row for group in self.groups for row in group.rows)
        return tuple(row.what for row in rows if row.value == NOT_LOOKED)

    def count(self, verdict: Verdict) -> int:
        """Give how many rows have a verdict."""
        return sum(row.verdict == verdict for group in self.groups for row in group.rows)

    def facts(self) -> dict[str, Any]:
        """Give everything as plain numbers, words and lists: what is recorded and printed."""
        from pvkit.study.visit_facts import visit_facts

        return visit_facts(self)


def light_source(readings: VisitReadings) -> str:
    """Say where a period's light is from.

    Parameters
    ----------
    readings : with their light by month, or with a weather file
    """
    given = readings.file.irradiation
    if given is not None:
        return given.source or "light given by month"
    return "weather file of the period"
