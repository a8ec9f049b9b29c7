"""The forms of commissioning and yearly visit in a real JupyterLab: filled in, judged, kept."""

import copy
import datetime
import json
import re
import tomllib
from pathlib import Path
from urllib.parse import quote

import pytest

from pvkit import load_site
from pvkit.electrical.readings import build_record
from pvkit.present.check_sheet import SIGNS
from pvkit.present.record_sheet import status
from pvkit.site.samples import reading_files, record_files
from pvkit.site.visit_readings import build_visit
from pvkit.study.record import commission
from pvkit.study.visit import visit
from pvkit.study.visit_words import figures_sentence

pytestmark = pytest.mark.browser
BOOK = "8_commission_and_yearly_visit.ipynb"
SITE = "bungalow_extension"
FORM = 'form = CommissionForm("bungalow_extension", "bungalow_extension")'
VISIT = 'visit = VisitForm("bungalow_extension", "bungalow_second_year")'
LAST_WORDS = "against legionella"
PART = "Part of the record"
# Text of an output against its ground, by WCAG 2.2 (success criterion 1.4.3, contrast 4.5 to 1).
LEAST_CONTRAST = 4.5
CONTRASTS = """() => {
  const part = text => text.match(/[\\d.]+/g).map(Number);
  const light = rgb => rgb.slice(0, 3).map(v => v / 255).map(
    v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4)
    .reduce((sum, v, n) => sum + v * [0.2126, 0.7152, 0.0722][n], 0);
  const ground = e => { for (; e; e = e.parentElement) {
    const found = part(getComputedStyle(e).backgroundColor);
    if (found.length < 4 || found[3] > 0) return found; } return [255, 255, 255]; };
  const shown = [...document.querySelectorAll('.jp-OutputArea-output *')].filter(e =>
    !e.closest('svg') && e.tagName !== 'STYLE' && e.tagName !== 'OPTION' && e.offsetParent &&
    ([...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim()) || e.value));
  return shown.map(e => { const a = light(part(getComputedStyle(e).color)), b = light(ground(e));
    return [(Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05), e.tagName, e.innerText]; }); }"""
WIDE = """() => [...document.querySelectorAll('.jp-OutputArea-output, .jp-WindowedPanel-outer')]
  .filter(e => e.scrollWidth > e.clientWidth + 1).map(e => e.innerText.slice(0, 80))"""


@pytest.fixture(scope="module")
def book(keep_book):
    opened = keep_book(BOOK)
    opened.page.wait_for_function(
        "words => document.body.innerText.includes(words)", arg=LAST_WORDS, timeout=90_000
    )
    return opened


@pytest.fixture(scope="module")
def site():
    return load_site(SITE)


def raw_of(file: Path) -> dict:
    return tomllib.loads(file.read_text(encoding="utf-8"))


def cell_of(page, code):
    found = page.locator(".jp-CodeCell").filter(has_text=code)
    found.scroll_into_view_if_needed()
    return found


def rows_on_screen(form):
    """Give the title and the rows of the form's table, as a reader sees them."""
    return form.locator("table").first.evaluate(
        "t => [t.caption.innerText, [...t.rows].slice(1).map("
        "r => [...r.cells].map(c => c.innerText))]"
    )


def engine_rows(record, title):
    (group,) = [group for group in record.groups if group.title == title]
    return [[SIGNS[row.verdict], row.what, row.value, row.limit] for row in group.rows]


def shows(page, form, record, part):
    """Wait until the form shows what the engine says, end and rows; fail with what it shows."""
    head, rest = status(record)
    banner = form.get_by_role("status").first
    banner.filter(has_text=rest).wait_for(timeout=10_000)
    assert banner.inner_text().startswith(head)
    titles = {group.title for group in record.groups}
    for _ in range(50):
        title, rows = rows_on_screen(form)
        if title in titles and rows == engine_rows(record, title):
            return
        page.wait_for_timeout(100)
    assert rows == engine_rows(record, title), part


def fill(form, label, text):
    field = form.get_by_label(label, exact=True)
    field.fill(text)
    field.press("Tab")


