"""The money as a spreadsheet: a cash table of formulas, for the customer's accountant."""

from io import BytesIO
from pathlib import Path
from typing import Any
from zipfile import ZIP_DEFLATED, ZipFile

from pvkit.errors import Fault, InputError
from pvkit.ledger.bills import priced
from pvkit.ledger.cash import ageing
from pvkit.ledger.deal import Deal, deal
from pvkit.ledger.outlay import price_lines, replacements
from pvkit.ledger.worth import later_rate
from pvkit.present.files import write_bytes
from pvkit.present.sheet_cash import answers, cash_sheet
from pvkit.present.sheet_cells import COUNT, ENERGY, KG, MONEY, PRICE, SHARE, Sheet
from pvkit.study.estimate import Estimate

_HOW = (
    "Figures on blue ground are inputs: change one and all that hangs on it follows. The yearly "
    "sums of electricity and gas come from the half-hourly estimate and do not follow a change of "
    "price by time of day.",
    "All money is in pounds of today unless a column says pounds of the year.",
)


def write_spreadsheet(estimate: Estimate, path: Path) -> None:
    """Write the price, the cash table and the carbon as an xlsx file.

    Parameters
    ----------
    estimate : the answer for one site
    path : where to; an existing file is replaced only once the new one is complete

    Raises
    ------
    InputError
        If the folder is not there or cannot be written to.
    """
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.active)
    terms, stages = deal(estimate.site), estimate.stages
    summary = _sheet(book, "Answer")
    _price(_sheet(book, "Price"), terms)
    _inputs(_sheet(book, "Inputs"), terms, estimate)
    today = priced(stages.years, terms.tariff)
    beyond = stages.years.yield_kwh - estimate.ac_kwh * ageing(terms.finance)
    letters = cash_sheet(_sheet(book, "Cash"), terms, today, beyond)
    _carbon(_sheet(book, "Carbon"), estimate)
    _answer(summary, estimate, letters)
    for sheet in book.worksheets:
        sheet.page_setup.orientation, sheet.page_setup.paperSize = "landscape", 9
        sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
        sheet.sheet_properties.pageSetUpPr.fitToPage = True
    book.calculation.fullCalcOnLoad = True
    write_bytes(path, _packed(book, path))


def _packed(book: Any, path: Path) -> bytes:
    """Give the file's bytes; while they are made, the sheets lie in the temporary folder."""
    from openpyxl.writer.excel import ExcelWriter

    content = BytesIO()
    try:
        with ZipFile(content, "w", ZIP_DEFLATED) as archive:
            ExcelWriter(book, archive).save()
    except OSError as error:
        fault = Fault(
            str(path),
            f"it cannot be written (in the temporary folder: {error.strerror})",
            "some room in the temporary folder",
            "make room there",
        )
        raise InputError(fault) from error
    return content.getvalue()


def _sheet(book: Any, title: str) -> Sheet:
    from openpyxl.worksheet.properties import PageSetupProperties

    sheet = book.create_sheet(title)
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    return Sheet(sheet, book)


def _answer(sheet: Sheet, estimate: Estimate, letters: dict[str, str]) -> None:
    sheet.title(estimate.site.site.name)
    sheet.worked_out("Price", "price", MONEY)
    span, rate = estimate.site.finance.years, estimate.irr is not None
    for label, formula, form, note in answers(letters, span, rate=rate):
        sheet.worked_out(label, formula, form, note)
    sheet.row += 1
    for words in (*_HOW, *estimate.cautions, *estimate.warnings):
        sheet.words(words)
    sheet.widths(44, 18, 60)


def _price(sheet: Sheet, terms: Deal) -> None:
    """List the quotation; tax and total are worked out."""
    sheet.title("What is paid on the first day")
    first, rate = sheet.row, terms.costs.vat_fraction
    lines = price_lines(terms.costs, terms.kwp, terms.battery)
    taxed = terms.costs.items is not None
    for line in lines:
        if line.name.startswith("value-added tax at "):
            above = f"B{first}:B{sheet.row - 1}"
            sheet.worked_out(line.name, f"{rate!r}*SUM({above})", MONEY)
        else:
            sheet.given(line.name, line.gbp, MONEY)
    note = "" if taxed else "a typical price for the size, value-added tax in it; no quotation yet"
    sheet.name("price", f"$B${sheet.row}")
    sheet.worked_out("Together", f"SUM(B{first}:B{sheet.row - 1})", MONEY, note)
    sheet.widths(44, 18, 60)


