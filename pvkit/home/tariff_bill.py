"""A year's electricity bill by one tariff or several, and what a reader should know of a tariff."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pvkit.home.tariff import export_prices, import_prices, standing_gbp
from pvkit.site.tariff import Tariff
from pvkit.tables import rows

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Bill:
    """A year's electricity bill [GBP], VAT included.

    Parameters
    ----------
    import_gbp : every half-hour's import at its own price
    standing_gbp : the standing charge
    export_gbp : every half-hour's export at its own price, an income
    """

    import_gbp: float
    standing_gbp: float
    export_gbp: float

    @property
    def bill_gbp(self) -> float:
        """What is left to pay in the year; below zero if more is earned."""
        return self.import_gbp + self.standing_gbp - self.export_gbp


def yearly_bill(import_kwh: Array, export_kwh: Array, tariff: Tariff) -> Bill:
    """Add up a year's half-hours, each at its own price.

    Parameters
    ----------
    import_kwh, export_kwh : (n,) from and to the grid in each half-hour [kWh]
    tariff : today's prices

    Raises
    ------
    ValueError
        If the arrays are not of a year's half-hours.

    Examples
    --------
    >>> even = np.full(17520, 3000.0 / 17520)
    >>> bill = yearly_bill(even, 0.0 * even, Tariff(import_gbp_per_kwh=0.25))
    >>> round(bill.import_gbp, 2), round(bill.standing_gbp, 2)
    (750.0, 208.74)
    """
    bought_at, sold_at = import_prices(tariff), export_prices(tariff)
    if import_kwh.shape != bought_at.shape or export_kwh.shape != bought_at.shape:
        message = f"a year has {len(bought_at)} half-hours, found {import_kwh.shape} of import "
        message += f"and {export_kwh.shape} of export"
        raise ValueError(message)
    return Bill(
        import_gbp=float(np.einsum("i,i", import_kwh, bought_at)),
        standing_gbp=standing_gbp(tariff),
        export_gbp=float(np.einsum("i,i", export_kwh, sold_at)),
    )


def compare_tariffs(
    import_kwh: Array, export_kwh: Array, tariffs: Mapping[str, Tariff]
) -> pd.DataFrame:
    """Set the yearly bills of several tariffs on the same half-hours side by side.

    The half-hours stay as they are: a battery or car that would follow another tariff's cheap
    hours needs its flows worked out anew with that tariff.

    Parameters
    ----------
    import_kwh, export_kwh : (n,) from and to the grid in each half-hour [kWh]
    tariffs : tariffs by name

    Returns
    -------
    A row for each tariff, the cheapest first: import_gbp, standing_gbp, export_gbp, bill_gbp and
    mean_import_gbp_per_kwh, which half-hours are bought at on average (missing without import)

    Examples
    --------
    >>> even = np.full(17520, 3000.0 / 17520)
    >>> offers = {"flat": Tariff(import_gbp_per_kwh=0.25), "dear": Tariff(import_gbp_per_kwh=0.3)}
    >>> compare_tariffs(even, 0.0 * even, offers)["import_gbp"].round(2).to_dict()
    {'flat': 750.0, 'dear': 900.0}
    """
    bought = float(import_kwh.sum())
    table = {}
    for name, tariff in tariffs.items():
        bill = yearly_bill(import_kwh, export_kwh, tariff)
        table[name] = {
            "import_gbp": bill.import_gbp,
            "standing_gbp": bill.standing_gbp,
            "export_gbp": bill.export_gbp,
            "bill_gbp": bill.bill_gbp,
            "mean_import_gbp_per_kwh": bill.import_gbp / bought if bought > 0.0 else np.nan,
        }
    found = pd.DataFrame.from_dict(table, orient="index").rename_axis("tariff")
    return found.sort_values("bill_gbp", kind="stable")


def tariff_notes(tariff: Tariff, today: date) -> tuple[str, ...]:
    """Say what a reader should know about a tariff.

    Parameters
    ----------
    tariff : prices and the dates they hold
    today : the date of the estimate

    Examples
    --------
    >>> old = Tariff(import_gbp_per_kwh=0.25, valid_to=date(2026, 3, 31))
    >>> print(tariff_notes(old, date(2026, 4, 1))[0])
    The prices held until 2026-03-31 and are out of date: ask for today's.
    """
    return tuple(_notes(tariff, today))


def _notes(tariff: Tariff, today: date) -> Iterator[str]:
    last = max((period.valid_to for period in tariff.periods), default=tariff.valid_to)
    if last is not None and last < today:
        yield f"The prices held until {last} and are out of date: ask for today's."
    elif last is None and _is_price_cap(tariff) and (cap := price_cap_end()) < today:
        yield (
            f"No import price was given: that of the price cap until {cap} is taken, which has "
            "ended. Ask for the customer's own."
        )
    first = min((period.valid_from for period in tariff.periods), default=tariff.valid_from)
    if first is not None and first > today:
        yield f"The prices hold from {first} on only."
    if not tariff.vat_included:
        yield (
            f"VAT of {tariff.vat_fraction:.0%} is added to the import, standing and gas prices "
            "of the site file; export is paid without it."
        )
    if tariff.import_file is not None or tariff.export_file is not None:
        from pvkit.home.tariff_file import price_file_notes

        yield from price_file_notes(tariff)


def _is_price_cap(tariff: Tariff) -> bool:
    """Whether the import price is the one from the tables."""
    own = {"import_gbp_per_kwh", "import_bands", "import_file"} & tariff.model_fields_set
    return not own


def price_cap_end() -> date:
    """Give the last day of the price cap that the default prices are from.

    Examples
    --------
    >>> price_cap_end()
    datetime.date(2026, 9, 30)
    """
    return date.fromisoformat(rows("ofgem_price_cap.csv")[-1]["period_end"])
