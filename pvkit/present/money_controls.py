"""The controls of the money workbook: prices, how it is paid, the years ahead, grid and doubts."""

from collections.abc import Iterator, Mapping
from typing import Any

from pvkit.present.controls import Control
from pvkit.site.survey import Site
from pvkit.study.doubt_sizes import WORDS, Name, doubts

PRICES, PAYING, YEARS, GRID = "Prices", "Paying for it", "The years ahead", "The grid's carbon"
LOAN = "loan"
# What the loan's controls stand at where a site has no loan.
_NO_LOAN = {"deposit_gbp": 0.0, "apr": 0.079, "years": 5}
_GRID = {
    "falling": "gets cleaner",
    "monthly": "the procedure's months",
    "file": "the series of the file",
}


def money_controls(site: Site) -> dict[str, tuple[Control, ...]]:
    """List what the money workbook lets one move, by heading.

    Parameters
    ----------
    site : the survey; each control starts at its surveyed value
    """
    return {
        PRICES: tuple(_prices(site)),
        PAYING: tuple(_paying(site)),
        YEARS: tuple(_years(site)),
        GRID: tuple(_grid(site)),
    }


def money_changes(values: Mapping[Control, Any], site: Site) -> dict[str, Any]:
    """Give the named changes of a site that these controls ask for.

    Parameters
    ----------
    values : where each control stands
    site : the survey

    Returns
    -------
    dotted key to new value, of the moved controls only; a loan comes and goes as a whole
    """
    plain = {c: v for c, v in values.items() if c.key.partition(".")[0] != LOAN}
    found = {c.key: c.site_value(v) for c, v in plain.items() if c.moved(v)}
    stands = {c.key: c.site_value(v) for c, v in values.items() if c.key.startswith(f"{LOAN}.")}
    wanted = any(c.key == LOAN and value for c, value in values.items())
    asked = {key.partition(".")[2]: value for key, value in stands.items()} if wanted else None
    given = None if site.loan is None else site.loan.model_dump()
    if asked != given:
        found[LOAN] = asked
    return found


def doubt_key(name: Name) -> str:
    """Give the dotted key of a doubt's size.

    Examples
    --------
    >>> doubt_key("sun"), doubt_key("price_drift")
    ('doubt.sun_fraction', 'doubt.price_drift_per_year')
    """
    return "doubt.price_drift_per_year" if name == "price_drift" else f"doubt.{name}_fraction"


def doubt_changes(counted: Mapping[Name, bool], site: Site) -> dict[str, Any]:
    """Give the named changes that leave doubts out, or count again what the survey left out."""
    before = counted_doubts(site)
    changed = {name: on for name, on in counted.items() if on != before[name]}
    return {doubt_key(name): None if on else 0.0 for name, on in changed.items()}


def counted_doubts(site: Site) -> dict[Name, bool]:
    """Say of each doubt whether the survey counts it; what cannot matter here is left out."""
    gone = set() if site.hot_water is not None else {"gas_price"}
    sizes = doubts(site)
    return {name: sizes[name].spread > 0 for name in WORDS if name not in gone}


def _prices(site: Site) -> Iterator[Control]:
    tariff = site.tariff
    day = "Day price" if tariff.import_bands else "Import price"
    names = [("import", day, 5.0, 60.0), ("export", "Export price", 0.0, 30.0)]
    if site.hot_water is not None:
        names.append(("gas", "Gas price", 0.0, 20.0))
    for key, label, low, high in names:
        pence = round(getattr(tariff, f"{key}_gbp_per_kwh") * 100, 6)
        yield Control(
            f"tariff.{key}_gbp_per_kwh", f"{label} (p/kWh)", "The years ahead", pence,
            min(low, pence), max(high, pence), 0.5, scale=0.01,
            why_more="each kWh is worth more", why_less="each kWh is worth less",
        )  # fmt: skip
    for key, label, _, _ in names:
        change = round(getattr(tariff, f"{key}_change_per_year") * 100, 6)
        yield Control(
            f"tariff.{key}_change_per_year", f"{label.split()[0]} moves (%/year)",
            "The years ahead", change, -10.0, 10.0, 0.5, scale=0.01,
            why_more="later years are worth more", why_less="later years are worth less",
        )  # fmt: skip


def _paying(site: Site) -> Iterator[Control]:
    loan = site.loan.model_dump() if site.loan is not None else _NO_LOAN
    yield Control(
        LOAN, "With a loan", "The years ahead", site.loan is not None,
        why_more="the price is paid month by month, with interest",
        why_less="the price is paid on the first day",
    )  # fmt: skip
    yield Control(
        f"{LOAN}.deposit_gbp", "Deposit (£)", "The years ahead", loan["deposit_gbp"], 0.0,
        max(10000.0, loan["deposit_gbp"]), 100.0, why_more="less is lent",
        why_less="more is lent",
    )  # fmt: skip
    yield Control(
        f"{LOAN}.apr", "Loan rate, APR (%/year)", "The years ahead", round(loan["apr"] * 100, 6),
        0.0, 20.0, 0.1, scale=0.01, why_more="lending costs more", why_less="lending costs less",
    )  # fmt: skip
    yield Control(
        f"{LOAN}.years", "Loan over (years)", "The years ahead", loan["years"], 1, 25, 1,
        why_more="each payment is smaller, and interest runs longer",
        why_less="each payment is larger, and interest runs shorter",
    )  # fmt: skip


def _years(site: Site) -> Iterator[Control]:
    finance = site.finance
    rows = (
        ("discount_rate", "Discount rate (%/year)", 0.0, 10.0, "later savings count for less",
         "later savings count for more"),
        ("degradation_per_year", "Ageing (%/year)", 0.0, 2.0, "the panels lose more each year",
         "the panels lose less each year"),
        ("inflation_per_year", "Inflation (%/year)", 0.0, 8.0,
         "pounds of later years are more and buy less", "pounds of later years are fewer"),
    )  # fmt: skip
    for key, label, low, high, more, less in rows:
        yield Control(
            f"finance.{key}", label, "The years ahead", round(getattr(finance, key) * 100, 6),
            low, high, 0.1 if high < 5 else 0.5, scale=0.01, why_more=more, why_less=less,
        )  # fmt: skip


def _grid(site: Site) -> Iterator[Control]:
    carbon = site.carbon
    known = [name for name in _GRID if name != "file" or carbon.grid_file is not None]
    yield Control(
        "carbon.grid_path", "The grid", "The years ahead", carbon.grid_path,
        choices=tuple((name, _GRID[name]) for name in known),
        why_more="what a kWh weighs in later years is other",
    )  # fmt: skip
    yield Control(
        "carbon.grid_fall_per_year", "Falls by (%/year)", "The years ahead",
        round(carbon.grid_fall_per_year * 100, 6), 0.0, 20.0, 0.5, scale=0.01,
        why_more="a cleaner grid leaves less to avoid",
        why_less="a dirtier grid leaves more to avoid",
    )  # fmt: skip
