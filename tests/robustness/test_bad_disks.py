"""A disk that is full, a folder that is closed: a message, the old file whole, nothing left over.

The disk is filled by the system's own limit on the size of a file (RLIMIT_FSIZE): a write stops
in its middle, after some bytes have truly been written.
"""

import errno
import os
import tempfile
from pathlib import Path

import pandas as pd
import pytest

from pvkit.errors import InputError
from pvkit.present.files import write_bytes, write_text
from pvkit.present.guess_book import GuessBook
from pvkit.present.handover import write_handover
from pvkit.present.history import add_record, read_history
from pvkit.present.record_files import save_record, write_new
from pvkit.present.record_sheet import record_html
from pvkit.present.report import write_report
from pvkit.present.scenario_file import save_scenario
from pvkit.study.lesson import questions
from pvkit.study.parts_folder import write_parquet
from pvkit.study.record import record_json
from pvkit.study.scenarios import Scenario

KIND = "yearly visit"
VISIT = {"kind": KIND, "site": "Sample", "remarks": "x" * 9000}
TABLE = pd.DataFrame({"kwh": range(5000)})
SMALL, NOTE = 4096, "n" * 400
# Every writer that replaces a file: its name, what it is called, and how it is asked to write.
WRITERS = {
    "text": ("a.txt", lambda path, *_: write_text(path, "x" * 9000)),
    "bytes": ("a.bin", lambda path, *_: write_bytes(path, b"x" * 9000)),
    "report": ("report.html", lambda path, answer, _: write_report(answer, path)),
    "spreadsheet": ("money.xlsx", lambda path, answer, _: write_report(answer, path)),
    "handover pack": ("pack.html", lambda path, answer, rec: write_handover(rec, path, answer)),
    "scenario": ("s.toml", lambda path, *_: save_scenario(path, Scenario(name="b", note=NOTE))),
    "results of many sites": ("a.parquet", lambda path, *_: write_parquet(path, TABLE)),
}  # fmt: skip
OLD = {"s.toml": '[[scenario]]\nname = "a"\nchanges = { "array.main.count" = 4 }\n'}


@pytest.fixture(params=WRITERS)
def writer(request):
    return WRITERS[request.param]


def scraps(folder: Path, name: str) -> list[str]:
    return [path.name for path in folder.iterdir() if path.name != name]


def test_a_write_that_stops_in_its_middle_leaves_the_old_file(
    writer, answer, record, full_after, tmp_path
):
    name, write = writer
    path = tmp_path / name
    old = OLD.get(name, "old")
    path.write_text(old, encoding="utf-8")
    limit = 200 if name == "s.toml" else SMALL
    with full_after(limit), pytest.raises(InputError, match="cannot be written"):
        write(path, answer, record)
    assert path.read_text(encoding="utf-8") == old
    assert scraps(tmp_path, name) == []


def test_a_closed_folder_is_told(writer, answer, record, closed_folder):
    name, write = writer
    with pytest.raises(InputError, match="cannot be written"):
        write(closed_folder / name, answer, record)
    assert [path.name for path in closed_folder.iterdir()] == ["there"]


def test_a_full_disk_is_called_by_its_name(tmp_path, monkeypatch):
    def full(_):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    for write in (lambda path: write_text(path, "x"), lambda path: write_new(path, "x"),
                  lambda path: add_record(path, VISIT, KIND)):  # fmt: skip
        with pytest.raises(InputError, match="No space left on device"):
            write(tmp_path / "a")
    assert [path.read_bytes() for path in tmp_path.iterdir()] in ([], [b""])


def test_a_folder_that_is_full_of_names_is_told(tmp_path, monkeypatch):
    def full(*_, **__):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(tempfile, "NamedTemporaryFile", full)
    with pytest.raises(InputError, match="No space left on device"):
        write_text(tmp_path / "a", "x")


@pytest.mark.parametrize("room", [0, SMALL])
def test_of_a_record_both_files_are_kept_or_neither(record, full_after, tmp_path, room):
    with full_after(room), pytest.raises(InputError, match="cannot be written"):
        save_record(record, tmp_path / "records")
    assert list((tmp_path / "records").iterdir()) == []


def test_a_record_whose_second_file_finds_no_room_leaves_none(record, tmp_path, full_after):
    page, machine = len(record_html(record).encode()), len(record_json(record).encode())
    between = (min(page, machine) + max(page, machine)) // 2
    with full_after(between), pytest.raises(InputError, match="cannot be written"):
        save_record(record, tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_a_second_file_that_fails_takes_the_first_away(record, tmp_path, monkeypatch):
    def first_only(path, text):
        if path.suffix == ".json":
            raise InputError
        return write_new(path, text)

    monkeypatch.setattr("pvkit.present.record_files.write_new", first_only)
    with pytest.raises(InputError):
        save_record(record, tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_a_record_in_a_closed_folder_is_told(record, closed_folder):
    for folder in (closed_folder, closed_folder / "records"):
        with pytest.raises(InputError, match="cannot be written"):
            save_record(record, folder)
    assert [path.name for path in closed_folder.iterdir()] == ["there"]


@pytest.mark.parametrize("room", [0, 100, 5000])
def test_a_history_on_a_full_disk_keeps_what_it_holds(full_after, tmp_path, room):
    file = tmp_path / "visits.jsonl"
    add_record(file, VISIT | {"remarks": "first"}, KIND)
    before = file.read_bytes()
    with full_after(len(before) + room), pytest.raises(InputError, match="cannot be written"):
        add_record(file, VISIT, KIND)
    assert file.read_bytes() == before
    assert add_record(file, VISIT, KIND)
    assert len(read_history(file, KIND)) == 2


def test_a_history_in_a_closed_folder_is_told(closed_folder):
    with pytest.raises(InputError, match="cannot be written"):
        add_record(closed_folder / "visits.jsonl", VISIT, KIND)


def test_a_book_of_guesses_that_cannot_be_kept_is_told(answer, closed_folder):
    book = GuessBook(closed_folder / "guesses.json")
    with pytest.raises(InputError, match="cannot be written"):
        book.mark("first", right=True)
    assert questions(answer)


def test_the_cautious_mode_of_a_private_file_stays(tmp_path):
    path = tmp_path / "private.html"
    path.write_text("old", encoding="utf-8")
    path.chmod(0o600)
    write_text(path, "new")
    assert path.stat().st_mode & 0o777 == 0o600


def test_a_link_stays_a_link_and_its_file_is_replaced(tmp_path):
    (tmp_path / "kept").mkdir()
    target, link = tmp_path / "kept" / "report.html", tmp_path / "latest.html"
    target.write_text("old", encoding="utf-8")
    link.symlink_to(target)
    write_text(link, "new")
    assert link.is_symlink()
    assert target.read_text(encoding="utf-8") == "new"


def test_a_pipe_or_device_is_written_to_and_never_replaced(tmp_path):
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    reader = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    write_text(pipe, "through")
    assert os.read(reader, 100) == b"through"
    assert pipe.is_fifo()
    os.close(reader)
    write_text(Path(os.devnull), "away")
    assert Path(os.devnull).is_char_device()
