"""Values, names and suggestions as an installer would write them."""

from datetime import date

import pytest

from pvkit.site.faults import nearest
from pvkit.site.tariff import Band, band_slots
from pvkit.site.wording import labels, shown


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (True, "true"), (False, "false"), (None, "nothing"), (6.0, "6.0"), (-3, "-3"),
        ("a", "'a'"), ("", "''"), ([], "an empty list"), ({}, "an empty table"),
        ([1, [2, [3]]], "[1, [2, [...]]]"), ([{}, {}], "a list of tables"),
        ({"a": 1, "b": 2, "c": 3, "d": 4}, "a table with a, b, c and others"),
        (date(2025, 3, 1), "2025-03-01"), (float("nan"), "nan"),
        (10**3000, "a number of very many digits"),
        (object(), "something that a site file cannot hold"),
    ],
)  # fmt: skip
def test_a_value_is_shown_as_a_site_file_has_it(value: object, words: str) -> None:
    assert shown(value) == words


def test_a_long_value_is_cut_short() -> None:
    assert len(shown("x" * 10_000)) == len(shown(list(range(1000)))) == 60


def test_a_list_that_holds_itself_is_shown() -> None:
    ring: list[object] = [1]
    ring.append(ring)
    assert shown(ring) == "[1, [1, [...]]]"


def test_the_nearest_name_is_suggested_whatever_its_letters() -> None:
    assert "'Midlands'" in nearest("MIDLAND", ["Thames", "Midlands"])
    assert nearest("zzz", ["a", "b"]) == "use 'a' or 'b'"
    assert nearest("zzz", list("abcde")) == "use one of those allowed"


def test_entries_go_by_name_where_a_name_tells_them_apart() -> None:
    assert labels(["a", "b"]) == ["a", "b"]
    assert labels(["a", "a", "b"]) == ["1", "2", "b"]
    assert labels([None, 3, "", "a.b", "a\nb", "x" * 100]) == ["1", "2", "3", "4", "5", "6"]


@pytest.mark.parametrize(
    ("start", "end", "slots"),
    [
        ("00:00", "00:30", [0]),
        ("23:30", "00:00", [47]),
        ("23:00", "01:00", [46, 47, 0, 1]),
        ("00:00", "00:00", list(range(48))),
    ],
)
def test_a_band_covers_the_half_hours_from_its_start_to_its_end(
    start: str, end: str, slots: list[int]
) -> None:
    assert band_slots(Band(name="b", start=start, end=end, gbp_per_kwh=0.1)) == slots
