"""Controls of the household and its prices that several workbooks share."""

from collections.abc import Iterator

from pvkit.home.tariff import Side, export_prices, import_prices
from pvkit.present.control import Control
from pvkit.site.survey import Site
from pvkit.site.tariff import Tariff

DAYS = {"out": "out all day", "half": "half the day at home", "in": "home all day"}


def price_counts(tariff: Tariff, side: Side) -> bool:
    """Whether any half-hour has the tariff's own price, and not a band's, period's or file's.

    Examples
    --------
    >>> price_counts(Tariff(), "import")
    True
    >>> price_counts(Tariff(import_file="prices.csv"), "import")
    False
    """
    if getattr(tariff, f"{side}_file") is not None:
        return False
    key, prices = f"{side}_gbp_per_kwh", {"import": import_prices, "export": export_prices}[side]
    low, high = (tariff.model_copy(update={key: gbp}) for gbp in (0.0, 1.0))
    return bool((prices(low) != prices(high)).any())


def yearly_use(site: Site) -> Iterator[Control]:
    """Give the control of the yearly use; a metered home has none."""
    if site.home.meter_file is None:
        yield Control(
            "home.yearly_kwh", "Yearly use (kWh)", "The household", site.home.yearly_kwh,
            500.0, max(10000.0, site.home.yearly_kwh), 100.0,
            why_more="a larger use meets more of the solar as it is made",
            why_less="a smaller use leaves more of the solar to sell",
        )  # fmt: skip


def day_spent(site: Site) -> Control:
    """Give the control of how the day is spent."""
    return Control(
        "home.day", "Day spent", "The household", site.home.day, choices=tuple(DAYS.items()),
        why_more="what is used while the sun shines need not be bought",
        why_less="what is used while the sun shines need not be bought",
    )  # fmt: skip


def import_price(tariff: Tariff) -> Control:
    """Give the control of the import price: of the hours that no band covers."""
    label = "Day price (p/kWh)" if tariff.import_bands else "Import price (p/kWh)"
    return Control(
        "tariff.import_gbp_per_kwh", label, "The years ahead",
        round(tariff.import_gbp_per_kwh * 100, 6), 5.0, 60.0, 0.5, scale=0.01,
        why_more="each kWh that need not be bought is worth more",
        why_less="each kWh that need not be bought is worth less",
    )  # fmt: skip


def export_price(tariff: Tariff) -> Control:
    """Give the control of the export price: of the hours that no band covers."""
    return Control(
        "tariff.export_gbp_per_kwh", "Export price (p/kWh)", "The years ahead",
        round(tariff.export_gbp_per_kwh * 100, 6), 0.0, 30.0, 0.5, scale=0.01,
        why_more="each kWh sold brings more", why_less="each kWh sold brings less",
    )  # fmt: skip
