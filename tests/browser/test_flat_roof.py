"""The flat roof's workbook in a real JupyterLab: every control moves the engine's own figures."""

import re
import statistics
from dataclasses import replace

import pytest

from pvkit import Study, load_site
from pvkit.present.roof_pictures import ROOF_PICTURES
from pvkit.study.covering import surveyed_covering
from pvkit.study.roof_case import roof_case

pytestmark = pytest.mark.browser
BOOK = "5_flat_roof_layout_and_ballast.ipynb"
SITE, ROOF = "flat_roof_garage", "garage"
LIE, HOLD, PAPER = "How the panels lie", "Wind, and what holds them", "On paper, as it stands"
ARRAY = "array.*."
# Sliders and ticks of wind and ballast, moved by a key; lists, by what is picked.
KEYS = (
    ("Wind of the map (m/s)", "ArrowRight", "wind.basic_m_per_s"),
    ("One block (kg)", "PageUp", "ballast.block_kg"),
    ("Rows tied together", "Space", f"{ARRAY}tied"),
    ("Backs closed", "Space", f"{ARRAY}closed_back"),
    ("Roof taken wet", "Space", "ballast.wet"),
)
LISTS = (
    ("Distance to the sea", "0.5 km", {"wind.sea_km": 0.5}),
    ("Roof may still carry", "0.5 kN/m²", {"roof.garage.allowance_kn_per_m2": 0.5}),
    ("Feet stand on", "plastic sheet (PVC or TPO)", {"roof.garage.membrane": "single-ply"}),
    ("Coefficient from", "caution, as they are held",
     {f"{ARRAY}pressure_coefficient": None, f"{ARRAY}pressure_source": None}),
)  # fmt: skip
LAYOUT = (
    ("Tilt (°)", "surface_tilt"),
    ("Rows face (°)", "surface_azimuth"),
    ("Limit angle (°)", "limit_deg"),
    ("Panels", "count"),
    ("Margin from edges (m)", "margin_m"),
)
PATIENCE_MS = 300
CLOCK = """() => { const lab = window.roofClock = {begun: 0, took: 0};
 document.addEventListener('keydown', () => { lab.begun = performance.now(); lab.took = 0; }, true);
 new MutationObserver(() => { if (lab.begun && !lab.took) requestAnimationFrame(() =>
   setTimeout(() => { lab.took = lab.took || performance.now() - lab.begun; })); })
  .observe([...document.querySelectorAll('.jupyter-widgets [role=status]')].find(e =>
   e.textContent.includes('Ballast in all')).closest('.widget-html'),
   {subtree: true, childList: true}); }"""


@pytest.fixture(scope="module")
def study():
    return Study(load_site(SITE))


@pytest.fixture(scope="module")
def page(keep_book):
    opened = keep_book(BOOK)
    _status(opened.page).wait_for(timeout=90_000)
    opened.page.locator("#jp-main-statusbar").get_by_text("| Idle").wait_for(timeout=90_000)
    yield opened.page
    assert opened.errors == []
    assert opened.strangers == []


def _status(page):
    return page.locator(".jupyter-widgets [role=status]").filter(has_text="Ballast in all")


def _wait_for(page, *words):
    for each in words:
        page.wait_for_function(
            "text => [...document.querySelectorAll('.jupyter-widgets [role=status]')].some(e =>"
            " e.textContent.includes('Ballast in all') && e.textContent.includes(text))",
            arg=each, timeout=20_000,
        )  # fmt: skip


def _shows(page, case):
    load = case.hold.load
    _wait_for(
        page, f"{case.most} panels", f"shown: {case.count},", f"{case.energy.ac_kwh:,.0f} kWh",
        f"{case.kwh_per_m2:.1f} kWh for each m² of roof", f"{case.hold.ballast_kg:,.0f} kg",
        f"{load.local_kg_per_m2:.0f} kg/m²", f"{load.local_kn_per_m2:.2f} kN/m²",
        "Ask a structural engineer, with these figures",
    )  # fmt: skip


