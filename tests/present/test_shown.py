"""What a cell shows is the same as HTML and as text, escaped, and cut nowhere."""

import base64
import re
from html import unescape

from pvkit.present.check_sheet import SIGNS
from pvkit.present.shown import Drawing, Listing, Words, rows_shown, sources_shown
from pvkit.verdict import CheckRow

ROWS = (
    CheckRow("Volts <1>", "36 & 37", "up to 40", "pass", "a norm (published)"),
    CheckRow("Amps", "9", "up to 8", "fail", "a norm (published)"),
    CheckRow("Watts", "5", "6", "ask", "the maker (given)"),
)


def cells(page):
    rows = re.findall(r"<tr>(.*?)</tr>", page)
    return [[unescape(c) for c in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row)] for row in rows]


def test_rows_are_shown_with_sign_and_word_in_html_and_text():
    shown = rows_shown(ROWS)
    expected = [[row.what, SIGNS[row.verdict], row.value, row.limit] for row in ROWS]
    assert cells(shown._repr_html_())[1:] == expected
    assert repr(shown).splitlines()[1:] == [" | ".join(row) for row in expected]
    assert "<1>" not in shown._repr_html_()


def test_each_source_stands_once_with_all_that_it_judges():
    assert cells(sources_shown(ROWS)._repr_html_())[1:] == [
        ["a norm (published)", "Volts <1>; Amps"],
        ["the maker (given)", "Watts"],
    ]


def test_a_row_is_named_by_its_first_cell():
    page = Listing(("a", "b"), [("1", "2")])._repr_html_()
    assert page.count("scope='col'") == 2
    assert page.count("scope='row'") == 1


def test_words_keep_their_lines():
    words = Words(["one & two", "<b>"])
    assert repr(words) == "one & two\n<b>"
    assert "<li>&lt;b&gt;</li>" in words._repr_html_()


def test_a_drawing_carries_itself_its_words_and_white_ground():
    page = Drawing("<svg>é</svg>", "a 'house'")._repr_html_()
    data = re.search(r"base64,([^']+)'", page)[1]
    assert base64.b64decode(data).decode("utf-8") == "<svg>é</svg>"
    assert "alt='a &#x27;house&#x27;'" in page
    assert "background:#fff" in page
