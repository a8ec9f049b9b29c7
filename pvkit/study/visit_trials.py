"""How good a visit's verdict is on a site: tried on invented years whose truth is known."""

from collections.abc import Sequence

import numpy as np
import pandas as pd

from pvkit.site.survey import Site
from pvkit.study.drawn_visits import drawn_year
from pvkit.study.store import Store
from pvkit.study.visit import judge
from pvkit.study.visit_site import SiteYear, site_year
from pvkit.study.visit_verdict import AS_EXPECTED, HIGH, LITTLE_LOW, LOW, UNSURE
from pvkit.tables import constant

MISSING = (0.0, 0.1, 0.3)
LIGHT = {"given": True, "not known": False}
LEVELS = (AS_EXPECTED, LITTLE_LOW, LOW, HIGH, UNSURE)


def visit_trials(
    site: Site, missing: Sequence[float] = MISSING, trials: int | None = None, seed: int = 2026
) -> pd.DataFrame:
    """Try the verdict of a yearly visit on invented years.

    Parameters
    ----------
    site : a checked survey
    missing : shares of the year's energy lost to a fault
    trials : years drawn for each case
    seed : which draws; the same again for the same seed

    Returns
    -------
    how often each verdict fell [%], one row for each share missing, light given and not known

    Examples
    --------
    >>> from pvkit import load_site
    >>> table = visit_trials(load_site("south_family_home"), missing=(0.5,), trials=20)
    >>> table.loc[("50 %", "given"), "low"]
    np.float64(100.0)
    """
    year = site_year(site, Store())
    count = int(constant("visit.drawn_trials")) if trials is None else trials
    found = {
        (f"{share * 100:.0f} %", words): trial_levels(site, year, share, light, (count, seed))
        for share in missing
        for words, light in LIGHT.items()
    }
    shares = [
        {level: 100.0 * levels.count(level) / count for level in LEVELS}
        for levels in found.values()
    ]
    index = pd.MultiIndex.from_tuples(found, names=["missing", "light"])
    return pd.DataFrame(shares, index=index)


def trial_levels(
    site: Site, year: SiteYear, missing: float, light: bool, draws: tuple[int, int]
) -> list[str]:
    """Judge many invented years that lack the same share.

    Parameters
    ----------
    site, year : the survey and its year
    missing : share lost
    light : whether the light of each month is told
    draws : how many, and the seed
    """
    count, seed = draws
    rng = np.random.default_rng(seed)
    drawn = (drawn_year(year, missing, rng) for _ in range(count))
    return [judge(site, year, each.readings(light=light)).level for each in drawn]
