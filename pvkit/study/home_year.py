"""One year of a home: what a page about the household needs, without the years after it."""

from dataclasses import dataclass

from pvkit.site.survey import Site
from pvkit.study.cautions import cautions
from pvkit.study.home_answers import HomeAnswers
from pvkit.study.stages import Stages, run_stages
from pvkit.study.study import Study


@dataclass(frozen=True, eq=False)
class HomeYear(HomeAnswers):
    """Where a year's energy goes and what it saves in year 1.

    The figures are those of :class:`pvkit.study.estimate.Estimate`; only the later years are not
    worked out, so that a slider is quick.

    Parameters
    ----------
    site : the survey, its span untouched
    stages : the same site with a span of one year
    """

    site: Site
    stages: Stages

    @property
    def ac_kwh(self) -> float:
        """Metered a.c. energy in a year, modules new [kWh]."""
        return float(self.stages.output.ac_kwh.sum())

    @property
    def first_year_saving_gbp(self) -> float:
        """Saving of year 1, before the yearly visit [GBP]."""
        return self.stages.cash.first_year_saving_gbp

    @property
    def cautions(self) -> tuple[str, ...]:
        """What must stand beside these figures wherever they are shown."""
        return cautions(self.stages)


def home_year(study: Study) -> HomeYear:
    """Work out a site's first year alone.

    Parameters
    ----------
    study : the site and what is remembered of it

    Raises
    ------
    InputError
        If the weather, a meter file or a price file cannot be used.

    Examples
    --------
    >>> from pvkit import load_site
    >>> study = Study(load_site("bungalow_extension"))
    >>> year, whole = home_year(study), study.estimate()
    >>> abs(year.first_year_saving_gbp - whole.first_year_saving_gbp) < 1e-9
    True
    """
    site = study.site
    span = site.finance.model_copy(update={"years": 1})
    first = site.model_copy(update={"finance": span, "loan": None})
    return HomeYear(site, run_stages(first, study.store))
