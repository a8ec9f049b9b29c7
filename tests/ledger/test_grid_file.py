import re

import numpy as np
import pytest

from pvkit.errors import InputError
from pvkit.ledger.grid_file import grid_series
from pvkit.ledger.grid_paths import grid_factors, lines_share
from pvkit.site.carbon import Carbon

GOOD = "# an invented series\nyear,kgco2e_per_kwh\n2026,0.20\n2027,0.15\n2028,0.10\n"
JARGON = re.compile(r"Traceback|Error|None|dict|tuple|float\b|int\b|Errno")


@pytest.fixture
def series(tmp_path):
    def write(text, name="series.csv", encoding="utf-8"):
        file = tmp_path / name
        file.write_bytes(text.encode(encoding) if isinstance(text, str) else text)
        return str(file)

    return write


def test_a_series_is_read_whatever_the_order_of_its_rows_and_columns(series):
    mixed = "kgco2e_per_kwh, note, Year\n0.10,c,2028\n0.20,a,2026\n0.15,b,2027\n"
    for text in (GOOD, mixed, "\ufeff" + GOOD, GOOD.replace("\n", "\r\n")):
        years, factors = grid_series(series(text), 2026)
        assert years.tolist() == [2026, 2027, 2028]
        assert factors.tolist() == [0.20, 0.15, 0.10]


@pytest.mark.parametrize(
    ("old", "new", "where", "found", "fix"),
    [
        ("0.15", "150", "row 4", "found 150", "divide by 1000"),
        ("0.15", "-0.15", "row 4", "found -0.15", "sign"),
        ("0.15", "n/a", "row 4", "found 'n/a'", "plain number"),
        ("0.15", "", "row 4", "found ''", "plain number"),
        ("0.15", "nan", "row 4", "found nan", "sign"),
        ("0.15", "1e400", "row 4", "found 1e400", "divide"),
        ("2027", "27", "row 4", "found the year '27'", "calendar year"),
        ("2027", "2027.5", "row 4", "found the year '2027.5'", "calendar year"),
        ("2027", "2026", "row 4", "found 2026 again, after row 3", "take one away"),
        ("2027,0.15\n", "", "", "found no row for 2027", "add the years"),
        ("2027,0.15", "2027", "row 4", "found 1 values", "fill the row"),
        ("kgco2e_per_kwh", "factor", "row 2", "found columns year, factor", "kgco2e_per_kwh"),
        ("year,", "year,year,", "row 2", "found columns year, year", "year"),
        ("2026,0.20\n2027,0.15\n2028,0.10\n", "", "", "found no rows", "put the series in"),
        ("2026,0.20\n2027,0.15\n", "", "", "found 2028 as the first year", "2026 or earlier"),
    ],
)
def test_a_broken_series_says_which_row_what_and_what_to_do(series, old, new, where, found, fix):
    assert old in GOOD
    with pytest.raises(InputError) as caught:
        grid_series(series(GOOD.replace(old, new, 1)), 2026)
    fault = caught.value.faults[0]
    assert fault.where.startswith("series.csv")
    assert fault.where.endswith(where)
    assert found in fault.found
    assert fix in fault.fix
    assert not JARGON.search(str(fault))


def test_every_bad_row_is_told_in_one_go(series):
    text = GOOD.replace("0.20", "200").replace("0.15", "x").replace("2028", "soon")
    with pytest.raises(InputError) as caught:
        grid_series(series(text), 2026)
    assert len(caught.value.faults) == 3


@pytest.mark.parametrize("content", [b"\xff\xfe\x00year", b"", b"# only a remark\n"])
def test_what_is_no_table_is_refused(series, content):
    with pytest.raises(InputError):
        grid_series(series(content), 2026)


def test_a_missing_file_and_a_folder_are_refused(tmp_path):
    for name in (tmp_path / "nowhere.csv", tmp_path):
        with pytest.raises(InputError):
            grid_series(str(name), 2026)


def test_the_lines_loss_is_added_to_a_series_of_generation_and_taken_off_one_of_consumption(series):
    file, years = series(GOOD), np.array([2026, 2027, 2028, 2029])
    share = 0.01299 / 0.13096
    assert lines_share() == pytest.approx(share)
    made = grid_factors("file", years, Carbon(grid_path="file", grid_file=file))
    np.testing.assert_allclose(made.sold[:, 0], [0.20, 0.15, 0.10, 0.10])
    np.testing.assert_allclose(made.bought[:, 0], np.array([0.20, 0.15, 0.10, 0.10]) * (1 + share))
    used = Carbon(grid_path="file", grid_file=file, grid_file_at="consumption")
    used_factors = grid_factors("file", years, used)
    np.testing.assert_allclose(used_factors.bought[:, 0], [0.20, 0.15, 0.10, 0.10])
    np.testing.assert_allclose(used_factors.sold * (1 + share), used_factors.bought)