def _inputs(sheet: Sheet, terms: Deal, estimate: Estimate) -> None:
    costs, finance, tariff = terms.costs, terms.finance, terms.tariff
    sheet.title("What the years ahead rest on")
    sheet.given("Energy of a year with new panels, kWh", estimate.ac_kwh, ENERGY, "new_kwh")
    sheet.given("Loss in the first year", finance.degradation_first_year, SHARE, "first_year_loss")
    sheet.given("Loss in each later year", finance.degradation_per_year, SHARE, "yearly_loss")
    sheet.given("Discount rate, real", finance.discount_rate, SHARE, "discount_rate")
    sheet.given("Discount rate after 30 years, real", later_rate(finance), SHARE, "later_rate")
    sheet.given("General inflation", finance.inflation_per_year, SHARE, "inflation")
    terms_note = f"a year, in {terms.prices.terms} terms"
    for name in ("import", "export", "gas"):
        change = getattr(tariff, f"{name}_change_per_year")
        sheet.given(f"Change of the {name} price", change, SHARE, f"{name}_change", terms_note)
    sheet.given("Visit, a year", costs.visit_gbp_per_year, MONEY, "visit")
    sheet.given("Insurance, a year", costs.insurance_gbp_per_year, MONEY, "insurance")
    sheet.given("Cleaning, each time", costs.cleaning_gbp, MONEY, "cleaning")
    sheet.given("Years between cleanings", costs.cleaning_every_years, COUNT, "cleaning_every")
    sheet.given("Share of the price left at the end", _left_share(terms), SHARE, "residual_share")
    _loan(sheet, terms)
    _replaced(sheet, terms)
    sheet.widths(44, 18, 60)


def _left_share(terms: Deal) -> float:
    finance = terms.finance
    if finance.residual == "straight-line":
        return max(0.0, 1.0 - finance.years / finance.life_years)
    return finance.residual_fraction if finance.residual == "share" else 0.0


def _loan(sheet: Sheet, terms: Deal) -> None:
    if terms.loan is None:
        return
    sheet.given("Loan: deposit", terms.loan.deposit_gbp, MONEY, "loan_deposit_asked")
    sheet.given("Loan: annual percentage rate", terms.loan.apr, SHARE, "loan_apr")
    sheet.given("Loan: years", terms.loan.years, COUNT, "loan_years")
    _named(sheet, "loan_deposit", "Loan: deposit paid", "MIN(loan_deposit_asked,price)")
    monthly = "-PMT((1+loan_apr)^(1/12)-1,12*loan_years,price-loan_deposit)"
    _named(sheet, "loan_monthly", "Loan: paid each month", monthly)


def _named(sheet: Sheet, name: str, label: str, formula: str) -> None:
    sheet.name(name, f"$B${sheet.row}")
    sheet.worked_out(label, formula, MONEY)


def _replaced(sheet: Sheet, terms: Deal) -> None:
    """List what is bought again; the cash sheet looks its year up."""
    sheet.row += 1
    sheet.head(("Bought again", "Price", "In year"))
    first = sheet.row
    for part in replacements(terms.costs, terms.finance.years, terms.battery):
        sheet.sheet.cell(sheet.row, 3, part.year).number_format = COUNT
        sheet.given(part.name, part.gbp, MONEY)
    last = max(first, sheet.row - 1)
    for name, column in (("replaced_gbp", "B"), ("replaced_years", "C")):
        sheet.name(name, f"${column}${first}:${column}${last}")
    sheet.row = last + 2


def _carbon(sheet: Sheet, estimate: Estimate) -> None:
    """Show the carbon table as figures."""
    table = estimate.carbon
    heads = ("Used in the home, kg", "Sold, kg", "Gas, kg", "Together, kg", "So far, net, kg")
    sheet.head(("Year", *heads, "Grid, kg/kWh"))
    for year, row in zip(table.index, table.to_numpy().tolist(), strict=True):
        sheet.sheet.cell(sheet.row, 1, int(year))
        for column, value in enumerate(row, start=2):
            cell = sheet.sheet.cell(sheet.row, column, value)
            cell.number_format = PRICE if column == len(row) + 1 else KG
        sheet.row += 1
    sheet.widths(8, 18, 12, 12, 14, 16, 12)