# Part, field, how it is filled in, what is put there, and where it stands in a record.
FIELDS = [
    ("String main 1", "Module (°C)", "type", "60", ("string", 0, "module_temp_degc"), 60.0),
    ("String main 1", "Each module (V)", "type", "37, 36.8, 37.1, 36.9, 36.7, 18.2",
     ("string", 0, "module_voc_v"), [37.0, 36.8, 37.1, 36.9, 36.7, 18.2]),
    ("String main 1", "Polarity", "pick", "reversed", ("string", 0, "polarity"), "reversed"),
    ("Optimisers", "Before start, shows", "pick", "module volts",
     ("optimisers", "before_start"), "module volts"),
    ("Earth", "Frames bonded", "pick", "no", ("earth", "frame_bonded"), False),
    ("Protection as read", "Over-voltage 1", "type", "264.5 V, 1 s",
     ("protection", "over_voltage_1"), {"level": 264.5, "trip_s": 1.0}),
    ("Network operator", "Notice or consent", "type", "2026-07-20", ("network", "date"),
     datetime.date(2026, 7, 20)),
    ("Serial numbers", "Modules", "type", "M-70311, M-70312", ("serials", "modules"),
     ["M-70311", "M-70312"]),
    ("Photos", "Photos", "type", "roof é <1>.jpg: fixings & wires", ("photo",),
     [{"file": "roof é <1>.jpg", "shows": "fixings & wires"}]),
    ("Loss of mains", "Stops after (s)", "type", "", ("loss_of_mains", "stop_s"), None),
]  # fmt: skip


def changed(raw, place, value):
    raw = copy.deepcopy(raw)
    inside = raw
    for key in place[:-1]:
        inside = inside[key]
    if value is None:
        del inside[place[-1]]
    else:
        inside[place[-1]] = value
    return raw


@pytest.mark.parametrize("case", FIELDS, ids=[f"{part}, {label}" for part, label, *_ in FIELDS])
def test_every_kind_of_field_is_judged_as_the_engine_judges_it(book, site, case):
    part, label, how, typed, place, value = case
    raw = raw_of(record_files()[SITE])
    form = cell_of(book.page, FORM)
    form.get_by_label(PART).select_option(part)
    field = form.get_by_label(label, exact=True)
    before = field.evaluate("e => e.tagName === 'SELECT' ? e.selectedOptions[0].text : e.value")
    shows(book.page, form, commission(site, build_record(raw, site)), part)
    (form.get_by_label(label, exact=True).select_option if how == "pick" else field.fill)(typed)
    field.press("Tab")
    record = commission(site, build_record(changed(raw, place, value), site))
    shows(book.page, form, record, part)
    (field.select_option if how == "pick" else field.fill)(before)
    field.press("Tab")
    shows(book.page, form, commission(site, build_record(raw, site)), part)
    assert book.errors == []


def test_what_is_no_number_is_told_and_nothing_stays_judged(book):
    form = cell_of(book.page, FORM)
    form.get_by_label(PART).select_option("Earth")
    fill(form, "Continuity (Ω)", "0,18")
    alert = form.get_by_role("alert")
    alert.wait_for(timeout=10_000)
    assert "continuity_ohm" in alert.inner_text()
    assert form.get_by_role("status").first.inner_text().startswith("Not judged")
    fill(form, "Continuity (Ω)", "0.18")
    form.get_by_role("status").filter(has_text="Every test is recorded").wait_for(timeout=10_000)
    assert form.get_by_role("alert").count() == 0


def kept(page, lab, path):
    """Read a file that the notebook wrote, through the server."""
    answer = page.request.get(f"{lab}/api/contents/workbooks/{quote(path)}?type=file&format=text")
    assert answer.ok, path
    return answer.json()["content"]


