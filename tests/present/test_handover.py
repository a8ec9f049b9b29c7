"""The handover pack: all its parts, a draft where the tests are not complete, and as PDF."""

import html
import re
import sys

import pytest

from pvkit import load_site
from pvkit.electrical.readings import build_record, load_record
from pvkit.errors import InputError
from pvkit.present.handover import handover_html, write_handover
from pvkit.present.handover_labels import labels
from pvkit.present.handover_words import shutdown
from pvkit.present.headlines import headlines
from pvkit.present.pdf import page_pdf
from pvkit.study.changes import changed as change_site
from pvkit.study.record import commission
from tests.electrical.records import changed, whole

A4_POINTS = (595, 842)
PARTS = ("System data", "Layout plan and strings", "Wiring diagram", "Test report", "Estimate",
         "Care", "Papers to go with it", "Labels to print", "Emergency shutdown")  # fmt: skip


@pytest.fixture(scope="module")
def complete():
    site = load_site("bungalow_extension")
    return commission(site, load_record("bungalow_extension", site))


@pytest.fixture(scope="module")
def faulty():
    site = load_site("south_family_home")
    return commission(site, load_record("family_home_with_faults", site))


@pytest.fixture(scope="module")
def page(complete, bungalow):
    return handover_html(complete, bungalow.estimate())


@pytest.fixture(scope="module")
def draft(faulty, family):
    return handover_html(faulty, family.estimate())


def test_a_pack_has_all_its_parts(page):
    heads = re.findall(r"<h2>(?:\d\. )?([^<]+)</h2>", page)
    assert set(PARTS) <= set(heads)
    assert page.startswith("<!doctype html>")
    assert not re.search(r"<script|src=|https?://(?!www\.w3\.org/)", page)


def test_a_pack_of_a_complete_record_says_so(page):
    assert "<h1>Handover pack</h1>" in page
    assert "Draft" not in page


def test_an_incomplete_record_gives_a_draft_with_its_reasons_first(draft, faulty):
    text = html.unescape(draft)
    assert "<h1>Draft of the handover pack</h1>" in text
    assert "Draft: the tests are not complete" in text  # at the foot of each printed page
    assert "<b>Complete</b>" not in text
    front = text.split("Emergency shutdown")[0]
    for reason in faulty.blocking:
        assert reason in front


def test_the_estimate_stands_with_its_statement_before_it(page, bungalow):
    answer = bungalow.estimate()
    section = html.unescape(page.split("<h2>5. Estimate</h2>")[1].split("</section>")[0])
    assert section.index(answer.cautions[0]) < section.index(headlines(answer)[0].figure)
    for caution in answer.cautions:
        assert caution in html.unescape(page)


def test_the_plan_and_the_diagram_are_inside(page):
    assert page.count("<svg") >= 4  # plan, wiring, chart, signs of labels
    assert "Plan of the roof" in page
    assert "Wiring diagram of" in page


def test_stand_ins_of_the_diagram_are_to_be_written_in(page):
    assert "write in what was fitted" in html.unescape(page)
    assert "marked *" in page


def test_the_shutdown_names_the_volts_that_stay(complete, faulty):
    assert "263 V" in " ".join(shutdown(complete))
    assert "about 6 V" in " ".join(shutdown(complete))  # by the optimisers' maker
    assert "optimiser" not in " ".join(shutdown(faulty))


def test_a_battery_is_in_the_shutdown_and_on_a_label(faulty):
    site = load_site("ev_and_battery")
    record = commission(site, build_record(whole(site), site))
    for found, told in ((record, True), (faulty, False)):
        assert any("battery" in step for step in shutdown(found)) is told
        assert any(label.head == "Battery" for label in labels(found)) is told


def test_labels_keep_their_size_and_their_line(page, complete):
    found = labels(complete)
    assert page.count('class="label"') == len(found)
    for label in found:
        assert f"width:{label.width_mm}mm;height:{label.height_mm}mm" in page
        assert "{" not in label.text
    assert max(label.width_mm for label in found) * 2 + 6 <= 170  # two beside each other on A4
    assert any("263 V" in label.text for label in found)


def test_a_breaker_that_nobody_surveyed_is_left_blank_on_its_label(complete):
    site = change_site(complete.site, {"cables.ac_breaker_a": 16.0})
    known = labels(commission(site, complete.file))
    assert any("breaker ______ A" in label.text for label in labels(complete))
    assert any("breaker 16 A" in label.text for label in known)


def test_names_cannot_put_markup_in_the_pack(family):
    evil = "<img src=x onerror=alert(1)>"
    site = change_site(load_site("south_family_home"), {"site.name": evil})
    raw = changed(changed(whole(site), "record.by", evil), "network.reference", evil)
    page = handover_html(commission(site, build_record(raw, site)), family.estimate())
    assert "<img" not in page


def test_another_ending_is_refused(complete, tmp_path, bungalow):
    with pytest.raises(InputError, match=r"\.html or \.pdf"):
        write_handover(complete, tmp_path / "pack.docx", bungalow.estimate())


def test_the_pack_is_written_as_a_page_of_a4_in_pdf(complete, tmp_path, bungalow):
    file = tmp_path / "pack.pdf"
    write_handover(complete, file, bungalow.estimate())
    pdf = file.read_bytes()
    assert pdf.startswith(b"%PDF-")
    boxes = re.findall(rb"/MediaBox ?\[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    assert boxes == [] or {(round(float(w)), round(float(h))) for w, h in boxes} == {A4_POINTS}


@pytest.mark.parametrize(
    ("missing", "said"),
    [
        ("weasyprint", "pip install 'pvkit[pdf]'"),
        ("library", "Pango"),
    ],
)
def test_without_its_libraries_pdf_is_refused_with_what_to_do(missing, said, monkeypatch):
    class NoPango:
        def __getattr__(self, name):
            message = "cannot load library 'libpango-1.0-0'"
            raise OSError(message)

    monkeypatch.setitem(
        sys.modules, "weasyprint", None if missing == "weasyprint" else NoPango()
    )  # fmt: skip
    with pytest.raises(InputError) as caught:
        page_pdf("<p>x</p>")
    assert said in str(caught.value)
    assert ".html" in str(caught.value)
