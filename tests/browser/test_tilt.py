"""The tilt workbook in a real JupyterLab: planes move the figures to the engine's own."""

import pytest

from pvkit import Study, load_site
from pvkit.present.plane_scenes import PLANE_PICTURES
from pvkit.study.plane_map import AS_SURVEYED, plane_map, plane_year_kwh
from pvkit.study.plane_worth import plane_worth

pytestmark = pytest.mark.browser
BOOK = "3_tilt_and_orientation.ipynb"
SITE = "south_family_home"
SLIDERS = ("A: tilt (°)", "A: faces (° from north)", "B: tilt (°)", "B: faces (° from north)")


@pytest.fixture(scope="module")
def study():
    return Study(load_site(SITE))


def _figures(page):
    figures = page.get_by_role("status").filter(has_text="off best")
    figures.wait_for(timeout=90_000)
    return figures


def _wait_for(page, text):
    page.wait_for_function(
        "text => [...document.querySelectorAll('[role=status]')].some(e =>"
        " e.textContent.includes('off best') && e.textContent.includes(text))",
        arg=text, timeout=20_000,
    )  # fmt: skip


def _value(page, label: str) -> float:
    text = page.locator(".widget-slider", has_text=label).locator(".widget-readout").inner_text()
    return float(text)


def test_every_slider_moves_its_plane_to_the_engines_own_figure(open_book, study):
    book = open_book(BOOK)
    page = book.page
    _figures(page)
    for label in SLIDERS:
        handle = page.get_by_role("slider", name=label)
        handle.focus()
        for _ in range(3):
            page.keyboard.press("PageDown")
        plane = tuple(
            _value(page, f"{label[0]}: {word}") for word in ("tilt (°)", "faces (° from north)")
        )
        worth = plane_worth(study, plane_year_kwh(study, plane))
        _wait_for(page, f"{worth.ac_kwh:,.0f}")
        _wait_for(page, f"£{worth.saving_gbp:,.0f}")
    page.get_by_role("button", name="A to the roof").click()
    page.get_by_role("button", name="B to the best").click()
    _wait_for(page, f"{plane_map(study).here_kwh:,.0f}")
    assert book.errors == []
    assert book.strangers == []


def test_every_picture_is_drawn_by_keyboard_alone(open_book, artefacts):
    page = open_book(BOOK).page
    _figures(page)
    sentence = page.locator("p.pvkit-sentence").first
    picture = page.get_by_label("Picture")
    for number, question in enumerate(PLANE_PICTURES, start=1):
        picture.focus()
        if number > 1:
            before = sentence.inner_text()
            page.keyboard.press("ArrowDown")
            page.wait_for_function(
                "before => { const said = document.querySelector('p.pvkit-sentence').innerText;"
                " return said !== before && !said.startsWith('Working out'); }",
                arg=before, timeout=20_000,
            )  # fmt: skip
        page.locator(".js-plotly-plot .main-svg").first.wait_for()
        page.wait_for_timeout(600)
        assert picture.input_value() == question
        page.screenshot(path=artefacts / f"workbook_3_picture_{number}.png")


def test_the_shade_can_be_chosen(open_book, study):
    page = open_book(BOOK).page
    _figures(page)
    page.get_by_label("Shade").select_option(AS_SURVEYED)
    _wait_for(page, f"{plane_map(study, shade=AS_SURVEYED).here_kwh:,.0f}")


def test_nothing_scrolls_sideways_or_is_cut_in_either_theme(open_book, artefacts, looks_whole):
    page = open_book(BOOK).page
    looks_whole(page, _figures(page), artefacts / "workbook_3_dark.png")
