"""The shade workbook in a real JupyterLab: controls move the comparison, pictures are drawn."""

import pytest

from pvkit import InputError, Study, load_site
from pvkit.present.shade_panel import ShadePanel
from pvkit.present.shade_pictures import SHADE_PICTURES

pytestmark = pytest.mark.browser
BOOK = "4_shade_strings_optimisers.ipynb"
SITE = "chimney_and_birch"


@pytest.fixture(scope="module")
def surveyed():
    return Study(load_site(SITE))


def _figures(page):
    figures = page.get_by_role("status").filter(has_text="Metered in a year")
    figures.wait_for(timeout=90_000)
    return figures


def _wait_for(page, text):
    page.wait_for_function(
        "text => [...document.querySelectorAll('[role=status]')].some(e =>"
        " e.innerText.includes('Metered in a year') && e.innerText.includes(text))",
        arg=text, timeout=20_000,
    )  # fmt: skip


def test_controls_move_the_comparison_to_the_engines_own(open_book, surveyed, artefacts):
    book = open_book(BOOK)
    page = book.page
    _figures(page)
    page.screenshot(path=artefacts / "workbook_4_as_surveyed.png")
    handle = page.get_by_role("slider", name="Chimney: height (m)")
    handle.focus()
    page.keyboard.press("PageUp")
    page.wait_for_timeout(1500)
    text = page.locator(".widget-slider", has_text="Chimney: height").locator(".widget-readout")
    taller = surveyed.change({"obstacle.chimney.height_m": float(text.inner_text())}).estimate()
    _wait_for(page, f"{taller.wiring.energy.string_kwh:,.0f} kWh")
    page.get_by_label("Panels", exact=True).select_option("plain cells, 300 W")
    change = {
        "obstacle.chimney.height_m": float(text.inner_text()),
        "array.main.module": "full-cell-300",
    }
    plain = surveyed.change(change).estimate()
    _wait_for(page, f"{plain.wiring.energy.string_kwh:,.0f} kWh")
    assert book.errors == []
    assert book.strangers == []


def _stepped(surveyed, row):
    """Give the key to press, and the site one step on: to the right if the survey allows it."""
    for key, sign in (("ArrowRight", 1), ("ArrowLeft", -1)):
        value = round(row.field.value + sign * row.field.step, 6)
        try:
            return key, surveyed.change({row.control.key: value}).estimate()
        except InputError:
            continue
    pytest.fail(f"{row.control.label} can be moved neither way")


def test_every_slider_moves_the_comparison_to_the_engines_own(open_book, surveyed):
    book = open_book(BOOK)
    page = book.page
    _figures(page)
    sliders = [row for row in ShadePanel(SITE).rows.values() if hasattr(row.field, "step")]
    assert len(sliders) == 8
    for row in sliders:
        press, expected = _stepped(surveyed, row)
        handle = page.get_by_role("slider", name=row.control.label)
        handle.focus()
        page.keyboard.press(press)
        _wait_for(page, f"{expected.wiring.energy.string_kwh:,.0f} kWh")
        place = page.locator(".widget-hbox", has=handle).last
        place.get_by_role("button").click()
    page.get_by_label("Panels lie").select_option("on their side")
    page.get_by_text("reaching 1.09 m off the roof").first.wait_for(timeout=20_000)
    page.get_by_label("Panels lie").select_option("upright")
    page.get_by_text("reaching 1.09 m off the roof").first.wait_for(state="detached")
    assert book.errors == []


def test_nothing_scrolls_sideways_or_is_cut_in_either_theme(open_book, artefacts, looks_whole):
    page = open_book(BOOK).page
    looks_whole(page, _figures(page), artefacts / "workbook_4_dark.png")


def test_every_picture_is_drawn(open_book, artefacts):
    page = open_book(BOOK).page
    _figures(page)
    for number, question in enumerate(SHADE_PICTURES, start=1):
        page.get_by_label("Picture").select_option(question)
        page.wait_for_timeout(900)
        page.locator(".js-plotly-plot .main-svg").first.wait_for()
        page.screenshot(path=artefacts / f"workbook_4_picture_{number}.png")


def test_the_moments_sliders_change_the_sentence(open_book):
    page = open_book(BOOK).page
    _figures(page)
    sentence = page.locator("p.pvkit-sentence").first
    before = sentence.inner_text()
    page.get_by_role("slider", name="Hour, local clock").focus()
    page.keyboard.press("ArrowLeft")
    page.wait_for_function(
        "before => document.querySelector('p.pvkit-sentence').innerText !== before", arg=before
    )