def _group(page, name):
    page.get_by_label("Controls").scroll_into_view_if_needed()
    page.get_by_label("Controls").select_option(name)
    page.wait_for_timeout(300)


def _value(page, label):
    row = page.locator(".widget-slider").filter(
        has=page.locator(".widget-label", has_text=re.compile(f"^{re.escape(label)}$"))
    )
    return float(row.locator(".widget-readout").inner_text().replace("−", "-"))


def _back(page, label):
    field = page.get_by_label(label, exact=True)
    row = page.locator(".widget-hbox", has=field).last
    row.get_by_role("button").click()


def test_every_control_of_the_layout_moves_the_figures_to_the_engines_own(page, study):
    _group(page, LIE)
    surveyed = surveyed_covering(study.site, ROOF)
    _shows(page, roof_case(study, ROOF))
    for label, field in LAYOUT:
        handle = page.get_by_role("slider", name=label)
        handle.focus()
        page.keyboard.press("ArrowLeft")
        page.wait_for_timeout(1200)
        value = _value(page, label)
        asked = replace(surveyed, **{field: int(value) if field == "count" else value})
        if field != "limit_deg":
            asked = replace(asked, limit_deg=15.0)
        _shows(page, roof_case(study, ROOF, asked))
        _back(page, label)
        page.wait_for_timeout(500)
    base = replace(surveyed, limit_deg=15.0)
    for label, option, changes in (
        ("Row pitch", "by noon, shortest day", {"spacing": "noon"}),
        ("Row pitch", "whichever yields most", {"spacing": "best"}),
        ("How many", "as many as fit", {"count": None}),
        ("Panels stand in", "pairs, back to back", {"arrangement": "pairs"}),
    ):
        page.get_by_label(label, exact=True).select_option(option)
        _shows(page, roof_case(study, ROOF, replace(base, **changes)))
        _back(page, label)
        page.wait_for_timeout(500)
    _shows(page, roof_case(study, ROOF))


def test_every_control_of_wind_and_ballast_moves_the_figures_to_the_engines_own(page, study):
    _group(page, HOLD)
    for label, key, name in KEYS:
        field = page.get_by_label(label, exact=True)
        field.focus()
        page.keyboard.press(key)
        page.wait_for_timeout(400)
        value = False if key == "Space" else _value(page, label)
        _shows(page, roof_case(study, ROOF, None, {name: value}))
        _back(page, label)
    for label, option, changes in LISTS:
        page.get_by_label(label, exact=True).select_option(option)
        _shows(page, roof_case(study, ROOF, None, changes))
        _back(page, label)
    page.get_by_label("Feet stand on").select_option("friction measured here")
    page.wait_for_timeout(600)  # its slider is greyed out until then
    page.get_by_role("slider", name="Friction measured").focus()
    page.keyboard.press("PageUp")
    page.wait_for_timeout(400)
    friction = {"roof.garage.friction": _value(page, "Friction measured")}
    _shows(page, roof_case(study, ROOF, None, friction))
    _back(page, "Friction measured")
    _back(page, "Feet stand on")


def test_a_coefficient_of_ones_own_is_refused_without_its_source_and_taken_with_it(page, study):
    _group(page, HOLD)
    page.get_by_label("Coefficient from").select_option("a figure of my own, below")
    alert = page.get_by_role("alert")
    alert.wait_for()
    assert "Its source" in alert.inner_text()
    assert "kWh" not in _status(page).inner_text()
    source = page.get_by_label("Its source")
    source.fill("a report")
    source.press("Enter")
    page.get_by_role("slider", name="A figure of my own").focus()
    page.keyboard.press("PageDown")
    page.wait_for_timeout(500)
    own = {f"{ARRAY}pressure_coefficient": _value(page, "A figure of my own"),
           f"{ARRAY}pressure_source": "a report"}  # fmt: skip
    _shows(page, roof_case(study, ROOF, None, own))
    assert "a report" in page.locator("p.pvkit-sentence").first.inner_text()
    _back(page, "A figure of my own")
    _back(page, "Coefficient from")
    _shows(page, roof_case(study, ROOF))


