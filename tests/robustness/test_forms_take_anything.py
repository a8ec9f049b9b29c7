"""Whatever is typed into the forms is judged or told: nothing typed ends in a traceback."""

import datetime
from datetime import timedelta

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from pvkit import load_site
from pvkit.present.commission_fields import form_parts
from pvkit.present.commission_form import CommissionForm
from pvkit.present.visit_form import VisitForm

SITE = "bungalow_extension"
CONTEST = settings(
    max_examples=150, deadline=timedelta(seconds=5), database=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)  # fmt: skip
# Anything at all, half letters of a pair and all, and what is nearly right.
LETTERS = st.text(st.characters(exclude_categories=()), max_size=40)
ODD = [
    "1", "-1", "0", "1e9", "1e400", "nan", "inf", "²", "٣", "9" * 5000, "1,5", "0x10", "true", ":",
    ";", ",", "\n", " ", "V", "Hz", "2026-04", "2026-04-01", "2026-13", "9999-12-31", "0001-01-01",
    "2026-02-30", "500", "37.0", "'", "=1+1",
]  # fmt: skip
NEARLY = st.lists(st.sampled_from(ODD), max_size=12).map(" ".join)
TYPED = st.one_of(LETTERS, NEARLY)
DAYS = st.one_of(st.none(), st.dates(datetime.date(1, 1, 1), datetime.date(9999, 12, 31)))
FIELDS = {f.key: f for part in form_parts(load_site(SITE)) for f in part.fields}
TEXTS = sorted(key for key, field in FIELDS.items() if field.kind not in ("pick", "date"))
DATES = sorted(key for key, field in FIELDS.items() if field.kind == "date")


@pytest.fixture(scope="module")
def form():
    return CommissionForm(SITE, SITE)


@pytest.fixture(scope="module")
def visit():
    return VisitForm(SITE, "bungalow_second_year")


def told_or_judged(message, judged):
    """Whether there is a verdict, or else words that say why not."""
    assert (judged is not None) != ("role='alert'" in message)


@CONTEST
@given(key=st.sampled_from(TEXTS), typed=TYPED)
@example(key="main 1.module_voc_v", typed="1 " * 500)
@example(key="photo.photo", typed="::\n:")
def test_anything_typed_into_a_record_is_judged_or_told(form, key, typed):
    before = form.fields[key].value
    form.set(key, typed)
    told_or_judged(form._message.value, form.record)
    form.set(key, before)
    assert form.record is not None


@CONTEST
@given(key=st.sampled_from(DATES), day=DAYS)
def test_any_day_of_a_record_is_judged_or_told(form, key, day):
    before = form.fields[key].value
    form.set(key, day)
    told_or_judged(form._message.value, form.record)
    form.set(key, before)


@CONTEST
@given(
    name=st.sampled_from(["readings", "light", "trips", "light_source", "by", "remarks"]),
    typed=TYPED, date=DAYS, installed=DAYS,
)  # fmt: skip
@example(name="trips", typed="²", date=None, installed=None)
@example(name="trips", typed="9" * 5000, date=None, installed=None)
def test_anything_typed_into_a_visit_is_judged_or_told(visit, name, typed, date, installed):
    kept = {key: visit._fields[key].value for key in ("date", "installed", name)}
    for more in ({}, {"date": date}, {"installed": installed}):
        visit.set(**{name: typed} | more)
        visit.judge()
        told_or_judged(visit._message.value, visit.visit)
        visit.set(**kept)
    visit.judge()
    assert visit.visit is not None


@CONTEST
@given(name=LETTERS)
@example(name="x\0y")
@example(name="a" * 400)
@example(name="/dev/full")
@example(name="\ud800")
def test_any_file_name_is_taken_or_told(form, visit, name, tmp_path_factory, monkeypatch):
    monkeypatch.chdir(tmp_path_factory.mktemp("any"))
    safe = name if name == "/dev/full" else name.replace("/", "_").replace("..", "_")
    form._folder.value, form._pack.value = safe, f"{safe}.html"
    form.save()
    assert "role=" in form._message.value
    visit.set(history=safe, sheet=safe)
    visit.record()
    assert "role=" in visit._message.value
    visit.write()
    assert "role=" in visit._message.value
    visit.set(history="", sheet="")
