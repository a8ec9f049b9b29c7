"""The report in a real browser: eight pages of A4 at most, and no sideways scrolling on a phone."""

import os
import re
import shutil
import subprocess
from html import escape

import pytest

from pvkit.present.report import report_html

pytestmark = pytest.mark.browser
MOST_PAGES = 8
NARROW_PX, SCREEN_PX = 390, 1280
SCROLL_BAR_PX = 20
A4_POINTS = (595, 842)
FLAGS = ("--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-quic")
# Writes into the page how wide the report is in a frame of the given width, less its scroll bar.
PROBE = """<!DOCTYPE html><iframe id="f" style="width:{px}px;height:800px;border:0"
srcdoc="{report}"></iframe><p id="said"></p><script>
document.getElementById("f").onload = e => {{
  const page = e.target.contentDocument.documentElement;
  document.getElementById("said").textContent =
    page.scrollWidth + " px wide in a window of " + page.clientWidth + " px";
}};</script>"""


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


def test_it_prints_on_eight_pages_of_a4_at_most(answer, browse, tmp_path):
    browse(report_html(answer), "--no-pdf-header-footer", f"--print-to-pdf={tmp_path / 'a.pdf'}")
    pdf = (tmp_path / "a.pdf").read_bytes().decode("latin-1")
    assert 1 < len(re.findall(r"/Type /Page\b", pdf)) <= MOST_PAGES
    boxes = re.findall(r"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    assert {(round(float(w)), round(float(h))) for w, h in boxes} == {A4_POINTS}


@pytest.mark.parametrize("px", [NARROW_PX, SCREEN_PX])
def test_the_page_never_scrolls_sideways(bungalow, browse, px):
    report = escape(report_html(bungalow.estimate()), quote=True)
    told = browse(PROBE.format(px=px, report=report), "--dump-dom", "--virtual-time-budget=5000")
    said = re.search(r"(\d+) px wide in a window of (\d+) px<", told)
    assert said is not None
    assert said[1] == said[2]
    assert int(said[2]) > px - SCROLL_BAR_PX
