"""Tariffs to set beside the site's own, and what a year of the home costs by each."""

from collections.abc import Mapping
from typing import Any

import pandas as pd

from pvkit.home.tariff_bill import compare_tariffs, yearly_bill
from pvkit.site.survey import Site
from pvkit.site.tariff import Tariff
from pvkit.study.home_year import home_year
from pvkit.study.study import Study
from pvkit.tables import default, rows

AS_SURVEYED = "as surveyed"
OFFERS = ("flat", "two-rate", "banded")

_FILE = "tariff_offers.csv"
_REPLACED = ("import_bands", "import_file", "periods")


def offer_changes(site: Site, offer: str) -> dict[str, Any]:
    """Give the changes that put one of the invented offers in the place of a site's import prices.

    Parameters
    ----------
    site : the survey; export, gas and the standing charge stay as they are
    offer : flat, two-rate or banded; as surveyed changes nothing

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> offer_changes(load_site("ev_and_battery"), "flat")["tariff.import_gbp_per_kwh"]
    0.2611
    """
    if offer == AS_SURVEYED:
        return {}
    taken = {f"tariff.{key}": None for key in _REPLACED if getattr(site.tariff, key)}
    base, bands = _offer(offer, 1.0 if site.tariff.vat_included else 1.0 + site.tariff.vat_fraction)
    banded = {"tariff.import_bands": bands} if bands else {}
    return {**taken, "tariff.import_gbp_per_kwh": base, **banded}


def _offer(offer: str, over: float) -> tuple[float, list[dict[str, Any]]]:
    """Read an offer: its price outside the bands, and the bands, less VAT if need be."""
    if offer == "flat":
        return round(default("tariff.import_gbp_per_kwh") / over, 6), []
    found = [row for row in rows(_FILE) if row["offer"] == offer]
    prices = [round(float(row["gbp_per_kwh"]) / over, 6) for row in found]
    bands = [_band(row, gbp) for row, gbp in zip(found, prices, strict=True) if row["start"]]
    return prices[0], bands


def _band(row: Mapping[str, str], gbp: float) -> dict[str, Any]:
    narrowed = {key: row[key] for key in ("days",) if row[key]}
    months = {"months": row["months"].split()} if row["months"] else {}
    return {
        "name": row["name"], "start": row["start"], "end": row["end"], "gbp_per_kwh": gbp,
        **narrowed, **months,
    }  # fmt: skip


def offers_table(study: Study, more: Mapping[str, Mapping[str, Any]] | None = None) -> pd.DataFrame:
    """Set a year's electricity bills by the site's own tariff and by the offers side by side.

    Parameters
    ----------
    study : the site
    more : further tariffs by name, as changes of the site

    Returns
    -------
    A row for each tariff, the cheapest first: the columns of
    :func:`pvkit.home.tariff_bill.compare_tariffs` on the site's own half-hours, then
    ``bill_followed_gbp``, the bill once battery and car follow that tariff's hours, and
    ``bill_without_gbp``, the same home without the system by that tariff
    """
    asked = {AS_SURVEYED: {}, **{offer: offer_changes(study.site, offer) for offer in OFFERS}}
    cases = {
        name: study.change(changes) if changes else study
        for name, changes in {**asked, **(more or {})}.items()
    }
    year = home_year(study).stages.year
    tariffs = {name: case.site.tariff for name, case in cases.items()}
    table = compare_tariffs(year.import_kwh, year.export_kwh, tariffs)
    followed = {name: _followed(case, tariffs[name]) for name, case in cases.items()}
    for column, place in (("bill_followed_gbp", 0), ("bill_without_gbp", 1)):
        table[column] = [followed[name][place] for name in table.index]
    return table


def _followed(case: Study, tariff: Tariff) -> tuple[float, float]:
    """Give the bills with and without the system, its devices steered by this tariff."""
    year = home_year(case).stages.year
    with_system = yearly_bill(year.import_kwh, year.export_kwh, tariff).bill_gbp
    without = yearly_bill(year.without_kwh, 0.0 * year.without_kwh, tariff).bill_gbp
    return with_system, without
