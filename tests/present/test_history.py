"""A history is added to and never changed, whoever writes at the same time."""

import json
import os
import subprocess
import sys

import pytest

from pvkit.errors import InputError
from pvkit.present.history import add_record, read_history

KIND = "yearly visit"


def record(number):
    return {"kind": KIND, "site": "Sample: häuschen", "number": number}


def test_records_are_read_back_in_the_order_they_were_added(tmp_path):
    file = tmp_path / "visits.jsonl"
    for number in range(3):
        assert add_record(file, record(number), KIND)
    assert [entry["number"] for entry in read_history(file, KIND)] == [0, 1, 2]


def test_no_file_is_an_empty_history(tmp_path):
    assert read_history(tmp_path / "none.jsonl", KIND) == ()


def test_adding_leaves_every_earlier_byte_alone(tmp_path):
    file = tmp_path / "visits.jsonl"
    add_record(file, record(1), KIND)
    before = file.read_bytes()
    add_record(file, record(2), KIND)
    assert file.read_bytes().startswith(before)


def test_the_same_record_is_not_added_twice(tmp_path):
    file = tmp_path / "visits.jsonl"
    assert add_record(file, record(1), KIND)
    assert not add_record(file, record(1), KIND)
    assert len(read_history(file, KIND)) == 1


def test_a_last_line_without_its_end_is_ended_first(tmp_path):
    file = tmp_path / "visits.jsonl"
    file.write_text(json.dumps(record(1)), encoding="utf-8")
    add_record(file, record(2), KIND)
    assert [entry["number"] for entry in read_history(file, KIND)] == [1, 2]


@pytest.mark.parametrize("text", ['[site]\nname = "a"\n', '{"kind": "other"}\n', '{"kind": "yea'])
def test_a_file_that_holds_anything_else_is_left_alone(text, tmp_path):
    file = tmp_path / "home.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match="line 1"):
        add_record(file, record(1), KIND)
    assert file.read_text(encoding="utf-8") == text


def test_words_with_line_breaks_of_every_kind_stay_one_record(tmp_path):
    file, words = tmp_path / "visits.jsonl", "a\u2028b\u2029c\x85d\x0be\x1cf\r\ng"
    assert add_record(file, record(1) | {"remarks": words}, KIND)
    assert add_record(file, record(2), KIND)
    assert read_history(file, KIND)[0]["remarks"] == words
    assert len(read_history(file, KIND)) == 2


def test_a_last_line_cut_short_gives_way_to_the_next_record(tmp_path):
    file = tmp_path / "visits.jsonl"
    add_record(file, record(1), KIND)
    whole = file.read_bytes()
    file.write_bytes(whole + '{"kind": "yearly visit", "site": "hä'.encode()[:-1])
    assert read_history(file, KIND) == (record(1),)
    assert add_record(file, record(2), KIND)
    assert read_history(file, KIND) == (record(1), record(2))
    assert file.read_bytes().startswith(whole)


def test_a_folder_that_is_not_there_is_told(tmp_path):
    with pytest.raises(InputError, match="cannot be written"):
        add_record(tmp_path / "none" / "visits.jsonl", record(1), KIND)


def test_a_full_disk_leaves_the_file_as_it_was(tmp_path, monkeypatch):
    file = tmp_path / "visits.jsonl"
    add_record(file, record(1), KIND)
    before = file.read_bytes()
    whole = os.write
    monkeypatch.setattr(os, "write", lambda place, data: whole(place, data[: len(data) // 2]))
    with pytest.raises(InputError, match="disk is full"):
        add_record(file, record(2), KIND)
    assert file.read_bytes() == before


def test_programs_that_write_at_once_lose_nothing(tmp_path):
    file, programs, each = tmp_path / "visits.jsonl", 2, 20
    code = (
        "import sys; from pathlib import Path; from pvkit.present.history import add_record\n"
        f"for n in range({each}):\n"
        "    record = {'kind': 'yearly visit', 'who': sys.argv[2], 'n': n, 'long': 'x' * 9000}\n"
        "    assert add_record(Path(sys.argv[1]), record, 'yearly visit')\n"
    )
    running = [
        subprocess.Popen([sys.executable, "-c", code, str(file), str(who)])
        for who in range(programs)
    ]
    assert [program.wait(60) for program in running] == [0] * programs
    found = {(entry["who"], entry["n"]) for entry in read_history(file, KIND)}
    assert len(found) == programs * each
