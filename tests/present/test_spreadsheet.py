"""The spreadsheet recomputed by LibreOffice equals the engine; its words stay words."""

import shutil
import subprocess
from pathlib import Path

import pytest
from openpyxl import load_workbook

from pvkit import InputError, Study, load_site
from pvkit.present.spreadsheet import write_spreadsheet

PENNY = 0.005
SOFFICE = shutil.which("soffice") or shutil.which("libreoffice")
needs_office = pytest.mark.skipif(
    SOFFICE is None, reason="LibreOffice (soffice) is not on this machine"
)
CASH_COLUMNS = {
    "Made, kWh": "yield_kwh",
    "Saving": "saving_gbp",
    "Worth left": "residual_gbp",
    "Left over": "net_gbp",
    "In hand": "cumulative_gbp",
    "In hand, later pounds counting less": "discounted_gbp",
}
CASES = {
    "plain": {},
    "everything": {
        "loan.deposit_gbp": 500.0, "loan.apr": 0.079, "loan.years": 8,
        "tariff.import_change_per_year": 0.012, "tariff.gas_change_per_year": -0.01,
        "prices.export_index_by_year": [1.0, 0.9, 0.7], "finance.residual": "straight-line",
        "costs.cleaning_gbp": 90.0, "costs.cleaning_every_years": 3, "costs.grant_gbp": 300.0,
        "costs.insurance_gbp_per_year": 20.0, "costs.vat_fraction": 0.05,
        "costs.discount_gbp": 150.0, "finance.output_by_year": [0.985, 0.98, 0.976],
    },
    "nominal, forty years, no quotation": {
        "prices.terms": "nominal", "tariff.import_change_per_year": 0.03, "finance.years": 40,
        "costs.items": None, "costs.replacements": None,
    },
    "a battery on the d.c. side, bought again": {
        "battery.capacity_kwh": 5.0, "battery.coupling": "dc", "inverter.part": "single-phase-1500",
        "costs.battery_floor_fraction": 0.8,
    },
    "a gift": {"costs.items": [{"name": "gift", "gbp": 0.0}], "costs.replacements": []},
    "free electricity, never paid back": {
        "tariff.import_gbp_per_kwh": 0.0, "tariff.export_gbp_per_kwh": 0.0,
        "tariff.gas_gbp_per_kwh": 0.0, "loan.deposit_gbp": 0.0, "loan.apr": 0.0, "loan.years": 3,
    },
}  # fmt: skip


@pytest.fixture(scope="module")
def study():
    return Study(load_site("bungalow_extension"))


