"""A tariff in words: what a kWh is bought and sold for, and when."""

from pathlib import Path

from pvkit.present.rounding import pence
from pvkit.site.tariff import Band, Tariff

_DAYS = {"weekday": " on weekdays", "weekend": " at weekends", None: ""}


def price_words(tariff: Tariff, *, gas: bool) -> str:
    """Say today's prices.

    Parameters
    ----------
    tariff : prices as surveyed
    gas : whether gas is burnt for hot water

    Examples
    --------
    >>> price_words(Tariff(import_gbp_per_kwh=0.26, export_gbp_per_kwh=0.0), gas=False)
    'bought 26.0 p/kWh; sold for nothing'
    """
    text = f"bought {_bought(tariff)}; sold {_sold(tariff)}"
    text += f"; gas {pence(tariff.gas_gbp_per_kwh)}" if gas else ""
    if tariff.periods:
        names = ", ".join(
            f"{one.name} ({one.valid_from} to {one.valid_to})" for one in tariff.periods
        )
        text += f"; prices differ by date: {names}"
    if not tariff.vat_included:
        text += f"; VAT of {tariff.vat_fraction:.0%} is added to what is bought"
    return text


def _bought(tariff: Tariff) -> str:
    if tariff.import_file is not None:
        return f"at the half-hourly prices of {Path(tariff.import_file).name}"
    return pence(tariff.import_gbp_per_kwh) + "".join(map(_band, tariff.import_bands))


def _sold(tariff: Tariff) -> str:
    if tariff.export_file is not None:
        return f"at the half-hourly prices of {Path(tariff.export_file).name}"
    flat = pence(tariff.export_gbp_per_kwh) if tariff.export_gbp_per_kwh > 0 else "for nothing"
    return flat + "".join(map(_band, tariff.export_bands))


def _band(band: Band) -> str:
    months = f" in {', '.join(m.title() for m in band.months)}" if band.months else ""
    clock = f"from {band.start} to {band.end}"
    return f", {band.name} {pence(band.gbp_per_kwh)} {clock}{_DAYS[band.days]}{months}"
