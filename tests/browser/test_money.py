"""The money workbook in a real JupyterLab: controls, ranges, pictures, comparison, scenario."""

import re

import pytest

from pvkit import Study, load_site
from pvkit.present.doubt_pictures import COMPARE
from pvkit.present.money_controls import money_changes, money_controls
from pvkit.present.money_pages import money_headlines, money_likely
from pvkit.present.money_views import QUESTIONS

pytestmark = pytest.mark.browser
BOOK = "7_money_and_carbon.ipynb"
SITE = "bungalow_extension"
SLIDERS = (
    "Import price (p/kWh)",
    "Export moves (%/year)",
    "Discount rate (%/year)",
    "Ageing (%/year)",
    "Falls by (%/year)",
)
WAIT_MS = 90_000
CHART_WAIT_MS, SETTLED_MS = 15_000, 500


@pytest.fixture(scope="module")
def surveyed():
    return Study(load_site(SITE))


def _figures(page):
    return page.get_by_role("status").filter(has_text="Saves in the first year").first


def _opened(open_book):
    book = open_book(BOOK)
    _figures(book.page).wait_for(timeout=WAIT_MS)
    idle = book.page.locator("#jp-main-statusbar").get_by_text(re.compile(r"\| Idle"))
    idle.wait_for(timeout=WAIT_MS)
    _figures(book.page).scroll_into_view_if_needed()
    _figures(book.page).evaluate("e => e.scrollIntoView({block: 'start'})")
    return book


def _rested(page, likely="likely £"):
    """Wait until the ranges of the case shown are there."""
    page.wait_for_function(
        "words => [...document.querySelectorAll('[role=status]')].some(e =>"
        " e.innerText.includes('Saves in the first year') && e.innerText.includes(words))",
        arg=likely, timeout=CHART_WAIT_MS,
    )  # fmt: skip


def _sentence(page):
    return page.locator("p.pvkit-sentence").first.inner_text()


def test_sliders_move_the_figures_at_once_and_the_ranges_after_a_rest(
    open_book, surveyed, artefacts
):
    book = _opened(open_book)
    page = book.page
    _rested(page)
    page.screenshot(path=artefacts / "workbook_7_as_surveyed.png")
    groups = money_controls(surveyed.site).values()
    by_label = {control.label: control for group in groups for control in group}
    for label in SLIDERS:
        before = _sentence(page)
        handle = page.get_by_role("slider", name=label)
        handle.focus()
        for _ in range(4):
            page.keyboard.press("ArrowRight")
        page.wait_for_function(
            "b => document.querySelector('p.pvkit-sentence').innerText !== b", arg=before
        )
        page.wait_for_timeout(SETTLED_MS)
        shown = page.locator(".widget-slider", has_text=label).locator(".widget-readout")
        control = by_label[label]
        asked = money_changes({control: float(shown.inner_text())}, surveyed.site)
        expected = surveyed.change(asked).estimate()
        for head, likely in zip(money_headlines(expected), money_likely(expected), strict=True):
            _rested(page, likely)
            assert head.figure in _figures(page).inner_text(), (label, head)
        row = page.locator(".widget-hbox", has=page.get_by_role("slider", name=label)).last
        row.get_by_role("button").click()
        page.wait_for_function(
            "() => document.querySelector('p.pvkit-sentence').innerText"
            ".includes('This is the case as surveyed')"
        )
    assert book.errors == []
    assert book.strangers == []


def test_every_picture_is_drawn_and_the_choices_stand_in_a_table(open_book, artefacts):
    book = _opened(open_book)
    page = book.page
    page.get_by_label("With a loan").click()
    for number, question in enumerate(QUESTIONS, start=1):
        page.get_by_label("Picture").select_option(question)
        page.wait_for_timeout(600)
        _rested(page)
        if question == COMPARE:
            page.locator("table", has_text="as the controls stand").first.wait_for(timeout=WAIT_MS)
        page.wait_for_timeout(600)
        page.locator(".js-plotly-plot .main-svg").first.wait_for()
        page.screenshot(path=artefacts / f"workbook_7_picture_{number}.png")
    table = page.locator("table", has_text="as the controls stand").first
    assert "without the diverter" in table.inner_text()
    assert "nan" not in re.findall(r"[a-z]+", table.inner_text().lower())
    assert book.errors == []


def test_leaving_a_doubt_out_narrows_the_range(open_book, surveyed):
    page = _opened(open_book).page
    _rested(page)
    page.get_by_role("button", name="Doubts that are counted").click()
    page.get_by_label("how prices move over the years").click()
    calm = surveyed.change({"doubt.price_drift_per_year": 0.0}).estimate()
    _rested(page, money_likely(calm)[2])


def test_a_case_is_saved_as_a_scenario_and_a_second_of_that_name_is_refused(open_book, artefacts):
    page = _opened(open_book).page
    page.get_by_role("button", name="Save as scenario").click()
    page.get_by_role("alert").wait_for(timeout=5_000)
    assert "move a control" in page.get_by_role("alert").inner_text()
    page.get_by_role("slider", name="Export price (p/kWh)").focus()
    page.keyboard.press("PageUp")
    page.get_by_label("File", exact=True).fill("my choices é.toml")
    name = page.get_by_label("Name", exact=True)
    name.fill("sold dearer")
    name.press("Tab")
    page.get_by_role("button", name="Save as scenario").click()
    saved = page.get_by_role("status").filter(has_text="Saved")
    saved.wait_for(timeout=5_000)
    assert 'pvkit compare bungalow_extension "my choices é.toml"' in saved.inner_text()
    page.screenshot(path=artefacts / "workbook_7_saved.png")
    page.get_by_role("button", name="Save as scenario").click()
    page.get_by_role("alert").wait_for(timeout=5_000)
    assert "a new name" in page.get_by_role("alert").inner_text()


def _wear(page, theme):
    """Put a theme on; it stays for all that the server opens after it."""
    page.get_by_role("menuitem", name="Settings", exact=True).click()
    page.locator(".lm-Menu-item", has_text="Theme").first.hover()
    page.locator(".lm-Menu-item", has_text=theme).first.click()
    page.wait_for_timeout(1500)


def test_it_reads_in_the_dark_theme_and_nothing_scrolls_sideways(open_book, artefacts):
    page = _opened(open_book).page
    _rested(page)
    _wear(page, "JupyterLab Dark")
    try:
        page.screenshot(path=artefacts / "workbook_7_dark.png")
        ink = page.locator("p.pvkit-sentence").first.evaluate("e => getComputedStyle(e).color")
        red, green, blue = (int(part) for part in re.findall(r"\d+", ink)[:3])
        assert min(red, green, blue) > 180
    finally:
        _wear(page, "JupyterLab Light")
    overflow = page.evaluate(
        "() => { const p = document.querySelector('.jp-WindowedPanel-outer');"
        " return p.scrollWidth - p.clientWidth; }"
    )
    assert overflow <= 1
