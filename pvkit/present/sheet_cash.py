"""The cash table as a spreadsheet's formulas: every column says how it comes about."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.ledger.bills import Priced
from pvkit.ledger.deal import Deal
from pvkit.present.sheet_cells import COUNT, ENERGY, MONEY, PRICE, SHARE, Sheet, put_formula

Array = NDArray[np.float64]

FIRST_ROW = 2
# Sums of half-hours carry noise below this.
NOISE_KWH = 1e-6

# Formula or value of a column in one year; {r} is the row, {p} the row before.
Fill = Callable[[int], str | float]


@dataclass(frozen=True, slots=True)
class ColumnSpec:
    """One column: its head, number format, and what stands in year 0 and in the others."""

    key: str
    head: str
    form: str
    first: str | float
    later: Fill


def cash_sheet(sheet: Sheet, deal: Deal, today: Priced, beyond_kwh: Array) -> dict[str, str]:
    """Fill the cash sheet.

    Parameters
    ----------
    sheet : an empty sheet; the inputs have their names already
    deal : how prices move, ageing, and whether there is a loan
    today : each year's flows at today's prices
    beyond_kwh : (years,) energy of each year, as far as it is more than ageing explains: what a
        battery on the d.c. side took beyond the inverter's limit [kWh]

    Returns
    -------
    the letter of each column, by its key
    """
    from openpyxl.utils import get_column_letter

    specs = _columns(deal, today, beyond_kwh) + (_loan_columns() if deal.loan is not None else [])
    letters = {spec.key: get_column_letter(n) for n, spec in enumerate(specs, start=1)}
    sheet.head(tuple(spec.head for spec in specs), lines=4)
    for year in range(deal.finance.years + 1):
        row = FIRST_ROW + year
        for column, spec in enumerate(specs, start=1):
            content = spec.first if year == 0 else spec.later(year)
            cell = sheet.sheet.cell(row, column)
            if isinstance(content, str):
                put_formula(cell, _placed(content, letters, row))
            else:
                cell.value = float(content)
            cell.number_format = spec.form
    sheet.row = FIRST_ROW + deal.finance.years + 2
    sheet.widths(6, *([12.0] * (len(specs) - 1)))
    sheet.sheet.freeze_panes = "B2"
    return letters


def _placed(formula: str, letters: dict[str, str], row: int) -> str:
    """Turn {key} into the column's cell of this row and {key<} into that of the row before."""
    for key, letter in letters.items():
        formula = formula.replace("{" + key + "<}", f"{letter}{row - 1}")
        formula = formula.replace("{" + key + "}", f"{letter}{row}")
    return formula


def _always(content: str) -> Fill:
    return lambda _: content


def _columns(deal: Deal, today: Priced, beyond_kwh: Array) -> list[ColumnSpec]:
    span = deal.finance.years
    bought = today.bought_without_gbp - today.bought_gbp
    left = "residual_share*price" if deal.finance.residual != "none" else "0"
    return [
        ColumnSpec("year", "Year", COUNT, 0.0, float),
        ColumnSpec("kept", "Share of new output", PRICE, 0.0, _kept(deal)),
        ColumnSpec("made", "Made, kWh", ENERGY, 0.0, _made(beyond_kwh)),
        ColumnSpec("avoided", "Electricity not bought, at today's prices", MONEY, 0.0,
                   lambda year: float(bought[year - 1])),
        ColumnSpec("sold", "Electricity sold, at today's prices", MONEY, 0.0,
                   lambda year: float(today.sold_gbp[year - 1])),
        ColumnSpec("gas", "Gas not burnt, at today's prices", MONEY, 0.0,
                   lambda year: float(today.gas_saved_gbp[year - 1])),
        ColumnSpec("import_path", "Import price over today's", PRICE, 1.0,
                   _path(deal, "import", deal.prices.import_index_by_year)),
        ColumnSpec("export_path", "Export price over today's", PRICE, 1.0,
                   _path(deal, "export", deal.prices.export_index_by_year)),
        ColumnSpec("gas_path", "Gas price over today's", PRICE, 1.0,
                   _path(deal, "gas", deal.prices.gas_index_by_year)),
        ColumnSpec("saving", "Saving", MONEY, 0.0, _always(
            "{avoided}*{import_path}+{sold}*{export_path}+{gas}*{gas_path}")),
        ColumnSpec("upkeep", "Visits, cleaning, insurance", MONEY, 0.0, _always(
            "visit+insurance+IF(MOD({year},cleaning_every)=0,cleaning,0)")),
        ColumnSpec("replaced", "Bought again", MONEY, 0.0, _always(
            "SUMIF(replaced_years,{year},replaced_gbp)")),
        ColumnSpec("left", "Worth left", MONEY, 0.0,
                   lambda year: left if year == span else 0.0),
        ColumnSpec("net", "Left over", MONEY, "-price",
                   _always("{saving}-{upkeep}-{replaced}+{left}")),
        ColumnSpec("in_hand", "In hand", MONEY, "{net}", _always("{in_hand<}+{net}")),
        ColumnSpec("weight", "Weight of a later pound", PRICE, 1.0,
                   _always("1/(1+discount_rate)^MIN({year},30)"
                           "/(1+later_rate)^MAX(0,{year}-30)")),
        ColumnSpec("discounted", "In hand, later pounds counting less", MONEY, "{net}*{weight}",
                   _always("{discounted<}+{net}*{weight}")),
        ColumnSpec("level", "Price level", PRICE, 1.0, _always("(1+inflation)^{year}")),
        ColumnSpec("nominal", "Left over, pounds of the year", MONEY, "{net}*{level}",
                   _always("{net}*{level}")),
    ]  # fmt: skip


