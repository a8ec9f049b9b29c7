"""Cells of a spreadsheet: words that stay words, figures, formulas, and names for inputs."""

import re
from dataclasses import dataclass, field
from typing import Any

# Control characters that the file format cannot hold.
_UNPRINTABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")
_LONGEST = 32_000
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")

MONEY, PRICE, SHARE, ENERGY, COUNT, KG = (
    '£#,##0.00;[Red]-£#,##0.00', "0.0000", "0.00%", "#,##0.0", "0", "#,##0.0",
)  # fmt: skip
_INPUT_INK, _INPUT_FILL, _FACE = "1F4E79", "EAF3FA", "Calibri"
# Words run over so many columns, about so many letters a line; and a line's height.
_WIDE, _LETTERS, _LINE_PT = 3, 115, 15.0


@dataclass
class Sheet:
    """One sheet that is filled from the top, row by row.

    Parameters
    ----------
    sheet : of openpyxl
    book : the workbook it is in, for names of inputs
    row : the next free row
    """

    sheet: Any
    book: Any
    row: int = field(default=1)

    def title(self, text: str) -> None:
        """Put a heading and leave a line."""
        from openpyxl.styles import Font

        put_text(self.sheet.cell(self.row, 1), text).font = Font(name=_FACE, bold=True, size=14)
        self.row += 2

    def words(self, text: str) -> None:
        """Put a line of words."""
        from openpyxl.styles import Alignment

        cell = put_text(self.sheet.cell(self.row, 1), text)
        cell.alignment = Alignment(wrap_text=True, vertical="top")
        self.sheet.merge_cells(None, self.row, 1, self.row, _WIDE)
        self.sheet.row_dimensions[self.row].height = _LINE_PT * (1 + len(text) // _LETTERS)
        self.row += 1

    def head(self, texts: tuple[str, ...], lines: int = 1) -> None:
        """Put the heads of a table, each wrapped over so many lines."""
        from openpyxl.styles import Alignment, Font

        for column, text in enumerate(texts, start=1):
            cell = put_text(self.sheet.cell(self.row, column), text)
            cell.font = Font(name=_FACE, bold=True)
            cell.alignment = Alignment(wrap_text=True, vertical="top")
        self.sheet.row_dimensions[self.row].height = lines * _LINE_PT
        self.row += 1

    def given(self, label: str, value: float, form: str, name: str = "", note: str = "") -> None:
        """Put an input with its label; formulas may call it by its name."""
        from openpyxl.styles import Font, PatternFill

        put_text(self.sheet.cell(self.row, 1), label)
        cell = self.sheet.cell(self.row, 2, float(value))
        cell.number_format, cell.font = form, Font(name=_FACE, color=_INPUT_INK)
        cell.fill = PatternFill("solid", fgColor=_INPUT_FILL)
        if note:
            put_text(self.sheet.cell(self.row, 3), note)
        if name:
            self.name(name, f"$B${self.row}")
        self.row += 1

    def name(self, name: str, place: str) -> None:
        """Give a name to a cell or a stretch of cells of this sheet, for formulas to call."""
        from openpyxl.workbook.defined_name import DefinedName

        self.book.defined_names[name] = DefinedName(name, attr_text=f"'{self.sheet.title}'!{place}")

    def worked_out(self, label: str, formula: str, form: str, note: str = "") -> None:
        """Put a formula with its label."""
        put_text(self.sheet.cell(self.row, 1), label)
        put_formula(self.sheet.cell(self.row, 2), formula).number_format = form
        if note:
            put_text(self.sheet.cell(self.row, 3), note)
        self.row += 1

    def widths(self, *widths: float) -> None:
        """Set the columns' widths from the left."""
        from openpyxl.utils import get_column_letter

        for column, width in enumerate(widths, start=1):
            self.sheet.column_dimensions[get_column_letter(column)].width = width


def put_text(cell: Any, text: str) -> Any:
    """Put words in a cell; whatever they begin with, they are never a formula."""
    cell.value = _UNPRINTABLE.sub("", text)[:_LONGEST]
    cell.data_type = "s"
    if text.startswith(_FORMULA_STARTS):
        cell.quotePrefix = True
    return cell


def put_formula(cell: Any, formula: str) -> Any:
    """Put one of the kit's own formulas in a cell."""
    cell.value = f"={formula}"
    cell.data_type = "f"
    return cell
