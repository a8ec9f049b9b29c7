"""What one key of the money tables alone cannot show: years past the span, sums below zero."""

from collections.abc import Iterator

from pvkit.errors import Fault
from pvkit.site.faults import nearest
from pvkit.site.survey import Site
from pvkit.site.wording import labels, shown


def replacement_faults(site: Site) -> Iterator[Fault]:
    """Refuse what is bought again after the years counted."""
    items = site.costs.replacements or ()
    names = labels([getattr(item, "name", None) for item in items])
    for name, item in zip(names, items, strict=True):
        if item.year > site.finance.years:
            yield Fault(
                f"costs.replacements.{name}.year",
                f"found {item.year}",
                f"1 to {site.finance.years}, the years counted",
                "change the year or finance.years",
            )


def price_faults(site: Site) -> Iterator[Fault]:
    """Refuse a price below nothing: before tax, after the discount, after the grant."""
    costs = site.costs
    if costs.items is None:
        if costs.discount_gbp > 0:
            yield _without_items("costs.discount_gbp", costs.discount_gbp)
        return
    total = sum(item.gbp for item in costs.items)
    if total < 0:
        yield Fault(
            "costs.items",
            f"found a total of {total:.2f} GBP",
            "a total of 0 GBP or more",
            "a discount cannot be larger than the price",
        )
        return
    yield from _taken_off("costs.discount_gbp", costs.discount_gbp, total)
    left = max(total - costs.discount_gbp, 0.0) * (1 + costs.vat_fraction)
    yield from _taken_off("costs.grant_gbp", costs.grant_gbp, left)


def _without_items(key: str, gbp: float) -> Fault:
    return Fault(
        key,
        f"found {gbp:.2f} GBP without a quotation",
        "0 GBP where costs.items is left out",
        "list the items of the quotation that it comes off",
    )


def _taken_off(key: str, gbp: float, price: float) -> Iterator[Fault]:
    if gbp > price:
        yield Fault(
            key,
            f"found {gbp:.2f} GBP off a price of {price:.2f} GBP",
            f"0 to {price:.2f} GBP",
            "give no more than the price it comes off",
        )


def loan_faults(site: Site) -> Iterator[Fault]:
    """Refuse a loan that outlasts the years counted, or a deposit above the price."""
    loan, span = site.loan, site.finance.years
    if loan is None:
        return
    if loan.years > span:
        yield Fault(
            "loan.years",
            f"found {loan.years}",
            f"1 to {span}, the years counted",
            "change the years of the loan or finance.years",
        )
    if site.costs.items is None:
        return
    price = sum(item.gbp for item in site.costs.items) - site.costs.discount_gbp
    price = price * (1 + site.costs.vat_fraction) - site.costs.grant_gbp
    yield from _taken_off("loan.deposit_gbp", loan.deposit_gbp, max(price, 0.0))


def carbon_faults(site: Site) -> Iterator[Fault]:
    """Ask for the series where the grid's path is to come from a file."""
    if site.carbon.grid_path == "file" and site.carbon.grid_file is None:
        yield Fault(
            "carbon.grid_file",
            "this key is missing, and grid_path is 'file'",
            "the name of a CSV file with columns year and kgco2e_per_kwh",
            "give grid_file, or another grid_path",
        )


def standard_faults(site: Site) -> Iterator[Fault]:
    """Refuse figures of the scheme's tables for an array that is not there, or twice for one."""
    known, seen = [array.name for array in site.array], set()
    for number, plane in enumerate(site.standard.planes, start=1):
        where = f"standard.planes.{number}.array"
        if plane.array not in known:
            fix = nearest(plane.array, known)
            yield Fault(where, f"found {shown(plane.array)}", ", ".join(known), fix)
        elif plane.array in seen:
            found = f"found {shown(plane.array)} again"
            yield Fault(where, found, "each array once", "keep one of the two")
        seen.add(plane.array)
