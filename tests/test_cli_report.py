"""``pvkit report``: the page, the PDF, the spreadsheet, the firm's file, and what can go wrong."""

import shutil
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
FIRM = ROOT / "sample_sites" / "firm" / "firm.toml"


def run(*arguments: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "pvkit.cli", "report", *arguments]
    return subprocess.run(command, capture_output=True, text=True, cwd=cwd, check=False)


def test_a_page_with_the_firms_head_and_a_date_of_its_own(tmp_path):
    done = run("south_family_home", "-o", "our réport 1.html", "--firm", str(FIRM),
               "--issued", "2027-03-05", cwd=tmp_path)  # fmt: skip
    assert done.returncode == 0, done.stderr
    html = (tmp_path / "our réport 1.html").read_text(encoding="utf-8")
    for said in ("Sample Roofs", "data:image/svg+xml;base64,", "Issued 5 March 2027"):
        assert said in html
    assert "our réport 1.html" in done.stdout


def test_a_pdf_is_written_and_dated_today(tmp_path):
    pytest.importorskip("weasyprint")
    done = run("south_family_home", "-o", "=report.pdf", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    file = tmp_path / "=report.pdf"
    assert file.read_bytes().startswith(b"%PDF")
    tool = shutil.which("pdftotext")
    if tool is not None:
        text = subprocess.run([tool, str(file), "-"], capture_output=True, text=True, check=True)
        assert f"Issued {date.today().day} " in text.stdout  # noqa: DTZ011  (the command's own day)


def test_the_money_is_written_as_a_spreadsheet(tmp_path):
    done = run("south_family_home", "-o", "money.xlsx", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "money.xlsx").read_bytes().startswith(b"PK")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["-o", "r.docx"], ".xlsx"),
        (["-o", "r.html", "--firm", "gone.toml"], "gone.toml"),
        (["-o", "r.html", "--issued", "5/3/2027"], "a date like 2027-03-05"),
    ],
)
def test_a_bad_call_ends_with_2_and_writes_nothing(tmp_path, arguments, said):
    done = run("south_family_home", *arguments, cwd=tmp_path)
    assert done.returncode == 2
    assert said in done.stderr
    assert "Traceback" not in done.stderr + done.stdout
    assert list(tmp_path.iterdir()) == []
