"""``pvkit commission``: exit codes, reasons, files that are never written over."""

import json
import subprocess
import sys
import tomllib
from dataclasses import dataclass

import pytest

from pvkit.cli.commands import main
from pvkit.site.samples import record_files

COMPLETE = ("bungalow_extension", "--record", "bungalow_extension")
PROCESS = (sys.executable, "-m", "pvkit.cli", "commission")
FAULTY = ("south_family_home", "--record", "family_home_with_faults")


@dataclass
class Done:
    returncode: int
    stdout: str
    stderr: str


@pytest.fixture
def run(tmp_path, monkeypatch, capsys):
    """Give a function that runs the command in a folder of its own."""
    monkeypatch.chdir(tmp_path)

    def runner(*arguments: str) -> Done:
        monkeypatch.setattr(sys, "argv", ["pvkit", "commission", *arguments])
        with pytest.raises(SystemExit) as ended:
            main()
        printed = capsys.readouterr()
        return Done(int(ended.value.code or 0), printed.out, printed.err)

    return runner


def test_a_complete_record_ends_with_0(run):
    done = run(*COMPLETE)
    assert done.returncode == 0, done.stderr
    assert "Complete: Every test is recorded" in done.stdout


def test_an_incomplete_record_ends_with_1_and_its_reasons(run, tmp_path):
    done = run(*FAULTY, "--save", "kept", "--handover", "pack.html")
    assert done.returncode == 1
    head = " ".join(done.stdout.split("──")[0].split())
    for words in ("Not complete", "Loss-of-mains test: not recorded", "− 0.4 MΩ", "9 modules"):
        assert words in head
    assert "Draft of the handover pack, not complete" in done.stdout
    assert len(list((tmp_path / "kept").glob("*_not_complete.json"))) == 1


def test_json_tells_the_same_and_nothing_else(run, tmp_path):
    done = run(*FAULTY, "--json", "--save", "kept")
    facts = json.loads(done.stdout)
    assert done.returncode == 1
    assert facts["complete"] is False
    (kept,) = (tmp_path / "kept").glob("*.json")
    assert json.loads(kept.read_text(encoding="utf-8")) == facts


def test_two_commands_at_once_keep_a_record_each(tmp_path):
    both = [
        subprocess.Popen([*PROCESS, *COMPLETE, "--save", "kept"], cwd=tmp_path, text=True,
                         stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        for _ in range(2)
    ]  # fmt: skip
    for each in both:
        _, problem = each.communicate(timeout=60)
        assert each.returncode == 0, problem
    assert len(list((tmp_path / "kept").glob("*.json"))) == 2
    assert len(list((tmp_path / "kept").glob("*.html"))) == 2


def test_a_template_is_written_once_and_can_be_checked(run, tmp_path):
    assert run("east_west_pair", "--template", "r.toml").returncode == 0
    text = (tmp_path / "r.toml").read_text(encoding="utf-8")
    assert len(tomllib.loads(text)["string"]) == 2
    again = run("east_west_pair", "--template", "r.toml")
    assert again.returncode == 2
    assert "never written over" in again.stderr
    assert (tmp_path / "r.toml").read_text(encoding="utf-8") == text
    assert run("east_west_pair", "--record", "r.toml").returncode == 1


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('polarity = "correct"', 'polarty = "correct"', "use 'polarity'"),
        ("module_temp_degc = 33", "module_temp_degc = 330", "-25 to 95 degC"),
        ('array = "main"', 'array = "garage"', "the site file does not have"),
        ("safe_v = 6.1", "safe_v = ", "record.toml, line"),
    ],
)
def test_a_bad_record_ends_with_2_and_a_message(old, new, said, run, tmp_path):
    text = record_files()["bungalow_extension"].read_text(encoding="utf-8")
    assert old in text
    (tmp_path / "record.toml").write_text(text.replace(old, new, 1), encoding="utf-8")
    done = run("bungalow_extension", "--record", "record.toml", "--save", "kept")
    assert done.returncode == 2
    assert said in done.stderr
    assert "Fix:" in done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "kept").exists()


@pytest.mark.parametrize(
    "arguments",
    [
        ("bungalow_extension",),
        ("bungalow_extension", "--record", "nothing.toml"),
        (*COMPLETE, "--handover", "pack.docx"),
        (*COMPLETE, "--handover", "no/such/pack.html"),
        (*COMPLETE, "--save", "no/such"),
    ],
)
def test_what_cannot_be_done_ends_with_2_and_what_to_do(arguments, run):
    done = run(*arguments)
    assert done.returncode == 2
    assert "Fix:" in done.stderr
    assert "Traceback" not in done.stderr
