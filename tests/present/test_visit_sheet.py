"""The record of a visit on paper and in the terminal, and the form of the workbook."""

import datetime
import json
import re
from dataclasses import replace
from pathlib import Path

import pytest

from pvkit import load_site
from pvkit.present.history import read_history
from pvkit.present.visit_form import VisitForm
from pvkit.present.visit_sheet import visit_html, visit_picture, visit_text
from pvkit.site.visit_readings import load_visit
from pvkit.study.visit import visit
from pvkit.study.visit_earlier import Earlier

READINGS = Path(__file__).parents[2] / "sample_sites" / "readings"
SAMPLES = {
    "bungalow_extension": "bungalow_second_year",
    "east_west_pair": "east_west_low_since_autumn",
    "south_family_home": "family_home_october",
}


@pytest.fixture(scope="module")
def visits():
    return {
        site: visit(load_site(site), load_visit(READINGS / f"{name}.toml"))
        for site, name in SAMPLES.items()
    }


@pytest.mark.parametrize("site", SAMPLES)
def test_the_page_holds_every_row_the_verdict_and_the_cautions(site, visits):
    found = visits[site]
    page = visit_html(found)
    said = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page)).replace("&#39;", "'")
    for group in found.groups:
        for row in group.rows:
            assert row.what in said
            assert row.value in said
    assert found.level.capitalize() in said
    for text in (*found.cautions, *found.look_at, *found.facts()["notes"]):
        assert text in said
    assert "<script" not in page
    assert "http" not in page.replace("http://www.w3.org", "")


def test_what_a_person_wrote_is_escaped(visits):
    found = visits["bungalow_extension"]
    day = found.readings.file.visit.model_copy(update={"remarks": "<b>wet & dirty</b>"})
    file = found.readings.file.model_copy(update={"visit": day})
    page = visit_html(replace(found, readings=replace(found.readings, file=file)))
    assert "&lt;b&gt;wet &amp; dirty" in page
    assert "<b>wet" not in page


@pytest.mark.parametrize("site", SAMPLES)
def test_the_text_says_what_the_facts_say(site, visits):
    facts = visits[site].facts()
    text = visit_text(visits[site])
    assert facts["sentence"] in text
    for place in facts["look_at"]:
        assert place in text
    for what in facts["not_looked_at"]:
        assert what in text


def test_the_samples_show_a_sound_year_a_string_gone_and_a_month_that_tells_little(visits):
    assert [visits[site].level for site in SAMPLES] == ["as expected", "low", "as expected"]
    assert visits["east_west_pair"].look_at[0].startswith("the whole array 'evening'")
    assert "could hide a lack of a fifth" in visits["south_family_home"].facts()["sentence"]


def test_the_facts_hold_no_number_that_is_none(visits):
    for found in visits.values():
        json.dumps(found.facts(), allow_nan=False)


def test_a_picture_needs_three_stretches(visits):
    picture = visit_picture(visits["east_west_pair"])
    assert picture is not None
    assert len(picture.labels) == len(picture.series[0].values) == 12
    assert visit_picture(visits["bungalow_extension"]) is None


def test_earlier_visits_stand_on_the_sheet():
    site = load_site("bungalow_extension")
    readings = load_visit(READINGS / "bungalow_second_year.toml")
    earlier = Earlier("2026-04-01", 1.02, "as expected", "invented monthly figures", 0.015)
    page = visit_html(visit(site, readings, earlier=[earlier]))
    assert "2026-04-01" in page
    assert "Against its own earlier visits" in page


@pytest.fixture(scope="module")
def form():
    return VisitForm("bungalow_extension")


def _filled(form, **more):
    form.set(date=datetime.date(2027, 4, 1), installed=datetime.date(2025, 4, 1))
    form.set(readings="2026-04-01 2381\n2027-04-01 4779", light="", trips="0")
    form.set(history="", sheet="")
    form.set(**more)


def test_the_form_gives_the_engines_verdict(form, visits):
    light = visits["bungalow_extension"].readings.light
    lines = [f"2026-{4 + n:02d} {value}" for n, value in enumerate(light.kwh_per_m2[:9])]
    lines += [f"2027-{1 + n:02d} {value}" for n, value in enumerate(light.kwh_per_m2[9:])]
    _filled(form, light="\n".join(lines), light_source="invented monthly figures", panels="good")
    form.judge()
    assert form._message.value == ""
    assert form.visit.ratio == pytest.approx(visits["bungalow_extension"].ratio, rel=1e-9)
    assert form.say() == form.visit.facts()["sentence"]
    twin = form.view._repr_mimebundle_()["text/html"]
    assert form.say() in twin.replace("&#x27;", "'")


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"readings": "2026-04-01"}, "line 1"),
        ({"readings": "2026-04-01 5000\n2027-04-01 4779"}, "runs backwards"),
        ({"installed": None}, "visit.installed"),
        ({"trips": "three"}, "over_voltage_trips"),
        ({"light": "2026-04 900"}, "0 to 400"),
    ],
)
def test_the_form_shows_what_is_wrong(form, more, said):
    _filled(form, **more)
    form.judge()
    assert said in form._message.value
    assert "role='alert'" in form._message.value


def test_the_form_records_and_writes(form, tmp_path):
    history, sheet = tmp_path / "visits.jsonl", tmp_path / "visit.html"
    _filled(form, history=str(history), sheet=str(sheet))
    form.record()
    form.record()
    form.write()
    assert len(read_history(history, "yearly visit")) == 1
    assert "stood already" not in form._message.value
    assert sheet.read_text(encoding="utf-8").startswith("<!doctype html>")


@pytest.mark.parametrize("site", SAMPLES)
def test_a_form_begun_with_a_file_gives_the_files_verdict(site, visits):
    begun = VisitForm(site, READINGS / f"{SAMPLES[site]}.toml")
    assert begun._message.value == ""
    assert begun.visit.facts() == visits[site].facts()


def test_no_verdict_stays_beside_readings_that_it_is_not_of(form):
    _filled(form)
    form.judge()
    assert form.visit is not None
    form.set(readings="2026-04-01 5000\n2027-04-01 4779")
    assert "Changed since it was judged" in form._message.value
    form.judge()
    assert form.visit is None
    assert "Not judged" in form._verdict.value
    assert "Not judged" in form.say()
    _filled(form)
    form.judge()
    assert form._message.value == ""
    assert form.visit is not None


def test_a_form_without_a_file_name_says_so(form):
    _filled(form)
    form.record()
    assert "file name" in form._message.value