def test_saving_tells_where_and_a_second_record_gets_a_name_of_its_own(book, site, lab, artefacts):
    page, form = book.page, cell_of(book.page, FORM)
    form.get_by_label(PART).select_option("Day and person")
    fill(form, "Notes", "dd: ladder, façade <b>")
    fill(form, "Keep it in folder", "kept é records")
    names = []
    for end in ("2026-05-14", "2026-05-14_2"):
        form.get_by_role("button", name="Save the record").click()
        told = form.get_by_role("status").filter(has_text=f"{end}.json")
        told.wait_for(timeout=10_000)
        names += [re.search(r"kept é records/[\w-]+(?=\.json)", told.inner_text())[0]]
    page.screenshot(path=artefacts / "workbook_8_saved.png")
    assert names[1] == names[0] + "_2"
    raw = changed(raw_of(record_files()[SITE]), ("record", "notes"), "dd: ladder, façade <b>")
    engine = commission(site, build_record(raw, site)).facts()
    assert json.loads(kept(page, lab, f"{names[0]}.json")) == json.loads(json.dumps(engine))
    assert "façade &lt;b&gt;" in kept(page, lab, f"{names[0]}.html")


def test_a_folder_that_is_not_there_and_a_draft_are_told(book, lab):
    page, form = book.page, cell_of(book.page, FORM)
    fill(form, "Keep it in folder", "no/such/folder")
    form.get_by_role("button", name="Save the record").click()
    form.get_by_role("alert").filter(has_text="cannot be written").wait_for(timeout=10_000)
    form.get_by_label(PART).select_option("Tried with the system on")
    form.get_by_label("Inverter starts").select_option("not recorded")
    fill(form, "Handover pack", "pack.html")
    form.get_by_role("button", name="Write the pack").click()
    told = form.get_by_role("status").filter(has_text="Draft written, not complete: pack.html")
    told.wait_for(timeout=30_000)
    assert "Draft of the handover pack" in kept(page, lab, "pack.html")
    form.get_by_label("Inverter starts").select_option("yes")
    fill(form, "Keep it in folder", "records")


def test_the_commissioning_form_is_filled_in_by_keyboard_alone(book):
    page, form = book.page, cell_of(book.page, FORM)
    cells = page.locator(".jp-Cell").count()
    form.get_by_label(PART).select_option("Day and person")
    form.get_by_label(PART).focus()
    page.keyboard.press("ArrowDown")
    form.get_by_label("Light (W/m²)").wait_for(timeout=10_000)
    page.keyboard.press("Tab")
    page.keyboard.press("ControlOrMeta+a")
    page.keyboard.type("650")
    for _ in range(2):
        page.keyboard.press("Tab")
    page.keyboard.press("ArrowDown")  # polarity: from correct to reversed
    form.get_by_role("status").filter(has_text="1 failed").wait_for(timeout=10_000)
    page.keyboard.press("ArrowUp")
    form.get_by_role("status").filter(has_text="Every test is recorded").wait_for(timeout=10_000)
    for _ in range(20):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.innerText") == "Save the record":
            break
    page.keyboard.press("Enter")
    form.get_by_role("status").filter(has_text="Record kept").wait_for(timeout=10_000)
    assert page.locator(".jp-Cell").count() == cells


@pytest.fixture
def readings():
    return raw_of(reading_files()["bungalow_second_year"])


def shows_visit(form, found):
    """Wait until the form shows the engine's verdict, its figures and every row that fails."""
    said = form.get_by_role("status").filter(has_text=figures_sentence(found))
    said.wait_for(timeout=10_000)
    text = said.inner_text()
    assert text.startswith(found.level.capitalize())
    for place in found.look_at:
        assert place in text
    assert [line for line in text.splitlines() if SIGNS["fail"] in line] == [
        f"{SIGNS['fail']} {row.what}: {row.value}" for row in found.failing
    ]


def judged(site, raw):
    return visit(site, build_visit(raw, "form", Path()))


def test_the_visit_form_gives_the_engines_verdict_whatever_is_changed(book, site, readings):
    form = cell_of(book.page, VISIT)
    shows_visit(form, judged(site, readings))
    fill(form, "Visited", "2027-04-03")
    form.get_by_text("Changed since it was judged").wait_for(timeout=10_000)
    fill(form, "Switched on", "2024-10-12")
    fill(form, "By", "someone else")
    fill(form, "Meter or months", "2026-04-01 2381\n2027-04-01 4079")
    fill(form, "Light (kWh/m²)", "")
    fill(form, "Over-voltage trips", "3")
    fill(form, "Remarks", "<i>wet</i>")
    form.get_by_label("Gutters and outlets").select_option("fault")
    form.get_by_label("Labels").select_option("not looked at")
    form.get_by_role("button", name="Judge the visit").click()
    readings["visit"] |= {"date": datetime.date(2027, 4, 3), "by": "someone else",
                          "installed": datetime.date(2024, 10, 12),
                          "remarks": "<i>wet</i>"}  # fmt: skip
    readings["meter"][1]["kwh"] = 4079
    readings["checks"] |= {"gutters": "fault", "over_voltage_trips": 3}
    del readings["irradiation"], readings["checks"]["labels"]
    found = judged(site, readings)
    assert found.level == "low"
    shows_visit(form, found)
    assert form.get_by_text("Changed since it was judged").count() == 0


