"""The page of outside checks says what this run found."""

import pytest

from tests.published.record import FOLDER, PAGE, Published, Recorder, page, stale, stored

AGAIN = "run python -m tests.published.record"


@pytest.mark.usefixtures("whole_run")
def test_the_page_holds_the_checks_that_were_run(recorder):
    assert set(stored()) == set(recorder.rows), AGAIN


@pytest.mark.usefixtures("whole_run")
def test_every_row_of_the_page_says_what_was_found(recorder):
    kept = stored()
    old = [key for key, row in recorder.rows.items() if key in kept and stale(row, kept[key])]
    assert old == [], AGAIN


@pytest.mark.usefixtures("whole_run")
def test_every_remark_of_the_page_says_what_was_found(recorder):
    text = PAGE.read_text(encoding="utf-8")
    assert [title for title, said in recorder.remarks.items() if said not in text] == [], AGAIN


@pytest.mark.usefixtures("whole_run")
def test_every_file_of_outside_checks_has_a_row(recorder):
    files = {path.name for path in FOLDER.glob("test_*.py")} - {"test_page.py"}
    assert files - {row.file for row in recorder.rows.values()} == set()


@pytest.fixture
def scratch():
    recorder = Recorder()
    return recorder, Published(recorder, "test_scratch.py")


def test_a_value_too_far_off_fails_and_is_recorded_all_the_same(scratch):
    recorder, check = scratch
    with pytest.raises(AssertionError):
        check("a length", "Book; table 1", 1.02, 1.0, "m", "published", 0.01)
    (row,) = recorder.rows.values()
    assert row.cells[2:] == ("1.020 m", "1", "+0.020 (+2 %)", "published")


def test_of_many_values_the_one_that_uses_most_of_its_tolerance_is_shown(scratch):
    recorder, check = scratch
    check("a length", "Book; table 1", [1.001, 200.1], [1.0, 200.0], "m", "published", share=0.01)
    check("a length", "Book; table 1", 3.0, 3.0, "m", "published", share=0.01)
    (row,) = recorder.rows.values()
    assert row.cells[0] == "a length (3 values, the worst shown)"
    assert row.cells[2] == "1.001 m"


def test_a_band_says_whether_the_value_lies_inside(scratch):
    recorder, check = scratch
    check.between("a share", "Book; table 1", 0.40, 0.34, 0.50, "", "published")
    with pytest.raises(AssertionError):
        check.between("a share", "Book; table 2", 0.60, 0.34, 0.50, "", "published")
    inside, outside = recorder.rows.values()
    assert inside.cells[3:5] == ("0.34 to 0.5", "inside")
    assert outside.cells[4].startswith("+0.1")


def test_a_changed_value_makes_its_row_stale_and_rounding_does_not(scratch):
    recorder, check = scratch
    check("a length", "Book; table 1", 1.002, 1.0, "m", "published", 0.01)
    (row,) = recorder.rows.values()
    assert not stale(row, row.cells)
    assert not stale(row, (*row.cells[:2], "1.003 m", *row.cells[3:]))
    assert stale(row, (*row.cells[:2], "1.009 m", *row.cells[3:]))
    assert "| a length | Book; table 1 | 1.002 m | 1 |" in page(recorder)


def test_a_source_names_a_document_and_a_place_in_it(scratch):
    _, check = scratch
    with pytest.raises(AssertionError, match="document"):
        check("a length", "Book", 1.0, 1.0, "m", "published", 0.01)
