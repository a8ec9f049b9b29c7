"""What the money of a site hangs on, in one piece."""

from dataclasses import dataclass, field

from pvkit.site.money import Costs, Finance, Loan, Prices
from pvkit.site.storage import Battery
from pvkit.site.survey import Site
from pvkit.site.tariff import Tariff


@dataclass(frozen=True, slots=True)
class Deal:
    """Tariff, quotation, terms and size of a system.

    Parameters
    ----------
    tariff : prices today and their yearly changes
    costs : quotation, visits, replacements
    finance : span, discount rate, ageing, what is left at the end
    kwp : rated d.c. power [kWp]
    prices : how prices move over the years
    loan : a loan beside the purchase in cash, or None
    battery : what may have to be bought again, or None
    """

    tariff: Tariff
    costs: Costs
    finance: Finance
    kwp: float
    prices: Prices = field(default_factory=Prices)
    loan: Loan | None = None
    battery: Battery | None = None


def deal(site: Site) -> Deal:
    """Take from a site what its money hangs on.

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> deal(load_site("bungalow_extension")).kwp
    2.58
    """
    money = (site.tariff, site.costs, site.finance)
    return Deal(*money, site.kwp(), site.prices, site.loan, site.battery)