def test_lists_answer_the_arrow_keys(page, study):
    _group(page, HOLD)
    page.get_by_label("Distance to the sea").focus()
    page.keyboard.press("ArrowUp")
    _shows(page, roof_case(study, ROOF, None, {"wind.sea_km": 100.0}))
    for _ in range(8):
        page.keyboard.press("ArrowUp")
    _shows(page, roof_case(study, ROOF, None, {"wind.sea_km": 0.5}))
    _back(page, "Distance to the sea")


def test_too_many_panels_are_explained_in_the_page(page, study, artefacts):
    _group(page, LIE)
    page.get_by_role("slider", name="Panels").focus()
    page.keyboard.press("End")
    page.get_by_role("alert").wait_for()
    assert "within its margins" in page.get_by_role("alert").inner_text()
    assert "kWh" not in _status(page).inner_text()
    page.screenshot(path=artefacts / "workbook_5_too_many.png")
    _back(page, "Panels")
    _shows(page, roof_case(study, ROOF))
    assert page.get_by_role("alert").count() == 0


def test_every_picture_is_drawn_for_rows_and_for_pairs(page, study, artefacts):
    for n, arrangement in enumerate(("pairs, back to back", "rows, facing one way")):
        _group(page, LIE)
        page.get_by_label("Panels stand in").select_option(arrangement)
        page.wait_for_timeout(1500)
        _group(page, HOLD)
        page.get_by_label("Blocks lie").select_option(index=1 - n)
        for number, question in enumerate(ROOF_PICTURES, start=1):
            page.get_by_label("Picture").select_option(question)
            shown = ".widget-html svg[role=img]" if number < 3 else ".js-plotly-plot .main-svg"
            page.locator(shown).first.wait_for(timeout=20_000)
            page.wait_for_timeout(500)
            page.get_by_label("Picture").evaluate("e => e.scrollIntoView()")
            word = arrangement.partition(",")[0]
            page.screenshot(path=artefacts / f"workbook_5_{word}{number}.png")
    page.get_by_label("Picture").select_option(index=0)
    _shows(page, roof_case(study, ROOF))


def test_the_papers_are_written_by_key_and_the_page_says_where(page, lab_folder):
    _group(page, PAPER)
    for name, file in (("Engineer's sheet", "engineer.html"), ("Plan to scale", "roof_plan.svg")):
        row = page.locator(".widget-hbox", has=page.get_by_label(name)).last
        row.get_by_role("button", name="Write").focus()
        page.keyboard.press("Enter")
        page.get_by_text(re.compile(rf"Written: .*{re.escape(file)}")).wait_for()
        assert (lab_folder / file).stat().st_size > 5000


def test_wind_and_ballast_answer_at_once(page):
    """The best of eight counts, as other work may run beside; the median is printed."""
    _group(page, HOLD)
    page.evaluate(CLOCK)
    page.get_by_role("slider", name="One block (kg)").focus()
    spent = []
    for _ in range(8):
        page.keyboard.press("ArrowRight")
        page.wait_for_function("() => roofClock.took > 0")
        spent.append(float(page.evaluate("roofClock.took")))
        page.wait_for_timeout(200)
    print(f"key to figures: median {statistics.median(spent):.0f} ms, best {min(spent):.0f} ms")
    assert min(spent) < PATIENCE_MS
    _back(page, "One block (kg)")


@pytest.mark.parametrize("group", [LIE, HOLD, PAPER])
def test_it_looks_whole_at_1280_pixels_in_light_and_in_dark(page, looks_whole, artefacts, group):
    _group(page, group)
    page.get_by_label("Picture").select_option(index=1)
    page.wait_for_timeout(600)
    place = page.get_by_label("Controls")
    name = group.split(",", maxsplit=1)[0].replace(" ", "_").lower()
    page.screenshot(path=artefacts / f"workbook_5_{name}_light.png")
    looks_whole(page, place, artefacts / f"workbook_5_{name}_dark.png")
