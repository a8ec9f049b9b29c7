"""The first workbook in a real JupyterLab: every control moves the numbers it should."""

import pytest

from pvkit import Study, load_site
from pvkit.present.controls import changes, controls
from pvkit.present.headlines import headlines, likely
from pvkit.present.pictures import PICTURES
from pvkit.study.comparison import compare
from pvkit.study.scenarios import load_scenarios

pytestmark = pytest.mark.browser
BOOK = "1_customer_scenario.ipynb"
SITE = "bungalow_extension"
SLIDERS = (
    "Tilt (°)",
    "Direction (° from north)",
    "Panels",
    "Yearly use (kWh)",
    "Import price (p/kWh)",
    "Export price (p/kWh)",
    "Ageing (%/year)",
    "Discount rate (%/year)",
)
SETTLED_MS = 500


@pytest.fixture(scope="module")
def surveyed():
    return Study(load_site(SITE))


def _shown(page) -> str:
    return page.get_by_role("status").filter(has_text="Makes in a year").inner_text()


def _sentence(page) -> str:
    return page.locator("p.pvkit-sentence").first.inner_text()


def _value(page, label: str) -> float:
    text = page.locator(".widget-slider", has_text=label).locator(".widget-readout").inner_text()
    return float(text.replace(",", ""))


def _wait_for_change(page, before: str) -> None:
    page.wait_for_function(
        "before => document.querySelector('p.pvkit-sentence').innerText !== before", arg=before
    )
    page.wait_for_timeout(SETTLED_MS)


def _rested(page, words="likely £"):
    page.wait_for_function(
        "words => [...document.querySelectorAll('[role=status]')].some(e =>"
        " e.innerText.includes('Makes in a year') && e.innerText.includes(words))",
        arg=words, timeout=20_000,
    )  # fmt: skip


def test_every_slider_moves_the_numbers_to_the_engines_own(open_book, surveyed, artefacts):
    book = open_book(BOOK)
    page = book.page
    page.get_by_role("status").filter(has_text="Makes in a year").wait_for(timeout=90_000)
    page.screenshot(path=artefacts / "workbook_1_as_surveyed.png")
    by_label = {control.label: control for control in controls(surveyed.site)}
    for label in SLIDERS:
        before = _sentence(page)
        handle = page.get_by_role("slider", name=label)
        handle.focus()
        for _ in range(3):
            page.keyboard.press("ArrowRight")
        _wait_for_change(page, before)
        value = _value(page, label)
        moved = {by_label[label]: int(value) if label == "Panels" else value}
        expected = surveyed.change(changes(moved, surveyed.site)).estimate()
        for head in headlines(expected):
            _rested(page, head.figure)
        row = page.locator(".widget-hbox", has=page.get_by_role("slider", name=label)).last
        row.get_by_role("button").click()
        page.wait_for_function(
            "() => document.querySelector('p.pvkit-sentence').innerText"
            ".includes('This is the case as surveyed')"
        )
    assert book.errors == []
    assert book.strangers == []


def test_the_other_controls_and_every_picture_work(open_book, surveyed, artefacts):
    page = open_book(BOOK).page
    page.get_by_role("status").filter(has_text="Makes in a year").wait_for(timeout=90_000)
    page.get_by_label("Spare solar heats water").click()
    page.wait_for_timeout(600)
    without = surveyed.change({"hot_water.diverter": False}).estimate()
    assert headlines(without)[1].figure in _shown(page)
    page.get_by_label("Day spent").select_option("home all day")
    page.wait_for_timeout(600)
    both = surveyed.change({"hot_water.diverter": False, "home.day": "in"}).estimate()
    assert headlines(both)[1].figure in _shown(page)
    for number, question in enumerate(PICTURES, start=1):
        page.get_by_label("Picture").select_option(question)
        page.wait_for_timeout(500)
        page.locator(".js-plotly-plot .main-svg").first.wait_for()
        page.screenshot(path=artefacts / f"workbook_1_picture_{number}.png")


def test_a_wrong_site_file_is_explained_in_the_page(open_book, artefacts):
    page = open_book(BOOK).page
    page.get_by_role("status").filter(has_text="Makes in a year").wait_for(timeout=90_000)
    box = page.get_by_label("Site file")
    box.fill("no_such_site.toml")
    box.press("Enter")
    page.get_by_role("alert").wait_for(timeout=10_000)
    assert "no_such_site.toml" in page.get_by_role("alert").inner_text()
    page.screenshot(path=artefacts / "workbook_1_wrong_site.png")
    box.fill("east_west_pair")
    box.press("Enter")
    page.get_by_label("Roof face").wait_for(timeout=20_000)
    page.screenshot(path=artefacts / "workbook_1_east_west.png")


def test_likely_ranges_follow_once_a_slider_rests(open_book, surveyed, artefacts):
    page = open_book(BOOK).page
    figures = page.get_by_role("status").filter(has_text="Makes in a year")
    figures.wait_for(timeout=90_000)
    figures.evaluate("e => e.scrollIntoView({block: 'start'})")
    _rested(page, likely(surveyed.estimate())[0])
    page.get_by_role("slider", name="Panels").focus()
    page.keyboard.press("ArrowLeft")
    changed = {control.label: control for control in controls(surveyed.site)}["Panels"]
    fewer = surveyed.change(changes({changed: 5}, surveyed.site)).estimate()
    for words in likely(fewer):
        _rested(page, words)
    page.screenshot(path=artefacts / "workbook_1_ranges.png")


def test_the_standard_estimate_unfolds_line_by_line(open_book, surveyed):
    page = open_book(BOOK).page
    folded = page.locator("details", has_text="The trade's standard estimate")
    folded.first.wait_for(timeout=90_000)
    folded.first.locator("summary").click()
    for line in surveyed.estimate().standard.from_standard:
        assert line.reason in folded.first.inner_text()


def test_a_saved_scenario_is_read_by_compare(open_book, lab, surveyed, tmp_path, artefacts):
    page = open_book(BOOK).page
    page.get_by_role("status").filter(has_text="Makes in a year").wait_for(timeout=90_000)
    page.get_by_role("slider", name="Panels").focus()
    page.keyboard.press("ArrowLeft")
    page.get_by_label("Name", exact=True).fill('five "panels" & a café')
    page.get_by_label("Name", exact=True).press("Tab")
    page.get_by_role("button", name="Save as scenario").click()
    page.get_by_role("status").filter(has_text="Saved").wait_for(timeout=10_000)
    page.screenshot(path=artefacts / "workbook_1_saved.png")
    text = page.evaluate(
        "async url => (await (await fetch(url)).json()).content",
        f"{lab}/api/contents/workbooks/scenarios.toml",
    )
    (tmp_path / "scenarios.toml").write_text(text, encoding="utf-8")
    found = compare(surveyed, load_scenarios(tmp_path / "scenarios.toml"))
    assert [column.name for column in found.columns] == ["as surveyed", 'five "panels" & a café']
    saved = found.columns[1].estimate.site
    assert saved.count(saved.array[0]) == 5


def test_nothing_scrolls_sideways_or_is_cut_in_either_theme(open_book, artefacts, looks_whole):
    page = open_book(BOOK).page
    figures = page.get_by_role("status").filter(has_text="Makes in a year")
    figures.wait_for(timeout=90_000)
    looks_whole(page, figures, artefacts / "workbook_1_dark.png")
