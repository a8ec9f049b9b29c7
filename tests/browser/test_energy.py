"""The energy workbook in a real JupyterLab: each control moves the figures to the engine's own."""

import contextlib
import re

import pytest
from playwright.sync_api import expect

from pvkit import Study, load_site
from pvkit.present.energy_changes import energy_changes
from pvkit.present.energy_controls import energy_controls
from pvkit.present.energy_pages import energy_figures
from pvkit.present.energy_pictures import ENERGY_PICTURES, SIZES
from pvkit.study.home_year import home_year
from pvkit.study.offers import offer_changes

pytestmark = pytest.mark.browser
BOOK = "6_using_the_energy.ipynb"
SITE = "ev_and_battery"
SETTLED_MS = 700
AS_SURVEYED = "This is the home as surveyed"


@pytest.fixture(scope="module")
def surveyed():
    return Study(load_site(SITE))


def _figures(page):
    return page.get_by_role("status").filter(has_text="used at home")


@pytest.fixture(scope="module")
def book(keep_book):
    """Open the workbook once, wait until every cell has run, and bring the panel into sight."""
    book = keep_book(BOOK)
    _figures(book.page).wait_for(timeout=90_000)
    expect(book.page.get_by_text("[*]:")).to_have_count(0, timeout=90_000)
    _figures(book.page).evaluate("e => e.scrollIntoView()")
    return book


@pytest.fixture
def page(book):
    """Give the page with every control as surveyed; what is shown in it must bring no error."""
    yield book.page
    back = book.page.locator("button:enabled:visible", has_text="↺")
    while back.count():
        back.first.click()
        _settle(book.page)
    assert book.errors == []
    assert book.strangers == []


def _settle(page):
    page.wait_for_timeout(SETTLED_MS)


def _shows(page, surveyed, moved):
    """Compare the six figures with the engine's for the same controls."""
    changed = surveyed.change(energy_changes(moved, surveyed.site))
    for head in energy_figures(home_year(changed)):
        expect(_figures(page)).to_contain_text(f"{head.label}{head.figure}", timeout=10_000)


def _back(page, field):
    row = page.locator(".widget-hbox", has=field).last
    row.get_by_role("button").click()
    expect(page.get_by_text(AS_SURVEYED)).to_have_count(1, timeout=10_000)


def _readout(page, label):
    text = page.locator(".widget-slider", has_text=label).locator(".widget-readout").inner_text()
    return float(text.replace(",", ""))


def test_every_control_moves_the_figures_to_the_engines_own(page, surveyed, artefacts):
    _settle(page)
    page.screenshot(path=artefacts / "workbook_6_as_surveyed.png")
    everything = {control: control.surveyed for control in energy_controls(surveyed.site)}
    for control in everything:
        if isinstance(control.surveyed, bool):
            field = page.get_by_label(control.label, exact=True)
            field.focus()
            page.keyboard.press("Space")
            value = not control.surveyed
        elif control.choices:
            field = page.get_by_label(control.label, exact=True)
            field.focus()
            keys = [key for key, _ in control.choices]
            at = keys.index(control.surveyed)
            last = at == len(keys) - 1
            page.keyboard.press("ArrowUp" if last else "ArrowDown")
            value = keys[at - 1 if last else at + 1]
        else:
            field = page.get_by_role("slider", name=control.label, exact=True)
            field.focus()
            page.keyboard.press("ArrowLeft" if control.surveyed == control.high else "ArrowRight")
            _settle(page)
            value = _readout(page, control.label)
            value = int(value) if isinstance(control.surveyed, int) else value
        moved = {**everything, control: value}
        if control.key == "tariff.import_bands":
            price = next(c for c in everything if c.key == "tariff.import_gbp_per_kwh")
            moved[price] = 100 * offer_changes(surveyed.site, value)[price.key]
        _shows(page, surveyed, moved)
        _back(page, field)


def test_every_picture_is_drawn_and_nothing_scrolls_sideways(page, artefacts):
    for number, question in enumerate(ENERGY_PICTURES, start=1):
        page.get_by_label("Picture", exact=True).select_option(question)
        if question == SIZES:
            page.get_by_text("A kWh of battery is taken at").wait_for(timeout=20_000)
        _settle(page)
        page.locator(".js-plotly-plot .main-svg").first.wait_for()
        page.screenshot(path=artefacts / f"workbook_6_picture_{number}.png")
    overflow = page.evaluate(
        "() => { const p = document.querySelector('.jp-WindowedPanel-outer');"
        " return p.scrollWidth - p.clientWidth; }"
    )
    assert overflow <= 1
    page.get_by_text("Hot water: keep the back-up").first.scroll_into_view_if_needed()
    page.screenshot(path=artefacts / "workbook_6_below.png")
    _figures(page).evaluate("e => e.scrollIntoView()")


def test_what_would_move_nothing_is_not_shown(page, artefacts):
    slider = page.get_by_role("slider", name="Battery (kWh)", exact=True)
    power = page.get_by_role("slider", name="Battery power (kW)", exact=True)
    assert power.is_visible()
    slider.focus()
    page.keyboard.press("Home")
    _settle(page)
    assert not power.is_visible()
    cheap = page.get_by_label("Battery charged at cheap hours")
    page.keyboard.press("End")
    _settle(page)
    assert cheap.is_visible()
    page.get_by_label("Tariff", exact=True).select_option("one price")
    _settle(page)
    assert not cheap.is_visible()
    page.screenshot(path=artefacts / "workbook_6_moved.png")


def test_a_car_that_cannot_be_charged_is_explained_in_the_page(page):
    page.get_by_role("slider", name="Car at home (days)").focus()
    page.keyboard.press("End")
    page.get_by_role("slider", name="Car (miles a year)").focus()
    page.keyboard.press("End")
    page.get_by_role("slider", name="Car at home (days)").focus()
    page.keyboard.press("ArrowLeft")
    alert = page.get_by_role("alert")
    alert.wait_for(timeout=10_000)
    assert "car.yearly_miles" in alert.inner_text()


@contextlib.contextmanager
def _dark(page):
    def theme(name):
        page.get_by_role("menuitem", name="Settings", exact=True).click()
        page.locator(".lm-Menu-itemLabel", has_text=re.compile("^Theme$")).hover()
        page.locator(".lm-Menu-itemLabel", has_text=re.compile(f"^{name}$")).click()
        page.wait_for_timeout(1500)

    theme("JupyterLab Dark")
    try:
        yield
    finally:
        theme("JupyterLab Light")


def test_the_page_can_be_read_in_the_dark_theme(page, artefacts):
    with _dark(page):
        for number, question in enumerate(ENERGY_PICTURES, start=1):
            page.get_by_label("Picture", exact=True).select_option(question)
            _settle(page)
            if question == SIZES:
                page.get_by_text("A kWh of battery is taken at").wait_for(timeout=20_000)
            page.screenshot(path=artefacts / f"workbook_6_dark_{number}.png")
        colour = _figures(page).evaluate("e => getComputedStyle(e.firstChild).color")
    assert sum(int(part) for part in re.findall(r"\d+", colour)[:3]) > 380, colour
