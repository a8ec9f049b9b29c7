"""A program that is killed (SIGKILL) in the middle of a write leaves the old file whole.

A child process writes; at a chosen moment it says so and waits, and is killed there.
"""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from pvkit.present.files import write_text
from pvkit.present.history import add_record, read_history
from pvkit.present.record_files import write_new

KIND = "yearly visit"
FIRST = {"kind": KIND, "n": 1, "site": "Häuschen"}
SECOND = {"kind": KIND, "n": 2, "remarks": "é" * 4000}
STOP = "import time\ndef stop(*_):\n    print('here', flush=True)\n    time.sleep(60)\n"
# Half of the bytes are in the new file; all are, and it has not its name yet.
HALF_WRITTEN = STOP + (
    "import tempfile\n"
    "whole = tempfile.NamedTemporaryFile\n"
    "def halved(*args, **more):\n"
    "    file = whole(*args, **more)\n"
    "    write = file.file.write\n"
    "    def half(text):\n"
    "        write(text[: len(text) // 2])\n"
    "        file.file.flush()\n"
    "        stop()\n"
    "    file.write = half\n"
    "    return file\n"
    "tempfile.NamedTemporaryFile = halved\n"
)
NOT_NAMED_YET = STOP + (
    "import os, pathlib\npathlib.Path.replace = stop\nos.link = stop\n"
)  # fmt: skip
MOMENTS = {"half written": HALF_WRITTEN, "not named yet": NOT_NAMED_YET}
WRITE = {
    "text": "from pvkit.present.files import write_text as write",
    "new": "from pvkit.present.record_files import write_new as write",
}


def killed(code: str, *arguments: str) -> None:
    """Run a child until it says where it is, and kill it there."""
    child = subprocess.Popen([sys.executable, "-c", code, *arguments], stdout=subprocess.PIPE,
                             text=True)  # fmt: skip
    assert child.stdout is not None
    with child.stdout:
        assert child.stdout.readline() == "here\n"
        child.kill()
    child.wait(20)


@pytest.mark.parametrize("moment", MOMENTS)
def test_a_file_that_was_there_stays_as_it_was(tmp_path, moment):
    path = tmp_path / "report.html"
    write_text(path, "old and whole")
    code = MOMENTS[moment] + (
        f"import sys, pathlib\n{WRITE['text']}\nwrite(pathlib.Path(sys.argv[1]), 'new' * 50000)\n"
    )
    killed(code, str(path))
    assert path.read_text(encoding="utf-8") == "old and whole"
    write_text(path, "new and whole")
    assert path.read_text(encoding="utf-8") == "new and whole"


@pytest.mark.parametrize("moment", MOMENTS)
def test_a_new_record_is_whole_or_not_there(tmp_path, moment):
    path = tmp_path / "record.json"
    code = MOMENTS[moment] + (
        f"import sys, pathlib\n{WRITE['new']}\nwrite(pathlib.Path(sys.argv[1]), '{{}}' * 50000)\n"
    )
    killed(code, str(path))
    assert not path.exists()
    assert write_new(path, "{}")
    assert path.read_text(encoding="utf-8") == "{}"


HALF_A_LINE = STOP + (
    "import json, os, sys, pathlib\n"
    "from pvkit.present.history import add_record\n"
    "whole = os.write\n"
    "def half(place, data):\n"
    "    whole(place, data[: int(sys.argv[3])])\n"
    "    stop()\n"
    "os.write = half\n"
    "add_record(pathlib.Path(sys.argv[1]), json.loads(sys.argv[2]), 'yearly visit')\n"
)


@pytest.mark.parametrize("bytes_written", [0, 1, 60, 61, 5000])
def test_a_history_keeps_its_records_and_takes_the_next(tmp_path, bytes_written):
    file = tmp_path / "visits.jsonl"
    add_record(file, FIRST, KIND)
    whole = file.read_bytes()
    killed(HALF_A_LINE, str(file), json.dumps(SECOND), str(bytes_written))
    assert file.stat().st_size == len(whole) + bytes_written
    assert read_history(file, KIND) == (FIRST,)
    assert add_record(file, SECOND, KIND)
    assert read_history(file, KIND) == (FIRST, SECOND)
    assert file.read_bytes().startswith(whole)


def test_the_lock_of_a_killed_program_is_free(tmp_path):
    file = Path(tmp_path) / "visits.jsonl"
    add_record(file, FIRST, KIND)
    killed(HALF_A_LINE, str(file), json.dumps(SECOND), "7")
    assert add_record(file, SECOND, KIND)
    assert not add_record(file, SECOND, KIND)
