"""The customer's report opened from a disk in a real browser: whole, offline, never sideways."""

import datetime

import pytest

from pvkit import estimate, load_site
from pvkit.present.firm import load_firm
from pvkit.present.headlines import headlines
from pvkit.present.report import Sender, write_report

pytestmark = pytest.mark.browser
FIRM = '[firm]\nname = "Firm of the test"\nlogo = "logo.svg"\nphone = "01"\nemail = "a@b.c"\n'
LOGO = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 3"><circle r="1"/></svg>'
WIDTHS_PX = (390, 1280)


@pytest.fixture(scope="module")
def answer():
    return estimate(load_site("bungalow_extension"))


@pytest.fixture
def opened(browser, answer, tmp_path):
    """Open a report with a letterhead; give the page, what it asked for and what went wrong."""
    (tmp_path / "firm.toml").write_text(FIRM, encoding="utf-8")
    (tmp_path / "logo.svg").write_text(LOGO, encoding="utf-8")
    file = tmp_path / "our réport.html"
    write_report(answer, file, Sender(load_firm(tmp_path / "firm.toml"), datetime.date(2027, 3, 5)))
    page, asked, errors = browser.new_page(), [], []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: errors.append(message.text))
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.goto(file.as_uri(), wait_until="networkidle")
    yield page, asked, errors
    page.close()


def test_it_asks_the_network_for_nothing(opened, answer, artefacts):
    page, asked, errors = opened
    strangers = [url for url in asked if not url.startswith(("file://", "data:image/"))]
    assert strangers == []
    assert len([url for url in asked if url.startswith("file://")]) == 1
    assert errors == []
    for head in headlines(answer):
        assert page.get_by_text(head.figure, exact=True).first.is_visible()
    assert page.locator(".letterhead img").evaluate("e => e.complete && e.naturalWidth > 0")
    page.set_viewport_size({"width": 900, "height": 1150})
    page.screenshot(path=artefacts / "report_first_page.png")


def test_every_chart_is_drawn_and_named(opened):
    page, _, _ = opened
    charts = page.locator("svg[role=img]:visible")
    assert charts.count() >= 7
    for n in range(charts.count()):
        box = charts.nth(n).bounding_box()
        assert box["width"] > 100
        assert box["height"] > 50
        named = charts.nth(n).evaluate(
            "e => e.getAttribute('aria-labelledby').split(' ')"
            ".every(id => document.getElementById(id).textContent.length > 5)"
        )
        assert named


@pytest.mark.parametrize("px", WIDTHS_PX)
def test_nothing_scrolls_sideways(opened, px):
    page, _, _ = opened
    page.set_viewport_size({"width": px, "height": 800})
    over = page.evaluate(
        "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
    )
    assert over <= 0
