"""The check sheet in a terminal and on paper."""

import html
import re

import pytest

from pvkit import load_site
from pvkit.present.check_sheet import TEXT_COLUMNS, check_html, check_text, sources, summary_line
from pvkit.study.changes import changed
from pvkit.study.site_check import check_site


@pytest.fixture(scope="module")
def sound():
    return check_site(load_site("bungalow_extension"))


@pytest.fixture(scope="module")
def faulty():
    site = load_site("bungalow_extension")
    return check_site(changed(site, {"cables.ac_mm2": 1.5, "cables.ac_length_m": 40.0}))


def test_no_line_is_wider_than_the_page(sound):
    assert max(len(line) for line in check_text(sound).splitlines()) <= TEXT_COLUMNS == 100


def test_every_verdict_is_told_by_sign_and_word(sound):
    text = check_text(sound)
    assert text.count("✓ pass") == sound.count("pass")
    assert text.count("? ask") == sound.count("ask")
    assert "✗" not in text


def test_what_fails_is_told_first_with_its_limit(faulty):
    head = check_text(faulty).split("──")[0]
    assert f"{len(faulty.failing)} fail" in head
    for row in faulty.failing:
        assert f"✗ FAIL  {row.what}" in head


def test_the_summary_counts_every_row(faulty):
    passes, fails, asks = map(int, re.findall(r"\d+", summary_line(faulty)))
    assert passes + fails + asks == len(faulty.rows)
    assert fails == len(faulty.failing) > 0


def test_each_source_is_listed_once_and_the_cautions_follow(sound):
    text = check_text(sound)
    for number in range(1, len(sources(sound.groups)) + 1):
        assert f"\n[{number}] " in text
    assert text.index("Where the limits are from") < text.index("is no certificate")


@pytest.mark.parametrize("which", ["sound", "faulty"])
def test_the_printed_page_holds_every_row_and_fetches_nothing(which, request):
    check = request.getfixturevalue(which)
    page = html.unescape(check_html(check))
    assert page.count("<tr class=") == len(check.rows)
    assert page.count('<tr class="fail"') == len(check.failing)
    for caution in check.cautions:
        assert caution in page
    assert not re.search(r"<script|src=|https?://", page)


def test_a_name_cannot_put_markup_on_the_page(sound):
    site = changed(sound.site, {"site.name": "<b>home</b> [red]"})
    check = check_site(site)
    assert "<b>home" not in check_html(check)
    assert "<b>home</b> [red]" in check_text(check)