def test_readings_that_run_backwards_are_told_and_no_verdict_stays(book):
    form = cell_of(book.page, VISIT)
    fill(form, "Meter or months", "2026-04-01 4779\n2027-04-01 2381")
    form.get_by_role("button", name="Judge the visit").click()
    form.get_by_role("alert").filter(has_text="runs backwards").wait_for(timeout=10_000)
    assert form.get_by_role("status").first.inner_text().startswith("Not judged")


def test_months_typed_in_draw_their_picture_and_are_kept_by_keyboard_alone(
    book, site, lab, artefacts
):
    page, form = book.page, cell_of(book.page, VISIT)
    kwh = [140, 190, 210, 205]
    typed = "\n".join(f"2026-{4 + n:02d} {each}" for n, each in enumerate(kwh))
    form.get_by_label("Meter or months").focus()
    page.keyboard.press("ControlOrMeta+a")
    page.keyboard.type(typed)
    for text in ("", None, None, None, "visits é.jsonl", "sheet of 2027.html"):
        page.keyboard.press("Tab")
        if text is not None:
            page.keyboard.press("ControlOrMeta+a")
            page.keyboard.press("Delete")
            page.keyboard.type(text)
    presses = ("Enter", "Enter", "Space")
    outcomes = ("", "Record added to visits é.jsonl", "Sheet written: sheet of 2027.html")
    for press, outcome in zip(presses, outcomes, strict=True):
        page.keyboard.press("Tab")
        page.keyboard.press(press)
        form.locator(".js-plotly-plot .main-svg").first.wait_for(timeout=10_000)
        if outcome:
            form.get_by_role("status").filter(has_text=outcome).wait_for(timeout=10_000)
    page.screenshot(path=artefacts / "workbook_8_visit_by_keyboard.png")
    record = json.loads(kept(page, lab, "visits é.jsonl"))
    days = {"date": datetime.date(2027, 4, 3), "installed": datetime.date(2024, 10, 12)}
    found = judged(site, {"visit": days, "monthly": {"first": "2026-04", "kwh": kwh}})
    assert record["verdict"] == found.level
    assert record["made_kwh"] == found.made_kwh
    assert record["expected_kwh"] == pytest.approx(found.should.total_kwh, rel=1e-12)
    assert found.level.capitalize() in kept(page, lab, "sheet of 2027.html")
    form.get_by_role("button", name="Add to the history").click()
    form.get_by_role("status").filter(has_text="stood already in").wait_for(timeout=10_000)
    assert kept(page, lab, "visits é.jsonl").count("\n") == 1


def test_light_and_dark_read_well_and_nothing_scrolls_sideways(book, artefacts):
    page = book.page
    for theme in ("JupyterLab Dark", "JupyterLab Light"):
        page.get_by_role("menuitem", name="Settings", exact=True).click()
        page.locator(".lm-Menu-itemLabel", has_text=re.compile("^Theme$")).hover()
        page.locator(".lm-Menu-itemLabel", has_text=re.compile(f"^{theme}$")).click()
        page.wait_for_timeout(1500)
        found = page.evaluate(CONTRASTS)
        assert len(found) > 300
        assert [each for each in found if each[0] < LEAST_CONTRAST] == []
        assert page.evaluate(WIDE) == []
        for name, code in (("commission", FORM), ("visit", VISIT)):
            cell_of(page, code).evaluate("e => e.scrollIntoView({block: 'start'})")
            page.wait_for_timeout(300)
            page.screenshot(path=artefacts / f"workbook_8_{name}_{theme[11:].lower()}.png")
    assert book.errors == []
    assert book.strangers == []
