"""Names and notes with markup, quotes, templates and formulas in every page and panel.

Each page is read as a browser reads HTML: the hostile word must be there as words, and must not
have become an element, an attribute or the result of a sum.
"""

import importlib
from types import SimpleNamespace
from zipfile import ZipFile

import pytest

from pvkit import estimate, load_site
from pvkit.present.check_sheet import check_html, check_text
from pvkit.present.engineer_sheet import engineer_sheet_html
from pvkit.present.firm import Firm
from pvkit.present.guess_book import Guess, GuessBook
from pvkit.present.handover import handover_html
from pvkit.present.lesson_pages import summary_html
from pvkit.present.plan_drawing import plan_svg
from pvkit.present.portfolio_page import portfolio_page
from pvkit.present.record_sheet import record_html, record_text
from pvkit.present.report import Sender, report_html
from pvkit.present.spreadsheet import write_spreadsheet
from pvkit.present.visit_sheet import visit_html, visit_text
from pvkit.present.wiring_diagram import wiring_svg
from pvkit.present.wiring_parts import system_wiring
from pvkit.study.invented_list import invented_sites
from pvkit.study.lesson import questions
from pvkit.study.parts_folder import PartsFolder
from pvkit.study.portfolio import portfolio
from pvkit.study.site_check import check_site
from pvkit.study.site_list import read_sites
from pvkit.study.study import Study
from tests.robustness.hostile import (
    HOSTILE,
    hostile_file,
    hostile_record,
    hostile_visit,
    refuse_markup,
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("hostile")


@pytest.fixture(scope="module")
def site(folder):
    return load_site(hostile_file(folder))


@pytest.fixture(scope="module")
def answer(site):
    return estimate(site)


@pytest.fixture(scope="module")
def record(folder):
    return hostile_record(folder)


@pytest.fixture(scope="module")
def visit(folder):
    return hostile_visit(folder)


@pytest.fixture(scope="module")
def given(site, answer, record, visit):
    return SimpleNamespace(site=site, answer=answer, record=record, visit=visit)


def lesson_sheet(answer):
    asked = {question.id: question for question in questions(answer)}
    step = next(iter(asked))
    return summary_html(HOSTILE, asked, GuessBook(guesses={step: Guess(step, 1.0, 2.0)}))


# Each page, and in how many places it shows the word at least.
PAGES = {
    "report": (40, lambda it: report_html(it.answer)),
    "report with a letterhead": (43, lambda it: report_html(
        it.answer, Sender(Firm(HOSTILE, HOSTILE, HOSTILE)))),
    "report on paper": (40, lambda it: report_html(it.answer, paper=True)),
    "record": (20, lambda it: record_html(it.record)),
    "handover pack": (40, lambda it: handover_html(it.record, it.answer)),
    "visit": (4, lambda it: visit_html(it.visit)),
    "engineer's sheet": (5, lambda it: engineer_sheet_html(it.site)),
    "check sheet": (20, lambda it: check_html(check_site(it.site))),
    "plan": (5, lambda it: plan_svg(it.site)),
    "wiring diagram": (2, lambda it: wiring_svg(system_wiring(it.site, it.record.file), HOSTILE)),
    "lesson's summary": (1, lambda it: lesson_sheet(it.answer)),
}  # fmt: skip


@pytest.mark.parametrize("page", PAGES)
def test_a_page_shows_names_as_words(page, given):
    shown, make = PAGES[page]
    refuse_markup(make(given), shown)


def test_the_page_on_many_sites_shows_names_and_faults_as_words(folder):
    homes = invented_sites(4).astype(object)
    homes.loc[0, "site.name"] = HOSTILE
    homes.loc[1, "site.terrain"] = HOSTILE
    homes.to_csv(folder / f"list {HOSTILE[:3]} é.csv", index=False)
    listed = read_sites(folder / f"list {HOSTILE[:3]} é.csv")
    table = portfolio(listed, PartsFolder(folder / "parts"))
    assert (table["fault"] != "").sum() == 1
    assert portfolio_page(table).count("pve onpve") == 2
    refuse_markup(portfolio_page(table), 1)


def test_plain_text_shows_names_as_they_are(site, record, visit):
    for text in (check_text(check_site(site)), record_text(record), visit_text(visit)):
        assert HOSTILE in "".join(text.split("\n")) or "pve" in text
        assert "{{7*7}}" in text


# Panels of the workbooks: module, class, and arguments beside the site file.
PANELS = {
    "ScenarioPanel": "panel", "ShadePanel": "shade_panel", "LessonPanel": "lesson_panel",
    "FlatRoofPanel": "roof_panel", "CommissionForm": "commission_form",
    "VisitForm": "visit_form",
}  # fmt: skip


def html_values(widget):
    """Yield what every HTML widget below one shows."""
    if type(widget).__name__ in ("HTML", "HTMLMath"):
        yield widget.value
    for child in getattr(widget, "children", ()):
        yield from html_values(child)


@pytest.mark.parametrize("name", PANELS)
def test_a_panel_shows_names_as_words(name, folder):
    panel = getattr(importlib.import_module(f"pvkit.present.{PANELS[name]}"), name)
    view = panel(str(hostile_file(folder))).view
    for value in html_values(view.widget):
        refuse_markup(value, 0)
    refuse_markup(view._repr_mimebundle_()["text/html"], 0)


def test_the_forms_show_what_is_typed_as_words(folder):
    from pvkit.present.commission_form import CommissionForm
    from pvkit.present.visit_form import VisitForm

    file = str(hostile_file(folder))
    form = CommissionForm(file)
    form.set("network.reference", HOSTILE)
    form.set("earth.continuity_ohm", HOSTILE)
    form._folder.value = HOSTILE
    form.save()
    assert "pve" in form._message.value
    visits = VisitForm(file)
    visits.set(readings=f"2026-04 {HOSTILE}", light=HOSTILE, trips=HOSTILE, history=HOSTILE)
    visits.record()
    assert "pve" in visits._message.value
    for view in (form.view, visits.view):
        for value in html_values(view.widget):
            refuse_markup(value, 0)


FORMULAS = ("=PVE()", "+PVE()", "-PVE()", "@PVE()", "\t=PVE()", '=HYPERLINK("http://PVE","x")',
            "=cmd|' /C PVE'!A1", " =PVE()", "＝PVE()", "'=PVE()")  # fmt: skip


def test_words_of_a_spreadsheet_are_never_formulas(answer, tmp_path):
    changes = {
        "site.name": FORMULAS[0],
        "costs.items": [{"name": word, "gbp": 100.0} for word in FORMULAS],
        "costs.replacements": [{"name": word, "year": 3, "gbp": 5.0} for word in FORMULAS],
    }
    file = tmp_path / "money.xlsx"
    write_spreadsheet(Study(answer.site).change(changes).estimate(), file)
    with ZipFile(file) as archive:
        parts = {name: archive.read(name).decode("utf-8") for name in archive.namelist()}
    formulas = [part.split("</f>")[0] for text in parts.values() for part in text.split("<f>")[1:]]
    assert len(formulas) > 100
    assert not [formula for formula in formulas if "PVE" in formula]
    shown = {name: text.count("PVE") for name, text in parts.items() if "PVE" in text}
    assert all(name.startswith("xl/worksheets/") for name in shown)
    assert sum(shown.values()) == 1 + 2 * len(FORMULAS)


@pytest.mark.parametrize(
    "page",
    [
        f"<p>{HOSTILE}</p>",
        "<p onclick=1>x</p>",
        "<script>1</script>",
        f"<p title='{HOSTILE}'>x</p>",
    ],
)
def test_the_search_finds_what_slips_through(page):
    with pytest.raises(AssertionError):
        refuse_markup(page, 0)
