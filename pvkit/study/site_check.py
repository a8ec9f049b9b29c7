"""The check sheet of a site: does it fit the roof, does it hold, is it wired right."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from pvkit.electrical.electrical_rows import electrical_groups
from pvkit.roof.ballast_rows import ballast_facts, ballast_rows
from pvkit.roof.fit_rows import layout_facts, layout_rows
from pvkit.site.survey import Site
from pvkit.study.cautions import ELECTRICAL, STRUCTURE
from pvkit.verdict import CheckGroup, CheckRow, Verdict

FORMAT_VERSION = 1
NO_CERTIFICATE = (
    "A row that passes says only that the numbers of the site file keep that one limit; a row "
    "marked “ask” is not a pass: the person it names decides. This sheet is no certificate."
)


@dataclass(frozen=True, slots=True)
class SiteCheck:
    """Every check of one site, as far as its survey goes.

    Parameters
    ----------
    site : the survey
    groups : rows under their heads: layout, ballast, then the electrical ones
    layout, ballast : figures behind the rows, as plain numbers, words and lists
    """

    site: Site
    groups: tuple[CheckGroup, ...]
    layout: Mapping[str, Any]
    ballast: Mapping[str, Any]

    @property
    def rows(self) -> tuple[CheckRow, ...]:
        """All rows in the order of the sheet."""
        return tuple(row for group in self.groups for row in group.rows)

    @property
    def failing(self) -> tuple[CheckRow, ...]:
        """The rows whose limit is not kept."""
        return tuple(row for row in self.rows if row.verdict == "fail")

    @property
    def cautions(self) -> tuple[str, ...]:
        """What must stand beside the sheet wherever it is shown."""
        return (NO_CERTIFICATE, STRUCTURE, ELECTRICAL)

    def count(self, verdict: Verdict) -> int:
        """Give how many rows have a verdict."""
        return sum(row.verdict == verdict for row in self.rows)

    def facts(self) -> dict[str, Any]:
        """Give everything as plain numbers, words and lists: what ``--json`` prints."""
        return {
            "format_version": FORMAT_VERSION,
            "site": self.site.site.name,
            "rows": [asdict(row) for row in self.rows],
            "layout": dict(self.layout),
            "ballast": dict(self.ballast),
            "cautions": list(self.cautions),
        }


def check_site(site: Site) -> SiteCheck:
    """Run every check of layout, ballast and wiring.

    What an estimate refuses (a string outside the inverter's window) is a row that fails here.

    Parameters
    ----------
    site : a checked survey

    Raises
    ------
    InputError
        If a cable size does not exist.

    Examples
    --------
    >>> from pvkit import load_site
    >>> check_site(load_site("bungalow_extension")).failing
    ()
    """
    groups = (
        CheckGroup("Layout on the roof", layout_rows(site)),
        CheckGroup("Wind, ballast and roof load", ballast_rows(site)),
        *electrical_groups(site),
    )
    return SiteCheck(site, groups, layout=layout_facts(site), ballast=ballast_facts(site))
