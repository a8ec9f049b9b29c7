"""What a reader should know before trusting the money and the carbon of the years ahead."""

from collections.abc import Iterator

from pvkit.home.flows import Years
from pvkit.ledger.carbon import CarbonTable, carbon_table
from pvkit.ledger.deal import Deal
from pvkit.ledger.outlay import outlay
from pvkit.site.carbon import Carbon
from pvkit.tables import constant, numbers


def money_notes(deal: Deal) -> Iterator[str]:
    """Say what tax is in the price, and when that may change.

    Examples
    --------
    >>> from pvkit.site.money import CostItem, Costs, Finance
    >>> from pvkit.site.tariff import Tariff
    >>> quote = Costs(items=(CostItem(name="all", gbp=4000.0),))
    >>> print(next(money_notes(Deal(Tariff(), quote, Finance(), 2.5)))[:58])
    Value-added tax on the installation is taken as 0 %, which
    """
    costs = deal.costs
    if costs.items is None or costs.vat_fraction > 0:
        return
    later = constant("vat.after_relief_fraction")
    more = later * outlay(costs, deal.kwp, deal.battery)
    yield (
        "Value-added tax on the installation is taken as 0 %, which ends on "
        f"{numbers('limits.toml')['vat.relief_ends'].value} unless the law changes; at "
        f"{100 * later:g} % the price would be £{more:,.0f} more."
    )


def flat_grid_note(years: Years, table: CarbonTable, carbon: Carbon, deal: Deal) -> Iterator[str]:
    """Say how far today's grid factor, held for ever, would overstate the carbon avoided."""
    if table.path != "falling":
        return
    flat = carbon_table(years, carbon, deal.finance, deal.kwp, "flat")
    avoided, held = (float(each.total_kg.sum()) for each in (table, flat))
    if held > avoided > 0.0:
        yield (
            f"With today's grid held for all {deal.finance.years} years, the carbon avoided before "
            f"the making would read {held:,.0f} kg in place of {avoided:,.0f} kg; such a figure "
            "overstates."
        )
