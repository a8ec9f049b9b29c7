"""The report on paper: eight pages of A4 at most from browser and PDF library, text to search."""

import datetime
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from pvkit.errors import InputError
from pvkit.present.firm import Firm
from pvkit.present.headlines import headlines, likely
from pvkit.present.logo import logo_uri
from pvkit.present.report import Sender, report_html, write_report

MOST_PAGES = 8
A4_POINTS = (595, 842)
FLAGS = ("--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-quic")


@pytest.fixture(scope="module")
def chromium() -> str:
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        message = "no Chromium on this machine: install the package 'chromium'"
        if os.environ.get("CI"):
            pytest.fail(message)
        pytest.skip(message)
    return found


@pytest.fixture
def browse(chromium, tmp_path):
    """Give a function that opens a page in Chromium with some flags and gives what it prints."""

    def run(html: str, *flags: str) -> str:
        path = tmp_path / "page.html"
        path.write_text(html, encoding="utf-8")
        command = [
            chromium,
            *FLAGS,
            f"--user-data-dir={tmp_path / 'profile'}",
            *flags,
            path.as_uri(),
        ]
        done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
        return done.stdout

    return run


LOGO = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 3"><circle r="1"/></svg>'


@pytest.fixture
def sender(tmp_path):
    (tmp_path / "logo.svg").write_text(LOGO, encoding="utf-8")
    firm = Firm(
        "Firm of the test", "01000 000000", "a@example.org", logo_uri(tmp_path / "logo.svg")
    )
    return Sender(firm, datetime.date(2027, 3, 5))


def _text(pdf: Path) -> str:
    tool = shutil.which("pdftotext")
    if tool is None:
        pytest.skip("no pdftotext on this machine: install the package 'poppler-utils'")
    done = subprocess.run([tool, str(pdf), "-"], capture_output=True, text=True, check=True)
    return done.stdout


def test_the_pdf_has_eight_pages_of_text_to_search(answer, sender, tmp_path):
    pytest.importorskip("weasyprint")
    file = tmp_path / "a report é.pdf"
    write_report(answer, file, sender)
    text = _text(file)
    assert 1 < text.count("\f") <= MOST_PAGES
    flat = " ".join(text.split())
    for head, span in zip(headlines(answer), likely(answer), strict=True):
        assert head.figure in flat
        assert span in flat
    for said in ("Firm of the test", "Issued 5 March 2027", "What happens next", "Page 1 of",
                 "An estimate, not a promise", "Where each number came from"):  # fmt: skip
        assert said in flat
    assert not re.search(r"\b(?:nan|None|not available)\b", flat)


def test_without_the_pdf_library_a_plain_message_says_so(bungalow, tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    with pytest.raises(InputError, match="pip install"):
        write_report(bungalow.estimate(), tmp_path / "r.pdf")
    assert not (tmp_path / "r.pdf").exists()


@pytest.mark.browser
def test_it_prints_on_eight_pages_of_a4_at_most(answer, sender, browse, tmp_path):
    browse(
        report_html(answer, sender),
        "--no-pdf-header-footer",
        f"--print-to-pdf={tmp_path / 'a.pdf'}",
    )
    pdf = (tmp_path / "a.pdf").read_bytes().decode("latin-1")
    assert 1 < len(re.findall(r"/Type /Page\b", pdf)) <= MOST_PAGES
    boxes = re.findall(r"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    assert {(round(float(w)), round(float(h))) for w, h in boxes} == {A4_POINTS}
