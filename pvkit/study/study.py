"""A study: a site, its changes, and a memory of every stage already run."""

from collections.abc import Mapping, Sequence
from typing import Any

import pandas as pd

from pvkit.site.survey import Site
from pvkit.study.changes import changed
from pvkit.study.doubt import Ranges
from pvkit.study.estimate import Estimate
from pvkit.study.stages import run_stages
from pvkit.study.store import Store
from pvkit.study.sweep import USUAL, Watch, sweep


class Study:
    """Estimate a site again and again, re-running only what a change touches.

    Parameters
    ----------
    site : a checked survey

    Examples
    --------
    >>> from pvkit import Study, load_site
    >>> study = Study(load_site("south_family_home"))
    >>> dear = study.change({"tariff.import_gbp_per_kwh": 0.35})
    >>> dear.estimate().first_year_saving_gbp > study.estimate().first_year_saving_gbp
    True
    """

    def __init__(self, site: Site, *, store: Store | None = None) -> None:
        self.site = site
        self.store = Store() if store is None else store

    def change(self, changes: Mapping[str, Any]) -> "Study":
        """Give a study of the changed site that shares this one's memory.

        Parameters
        ----------
        changes : dotted key to value, as in ``{"array.main.count": 8, "home.day": "out"}``

        Raises
        ------
        InputError
            If a key leads nowhere or the changed site is not sound.
        """
        return Study(changed(self.site, changes), store=self.store)

    def estimate(self) -> Estimate:
        """Give the answer, running only the stages whose inputs are new."""
        return Estimate(run_stages(self.site, self.store))

    def ranges(self) -> Ranges:
        """Say how sure the answer is: thousands of drawn cases of sun, prices and habits."""
        return self.estimate().ranges

    def sweep(
        self,
        fields: Mapping[str, Sequence[Any]],
        measures: Sequence[str] = USUAL,
        watch: Watch | None = None,
    ) -> pd.DataFrame:
        """Estimate every combination of one or two fields' values; see :mod:`pvkit.study.sweep`.

        Examples
        --------
        >>> from pvkit import load_site
        >>> study = Study(load_site("south_family_home"))
        >>> table = study.sweep({"finance.discount_rate": [0.0, 0.1]}, ["npv_gbp"])
        >>> table["npv_gbp"].is_monotonic_decreasing
        True
        """
        return sweep(lambda changes: self.change(changes).estimate(), fields, measures, watch)


def estimate(site: Site) -> Estimate:
    """Give the answer for one site.

    Parameters
    ----------
    site : a checked survey, from :func:`pvkit.load_site`

    Raises
    ------
    InputError
        If the weather cannot be used, or the strings do not suit the inverter.
    """
    return Study(site).estimate()