def _loan_columns() -> list[ColumnSpec]:
    return [
        ColumnSpec("paid", "Loan: paid, pounds of the year", MONEY, "loan_deposit",
                   _always("IF({year}<=loan_years,12*loan_monthly,0)")),
        ColumnSpec("paid_today", "Loan: paid, today's pounds", MONEY, "{paid}",
                   _always("{paid}/{level}")),
        ColumnSpec("loan_net", "Loan: left over", MONEY, "-{paid_today}",
                   _always("{net}-{paid_today}")),
        ColumnSpec("loan_in_hand", "Loan: in hand", MONEY, "{loan_net}",
                   _always("{loan_in_hand<}+{loan_net}")),
    ]  # fmt: skip


def _made(beyond_kwh: Array) -> Fill:
    """Give the energy made: the new system's times what ageing left, and what lies beyond that."""

    def fill(year: int) -> str:
        beyond = float(beyond_kwh[year - 1])
        return "new_kwh*{kept}" + (f"+{beyond!r}" if abs(beyond) > NOISE_KWH else "")

    return fill


def _kept(deal: Deal) -> Fill:
    """Ageing: by the two rates, or by the list as far as it goes and the yearly rate after it."""
    given = deal.finance.output_by_year
    if given is None:
        return lambda year: f"(1-first_year_loss)*(1-yearly_loss)^({year}-1)"
    return lambda year: float(given[year - 1]) if year <= len(given) else "{kept<}*(1-yearly_loss)"


def _path(deal: Deal, name: str, by_year: tuple[float, ...] | None) -> Fill:
    """Price path: by the yearly change or by the list; nominal ones brought back to today."""
    back = "/(1+inflation)^{year}" if deal.prices.terms == "nominal" else ""
    if by_year is None:
        return _always(f"(1+{name}_change)^({{year}}-1){back}")
    return lambda year: f"{by_year[min(year, len(by_year)) - 1]!r}{back}"


def answers(letters: dict[str, str], span: int, *, rate: bool) -> list[tuple[str, str, str, str]]:
    """List the answers as formulas over the cash sheet: label, formula, format, note.

    Parameters
    ----------
    letters : of the cash sheet's columns
    span : years counted
    rate : the flows have one rate of return; a spreadsheet would make one up where there are more
    """
    last = FIRST_ROW + span

    def column(key: str, *, whole: bool = True) -> str:
        first = FIRST_ROW if whole else FIRST_ROW + 1
        return f"Cash!${letters[key]}${first}:${letters[key]}${last}"

    costs = f"SUMPRODUCT(({column('upkeep')}+{column('replaced')}-{column('left')})"
    costs += f"*{column('weight')})"
    energy = f"SUMPRODUCT({column('made')}*{column('weight')})"
    found = [
        ("Saving of the first year", f"Cash!{letters['saving']}{FIRST_ROW + 1}", MONEY, ""),
        ("Net present value", f"Cash!{letters['discounted']}{last}", MONEY,
         "all years' left over, each times its weight"),
        ("Paid for itself after, years", _payback(column("in_hand"), span), "0.00", ""),
        ("The same, later pounds counting less", _payback(column("discounted"), span), "0.00", ""),
        ("Cost of each kWh made", f'IF({energy}>0,(price+{costs})/{energy},"none")',
         '£0.0000', "price and costs over energy, both weighted"),
        ("Rate of return", f"IRR({column('net')},0.05)" if rate else '"none"', SHARE, "real"),
    ]  # fmt: skip
    if "loan_net" in letters:
        worth = f"SUMPRODUCT({column('loan_net')}*{column('weight')})"
        found.append(("Net present value with the loan", worth, MONEY, ""))
    return found


def _payback(running: str, span: int) -> str:
    """Give the formula of when a running total is back above zero for good."""
    last = f"(SUMPRODUCT(MAX(({running}<0)*(ROW({running})-{FIRST_ROW}+1)))-1)"
    before, after = f"INDEX({running},{last}+1)", f"INDEX({running},{last}+2)"
    return (
        f'IF({last}<0,0,IF({last}={span},"not within {span} years",'
        f"{last}-{before}/({after}-{before})))"
    )
