"""A record kept and shown: never written over, never called complete when it is not, escaped."""

import html
import json
import re
from concurrent.futures import ThreadPoolExecutor

import pytest

from pvkit import load_site
from pvkit.electrical.readings import build_record, load_record
from pvkit.errors import InputError
from pvkit.present.record_files import save_record, write_new
from pvkit.present.record_sheet import record_html, record_text, status
from pvkit.study.changes import changed as change_site
from pvkit.study.record import commission, read_record
from tests.electrical.records import changed, whole

EVIL = "<script>alert('x')</script> & <b>"


@pytest.fixture(scope="module")
def complete():
    site = load_site("bungalow_extension")
    return commission(site, load_record("bungalow_extension", site))


@pytest.fixture(scope="module")
def faulty():
    site = load_site("south_family_home")
    return commission(site, load_record("family_home_with_faults", site))


def test_a_kept_record_reads_back_equal_and_has_its_page(complete, tmp_path):
    files = save_record(complete, tmp_path / "records")
    assert read_record(files.json.read_text(encoding="utf-8")) == complete
    assert files.html.read_text(encoding="utf-8") == record_html(complete)
    assert "2026-05-14" in files.json.name
    assert "not_complete" not in files.json.name


def test_an_incomplete_record_says_so_in_its_name_and_on_its_page(faulty, tmp_path):
    files = save_record(faulty, tmp_path)
    page = html.unescape(files.html.read_text(encoding="utf-8"))
    assert "not_complete" in files.json.name
    assert "<b>Not complete</b>" in page
    assert "<b>Complete</b>" not in page
    for row in faulty.failing:
        assert row.what in page
    assert not json.loads(files.json.read_text(encoding="utf-8"))["complete"]


def test_an_earlier_record_is_never_written_over(complete, tmp_path):
    first = save_record(complete, tmp_path)
    first.json.write_text("kept", encoding="utf-8")
    second, third = save_record(complete, tmp_path), save_record(complete, tmp_path)
    assert first.json.read_text(encoding="utf-8") == "kept"
    assert len({first.json, second.json, third.json}) == 3
    assert second.json.stem.endswith("_2")
    assert second.json.stem == second.html.stem


def test_a_name_half_taken_is_passed_over_for_both_files(complete, tmp_path):
    first = save_record(complete, tmp_path)
    first.html.unlink()
    second = save_record(complete, tmp_path)
    assert second.json.stem == second.html.stem != first.json.stem
    assert not first.html.exists()


def test_many_at_once_get_a_name_each_and_leave_no_scraps(complete, tmp_path):
    with ThreadPoolExecutor(16) as pool:
        kept = list(pool.map(lambda _: save_record(complete, tmp_path), range(24)))
    assert len({files.json for files in kept}) == 24
    assert len(list(tmp_path.iterdir())) == 48
    assert all(read_record(f.json.read_text(encoding="utf-8")) == complete for f in kept)


def test_a_taken_name_is_left_alone_where_links_are_not_known(tmp_path, monkeypatch):
    def refuse(*_):
        raise OSError(95, "no links on this disk")

    monkeypatch.setattr("os.link", refuse)
    assert write_new(tmp_path / "a", "first")
    assert not write_new(tmp_path / "a", "second")
    assert (tmp_path / "a").read_text(encoding="utf-8") == "first"
    assert [path.name for path in tmp_path.iterdir()] == ["a"]


def test_a_folder_that_cannot_be_made_is_named(complete, tmp_path):
    (tmp_path / "file").write_text("x", encoding="utf-8")
    for folder in (tmp_path / "file", tmp_path / "no" / "such"):
        with pytest.raises(InputError, match="cannot be written"):
            save_record(complete, folder)


def test_names_and_notes_cannot_put_markup_on_the_page(tmp_path):
    site = change_site(load_site("south_family_home"), {"site.name": EVIL})
    raw = changed(changed(whole(site), "record.notes", EVIL), "record.by", EVIL)
    raw = changed(raw, "photo", [{"file": EVIL, "shows": EVIL}])
    raw = changed(raw, "serials.inverter", EVIL)
    record = commission(site, build_record(raw, site))
    page = record_html(record)
    assert "<script" not in page
    assert page.count("&lt;script&gt;") >= 6
    files = save_record(record, tmp_path)
    assert re.fullmatch(r"[\w-]+", files.json.stem)
    assert files.json.parent == tmp_path


def test_the_status_counts_what_failed_and_what_is_missing(faulty):
    head, rest = status(faulty)
    assert head == "Not complete"
    assert f"{len(faulty.failing) - len(faulty.missing)} failed" in rest
    assert f"{len(faulty.missing)} is not recorded" in rest
    assert ": ".join(status(faulty)) in record_text(faulty)


def test_no_line_of_the_text_is_wider_than_the_page(complete, faulty):
    for record in (complete, faulty):
        sheet = record_text(record).split("\n\n", 1)[1]
        assert max(map(len, sheet.splitlines())) <= 100


def test_the_page_fetches_nothing_and_carries_the_cautions(complete):
    page = html.unescape(record_html(complete))
    assert not re.search(r"<script|src=|https?://", page)
    for caution in complete.cautions:
        assert caution in page
