"""The commissioning form without a browser: filled, judged, saved; what is wrong is shown."""

import html
import json

import pytest

from pvkit import load_site
from pvkit.electrical.readings import build_record, load_record
from pvkit.electrical.record_file import RecordFile
from pvkit.present.commission_fields import form_parts
from pvkit.present.commission_form import CommissionForm
from pvkit.present.commission_typed import raw_record, typed_record
from pvkit.site.samples import sample_sites
from tests.electrical.records import whole

SITE, PLAIN = "bungalow_extension", "south_family_home"


@pytest.fixture
def form(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return CommissionForm(SITE, SITE)


def press(form: CommissionForm, label: str) -> None:
    next(b for b in form._buttons.children if b.description == label).click()


def test_every_key_of_a_record_has_its_field():
    for sample in sample_sites():
        site = load_site(sample.name)
        keys = {f.key for part in form_parts(site) for f in part.fields}
        assert len(keys) == sum(len(part.fields) for part in form_parts(site))
        for table, field in RecordFile.model_fields.items():
            if table not in ("string", "photo", "optimisers"):
                for key in field.annotation.model_fields:
                    assert f"{table}.{key}" in keys


@pytest.mark.parametrize("name", ["bungalow_extension", "family_home_with_faults"])
def test_a_record_put_into_the_form_comes_out_the_same(name):
    site = load_site(SITE if name == SITE else PLAIN)
    file, parts = load_record(name, site), form_parts(site)
    typed = {f.key: "" for part in parts for f in part.fields} | typed_record(parts, file)
    assert build_record(raw_record(parts, typed), site) == file


def test_an_empty_form_is_not_complete_and_names_what_is_left():
    form = CommissionForm(PLAIN)
    assert not form.record.complete
    assert "Loss-of-mains test" in form._status.value
    assert form.say().startswith("Sample: family home")
    assert "Not complete" in form.say()


def test_a_form_filled_in_by_hand_completes_the_record():
    site = load_site(PLAIN)
    form = CommissionForm(PLAIN)
    file = build_record(whole(site), site)
    for key, value in typed_record(form_parts(site), file).items():
        form.set(key, value)
    assert form.record.complete
    assert form.record.file == file


@pytest.mark.parametrize(
    ("key", "value", "reason"),
    [
        ("main 1.polarity", "reversed", "Polarity: reversed"),
        ("main 1.insulation_minus_mohm", "0.4", "0.4 MΩ"),
        ("loss_of_mains.stayed_off", None, "stays off: not recorded"),
        ("protection.over_voltage_1", "264.5 V, 1 s", "264.5 V"),
    ],
)
def test_each_change_is_judged_at_once(form, key, value, reason):
    assert form.record.complete
    form.set(key, value)
    assert reason in form.record.blocking[0]
    assert reason in form._status.value
    assert "Not complete" in form._status.value


def test_what_is_no_number_is_named_and_no_earlier_end_stays_on_the_screen(form):
    form.set("earth.continuity_ohm", "0,2")
    assert "continuity_ohm" in form._message.value
    assert "role='alert'" in form._message.value
    assert "Complete" not in form._status.value
    assert "Complete" not in form.say()
    press(form, "Save the record")
    assert "role='alert'" in form._message.value
    form.set("earth.continuity_ohm", "0.2")
    assert form._message.value == ""
    assert form.record.complete


def test_every_part_shows_its_own_fields_and_rows(form):
    for part in form_parts(load_site(SITE)):
        form._part.value = part.title
        shown = [field.description for field in form._shown.children]
        assert shown == [field.label for field in part.fields]
        assert form._rows.value.count("<tr>") > 1


def test_saving_says_where_and_keeps_every_record(form, tmp_path):
    press(form, "Save the record")
    press(form, "Save the record")
    kept = sorted((tmp_path / "records").glob("*.json"))
    assert len(kept) == 2
    assert json.loads(kept[0].read_text(encoding="utf-8"))["complete"]
    assert "role='status'" in form._message.value
    assert kept[1].name in form._message.value


def test_a_folder_that_cannot_be_written_is_told_and_not_raised(form, tmp_path):
    (tmp_path / "file").write_text("x", encoding="utf-8")
    form._folder.value = "file"
    press(form, "Save the record")
    assert "cannot be written" in form._message.value
    assert form.record.complete


def test_the_pack_of_an_incomplete_record_is_called_a_draft(form, tmp_path):
    form.set("works.starts", None)
    press(form, "Write the pack")
    assert "Draft written, not complete" in form._message.value
    assert "Draft of the handover pack" in (tmp_path / "handover.html").read_text(encoding="utf-8")


def test_markup_in_notes_stays_text(form):
    form.set("network.reference", "<img src=x>")
    form._part.value = "Network operator"
    assert "<img" not in form._rows.value
    assert "&lt;img" in form._rows.value


def test_the_saved_twin_holds_the_end_and_every_row(form):
    twin = form.view._repr_mimebundle_()
    for row in form.record.rows:
        assert row.what in html.unescape(twin["text/html"])
    assert "Complete" in twin["text/html"]
    assert twin["text/plain"] == form.say()