@pytest.fixture(scope="module")
def recomputed(study, tmp_path_factory):
    """Write every case, let LibreOffice work all of them out in one go, and read its figures."""
    folder = tmp_path_factory.mktemp("sheets")
    answers, files = {}, []
    for n, (name, changes) in enumerate(CASES.items()):
        answers[name] = study.change(changes).estimate()
        files.append(folder / f"case_{n}.xlsx")
        write_spreadsheet(answers[name], files[-1])
    subprocess.run(
        [
            str(SOFFICE), f"-env:UserInstallation=file://{folder}/profile", "--headless",
            "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", str(folder / "out"),
            *map(str, files),
        ],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    books = [load_workbook(folder / "out" / file.name, data_only=True) for file in files]
    return {name: (answers[name], book) for name, book in zip(CASES, books, strict=True)}


def column(sheet, head):
    heads = [cell.value for cell in sheet[1]]
    place = heads.index(head) + 1
    values = [sheet.cell(row, place).value for row in range(2, sheet.max_row + 1)]
    return [value for value in values if value is not None]


def answer_of(book, label):
    rows = {row[0]: row[1] for row in book["Answer"].iter_rows(values_only=True) if row[0]}
    return rows[label]


@needs_office
@pytest.mark.parametrize("case", CASES)
def test_the_cash_table_recomputed_is_the_engines_to_the_penny(recomputed, case):
    answer, book = recomputed[case]
    for head, name in CASH_COLUMNS.items():
        expected = answer.cash[name].tolist()
        assert column(book["Cash"], head) == pytest.approx(expected, abs=PENNY), head
    costs = [
        a + b
        for a, b in zip(
            column(book["Cash"], "Visits, cleaning, insurance"),
            column(book["Cash"], "Bought again"),
            strict=True,
        )
    ]
    assert costs == pytest.approx(answer.cash["costs_gbp"].tolist(), abs=PENNY)
    nominal = answer.cash_nominal["net_gbp"].tolist()
    shown = column(book["Cash"], "Left over, pounds of the year")
    assert shown == pytest.approx(nominal, abs=PENNY)


@needs_office
@pytest.mark.parametrize("case", CASES)
def test_the_answers_recomputed_are_the_engines(recomputed, case):
    answer, book = recomputed[case]
    span = answer.site.finance.years
    assert answer_of(book, "Price") == pytest.approx(answer.capital_gbp, abs=PENNY)
    assert answer_of(book, "Net present value") == pytest.approx(answer.npv_gbp, abs=PENNY)
    saving = answer_of(book, "Saving of the first year")
    assert saving == pytest.approx(answer.first_year_saving_gbp, abs=PENNY)
    for label, exact in (
        ("Paid for itself after, years", answer.simple_payback_years),
        ("The same, later pounds counting less", answer.discounted_payback_years),
    ):
        if exact is None:
            assert answer_of(book, label) == f"not within {span} years"
        else:
            assert answer_of(book, label) == pytest.approx(exact, abs=1e-6)
    rate = answer_of(book, "Rate of return")
    assert rate == ("none" if answer.irr is None else pytest.approx(answer.irr, abs=1e-8))
    cost = answer_of(book, "Cost of each kWh made")
    assert cost == pytest.approx(answer.lcoe_gbp_per_kwh, abs=1e-9)
    if answer.loan is not None:
        worth = answer_of(book, "Net present value with the loan")
        assert worth == pytest.approx(answer.loan.npv_gbp, abs=PENNY)
        paid = column(book["Cash"], "Loan: paid, pounds of the year")
        assert paid == pytest.approx(answer.loan.paid_gbp.tolist(), abs=PENNY)
        in_hand = column(book["Cash"], "Loan: in hand")
        assert in_hand == pytest.approx(answer.loan.cumulative_gbp.tolist(), abs=PENNY)


@needs_office
@pytest.mark.parametrize("case", CASES)
def test_no_cell_is_an_error(recomputed, case):
    _, book = recomputed[case]
    for sheet in book.worksheets:
        for row in sheet.iter_rows(values_only=True):
            for value in row:
                assert not (isinstance(value, str) and value.startswith(("#", "Err:"))), value
                assert value != "nan"


def test_the_cash_table_is_made_of_formulas(study, tmp_path):
    file = tmp_path / "money.xlsx"
    write_spreadsheet(study.estimate(), file)
    sheet = load_workbook(file)["Cash"]
    formulas = [
        cell.value for row in sheet.iter_rows(min_row=3, max_row=27) for cell in row
        if cell.data_type == "f"
    ]  # fmt: skip
    assert len(formulas) >= 25 * 12
    heads = [cell.value for cell in sheet[1]]
    net = sheet.cell(3, heads.index("Left over") + 1)
    assert net.data_type == "f"
    assert net.value.startswith("=")


EVIL = ("=1+1", "+cmd|' /C calc'!A1", "-2+3", "@SUM(A1)", '=HYPERLINK("http://x","y")', "\t=1")


@pytest.mark.parametrize("name", EVIL)
def test_words_that_look_like_a_formula_stay_words(study, tmp_path, name):
    items = [{"name": name, "gbp": 100.0}]
    parts = [{"name": name, "year": 3, "gbp": 5.0}]
    site = study.change(
        {"site.name": name, "costs.items": items, "costs.replacements": parts}
    ).estimate()
    file = tmp_path / "evil.xlsx"
    write_spreadsheet(site, file)
    book = load_workbook(file)
    found = 0
    for sheet in book.worksheets:
        for row in sheet.iter_rows():
            for cell in row:
                if isinstance(cell.value, str) and cell.value.strip() == name.strip():
                    found += 1
                    assert cell.data_type == "s"
                    assert cell.quotePrefix
    assert found == 3


def test_letters_the_format_cannot_hold_are_left_out(study, tmp_path):
    file = tmp_path / "odd.xlsx"
    items = [{"name": "scaf\x07fold £ é 漢", "gbp": 1.0}]
    write_spreadsheet(study.change({"costs.items": items}).estimate(), file)
    words = [row[0] for row in load_workbook(file)["Price"].iter_rows(values_only=True)]
    assert "scaffold £ é 漢" in words


def test_a_folder_that_is_not_there_is_told_and_nothing_half_written_left(study, tmp_path):
    with pytest.raises(InputError, match="cannot be written"):
        write_spreadsheet(study.estimate(), tmp_path / "no" / "such.xlsx")
    assert list(Path(tmp_path).iterdir()) == []
