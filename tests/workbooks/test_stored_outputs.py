"""What nbval cannot see: a cell that was never run is compared with nothing and passes."""

from pathlib import Path

import nbformat
import pytest

BOOKS = sorted((Path(__file__).resolve().parents[2] / "workbooks").glob("*.ipynb"))
LARGEST_BYTES = 200_000


def _book(path: Path) -> nbformat.NotebookNode:
    return nbformat.reads(path.read_text(encoding="utf-8"), 4)


def test_there_are_workbooks():
    assert BOOKS


@pytest.mark.parametrize("path", BOOKS, ids=lambda path: path.stem)
def test_every_code_cell_was_run_in_order(path):
    counts = [c.execution_count for c in _book(path).cells if c.cell_type == "code"]
    assert counts == list(range(1, len(counts) + 1))


@pytest.mark.parametrize("path", BOOKS, ids=lambda path: path.stem)
def test_a_workbook_stores_numbers_as_text_or_tables(path):
    shown = [
        output
        for cell in _book(path).cells
        if cell.cell_type == "code"
        for output in cell.outputs
        if "text/html" in output.get("data", {}) or output.get("name") == "stdout"
    ]
    assert shown
    assert any(character.isdigit() for output in shown for character in str(output))


@pytest.mark.parametrize("path", BOOKS, ids=lambda path: path.stem)
def test_no_live_widget_state_is_stored(path):
    assert "widgets" not in _book(path).metadata
    assert path.stat().st_size < LARGEST_BYTES


@pytest.mark.parametrize("path", BOOKS, ids=lambda path: path.stem)
def test_cells_stay_short_and_words_stand_above_them(path):
    cells = _book(path).cells
    code = [cell for cell in cells if cell.cell_type == "code"]
    assert max(len(cell.source.splitlines()) for cell in code) <= 8
    assert sum(cell.cell_type == "markdown" for cell in cells) >= len(code)
    assert not any("def " in cell.source or "for " in cell.source for cell in code)
