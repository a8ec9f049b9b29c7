"""Programs that write the same record, history or file at the same time."""

import json
import subprocess
import sys
from pathlib import Path

from pvkit.present.history import read_history
from pvkit.study.record import read_record, record_json

PROGRAMS, TIMES = 3, 8
KIND = "yearly visit"
# Each program waits until all are ready, so that they truly write at once.
READY = (
    "import pathlib, sys, time\n"
    "folder, name = pathlib.Path(sys.argv[1]), sys.argv[2]\n"
    "def together(count):\n"
    "    (folder / f'ready_{name}').touch()\n"
    "    while len(list(folder.glob('ready_*'))) < count:\n"
    "        time.sleep(0.005)\n"
)


def run_at_once(folder: Path, code: str) -> None:
    running = [
        subprocess.Popen([sys.executable, "-c", READY + code, str(folder), str(name)])
        for name in range(PROGRAMS)
    ]
    assert [program.wait(120) for program in running] == [0] * PROGRAMS


def test_each_record_gets_a_name_of_its_own_and_all_are_whole(record, tmp_path):
    (tmp_path / "record").write_text(record_json(record), encoding="utf-8")
    run_at_once(
        tmp_path,
        "from pvkit.present.record_files import save_record\n"
        "from pvkit.study.record import read_record\n"
        "record = read_record((folder / 'record').read_text(encoding='utf-8'))\n"
        f"together({PROGRAMS})\n"
        f"for _ in range({TIMES}): save_record(record, folder / 'records')\n",
    )
    kept = sorted((tmp_path / "records").glob("*.json"))
    assert len(kept) == PROGRAMS * TIMES
    assert all(read_record(file.read_text(encoding="utf-8")) == record for file in kept)
    pages = {file.stem for file in (tmp_path / "records").glob("*.html")}
    assert pages == {file.stem for file in kept}
    assert len(list((tmp_path / "records").iterdir())) == 2 * PROGRAMS * TIMES


def test_no_line_of_a_history_is_lost_and_one_that_all_add_stands_once(tmp_path):
    run_at_once(
        tmp_path,
        "from pvkit.present.history import add_record\n"
        f"together({PROGRAMS})\n"
        f"for n in range({TIMES}):\n"
        f"    add_record(folder / 'visits', {{'kind': {KIND!r}, 'by': name, 'n': n}}, {KIND!r})\n"
        f"    add_record(folder / 'visits', {{'kind': {KIND!r}, 'all': n}}, {KIND!r})\n",
    )
    found = [json.dumps(entry, sort_keys=True) for entry in read_history(tmp_path / "visits", KIND)]
    assert len(found) == len(set(found)) == (PROGRAMS + 1) * TIMES


def test_a_file_that_all_replace_is_always_one_of_the_whole_ones(tmp_path):
    run_at_once(
        tmp_path,
        "from pvkit.present.files import write_text\n"
        f"together({PROGRAMS})\n"
        f"for _ in range({10 * TIMES}):\n"
        "    write_text(folder / 'report', name * 30000)\n"
        "    found = (folder / 'report').read_text(encoding='utf-8')\n"
        "    assert len(found) == 30000 and len(set(found)) == 1\n",
    )
    assert not list(tmp_path.glob(".part-*"))
