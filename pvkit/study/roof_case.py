"""One case of a flat roof: how it is covered, what it makes, what holds it down."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from pvkit.errors import InputError
from pvkit.roof.fit import lying_on
from pvkit.roof.roof_hold import RoofHold, roof_hold
from pvkit.site.survey import Site
from pvkit.study.changes import changed
from pvkit.study.covering import (
    Covering,
    covered,
    covered_area_m2,
    most_covered,
    surveyed_covering,
)
from pvkit.study.estimate import Estimate
from pvkit.study.study import Study

# Begins the keys that are changed for every array of the roof.
EVERY_ARRAY = "array.*."


@dataclass(frozen=True, slots=True, eq=False)
class RoofCase:
    """A flat roof as covered and held.

    Parameters
    ----------
    site : the survey with this case's layout and what holds it
    roof : name of the roof
    most : modules that fit when covered this way
    hold : ballast of all its arrays
    energy : the estimate of the whole site; None if the wiring as surveyed does not suit the layout
    refused : why not, if so
    """

    site: Site
    roof: str
    most: int
    hold: RoofHold
    energy: Estimate | None
    refused: str

    @property
    def count(self) -> int:
        """Modules on the roof."""
        return sum(self.site.count(array) for array in lying_on(self.site, self.roof))

    @property
    def kwp(self) -> float:
        """Rated power on the roof [kWp]."""
        return sum(
            self.site.count(array) * self.site.module(array).pmax_w / 1000.0
            for array in lying_on(self.site, self.roof)
        )

    @property
    def kwh_per_m2(self) -> float | None:
        """Metered energy of a year over the area of all roofs with panels."""
        return None if self.energy is None else self.energy.ac_kwh / covered_area_m2(self.site)


def roof_case(
    study: Study,
    roof_name: str,
    asked: Covering | None = None,
    holding: Mapping[str, Any] | None = None,
) -> RoofCase:
    """Work a case out; what was worked out before is remembered by the study.

    The estimate reads nothing of wind and ballast, so a case that differs in these alone takes
    neither a search nor an estimate.

    Parameters
    ----------
    study : of the survey
    roof_name : a flat roof whose arrays are ballasted
    asked : how to cover it; as surveyed if None
    holding : changes of wind, roof strength and ballast by dotted key; ``array.*.tied`` and the
        like are for every array of the roof

    Raises
    ------
    InputError
        If there is no such flat, ballasted roof, fewer modules fit than asked for, or a change is
        not sound.

    Examples
    --------
    >>> from pvkit import load_site
    >>> study = Study(load_site("flat_roof_garage"))
    >>> pulled = roof_case(study, "garage", holding={"array.*.pressure_coefficient": -0.9})
    >>> pulled.count, roof_case(study, "garage").hold.blocks, pulled.hold.blocks
    (10, 60, 210)
    """
    roof_hold(study.site, roof_name)  # refuses a slope before any search
    site = study.site if asked is None else _covered(study, roof_name, asked)
    surveyed = surveyed_covering(study.site, roof_name)
    energy, refused = _estimated(Study(site, store=study.store))
    held = changed(site, _keys(site, roof_name, holding)) if holding else site
    most = most_that_fit(study, roof_name, asked or surveyed)
    return RoofCase(held, roof_name, most, roof_hold(held, roof_name), energy, refused)


def most_that_fit(study: Study, roof_name: str, asked: Covering) -> int:
    """Give how many modules fit on a roof covered as asked, however many that asks for.

    Raises
    ------
    InputError
        If not one fits.
    """
    key = (study.site, roof_name, replace(asked, count=None))
    return study.store.get("most", key, lambda: most_covered(study.site, roof_name, asked))


def _covered(study: Study, roof_name: str, asked: Covering) -> Site:
    key = (study.site, roof_name, asked)
    return study.store.get("covered", key, lambda: covered(study.site, roof_name, asked))


def _estimated(study: Study) -> tuple[Estimate | None, str]:
    try:
        return study.estimate(), ""
    except InputError as error:
        return None, str(error)


def _keys(site: Site, roof_name: str, holding: Mapping[str, Any]) -> dict[str, Any]:
    """Spell out the keys that are for every array of the roof."""
    names = [array.name for array in lying_on(site, roof_name)]
    found: dict[str, Any] = {}
    for key, value in holding.items():
        own = key.removeprefix(EVERY_ARRAY)
        found |= {key: value} if own == key else {f"array.{name}.{own}": value for name in names}
    return found
