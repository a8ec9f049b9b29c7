"""Record and handover pack in a real browser: A4, few pages, and no sideways scrolling."""

import os
import re
import shutil
import subprocess
from html import escape

import pytest

from pvkit import load_site
from pvkit.electrical.readings import load_record
from pvkit.present.handover import handover_html
from pvkit.present.record_sheet import record_html
from pvkit.study.record import commission
from tests.present.test_report_on_paper import A4_POINTS, FLAGS

NARROW_PX, SCREEN_PX = 390, 1280
# Writes into the page how wide it is in a frame of the given width, less its scroll bar.
PROBE = """<!DOCTYPE html><iframe id="f" style="width:{px}px;height:800px;border:0"
srcdoc="{report}"></iframe><p id="said"></p><script>
document.getElementById("f").onload = e => {{
  const page = e.target.contentDocument.documentElement;
  document.getElementById("said").textContent =
    page.scrollWidth + " px wide in a window of " + page.clientWidth + " px";
}};</script>"""

pytestmark = pytest.mark.browser
# Front, data, plan, wiring, three of tests, estimate, care, two of labels: and one to spare.
MOST_PAGES = {"record": 4, "pack": 12, "draft": 12}


@pytest.fixture(scope="module")
def pages(bungalow, family) -> dict[str, str]:
    sound, faulty = load_site("bungalow_extension"), load_site("south_family_home")
    complete = commission(sound, load_record("bungalow_extension", sound))
    open_one = commission(faulty, load_record("family_home_with_faults", faulty))
    return {
        "record": record_html(open_one),
        "pack": handover_html(complete, bungalow.estimate()),
        "draft": handover_html(open_one, family.estimate()),
    }


@pytest.fixture
def browse(tmp_path):
    """Give a function that opens a page in Chromium with some flags and gives what it prints."""
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        message = "no Chromium on this machine: install the package 'chromium'"
        if os.environ.get("CI"):
            pytest.fail(message)
        pytest.skip(message)

    def run(page: str, *flags: str) -> str:
        path = tmp_path / "page.html"
        path.write_text(page, encoding="utf-8")
        profile = f"--user-data-dir={tmp_path / 'profile'}"
        done = subprocess.run(
            [found, *FLAGS, profile, *flags, path.as_uri()],
            capture_output=True, text=True, timeout=120, check=True,
        )  # fmt: skip
        return done.stdout

    return run


@pytest.mark.parametrize("name", MOST_PAGES)
def test_it_prints_on_a4_in_few_pages(name, pages, browse, tmp_path):
    browse(pages[name], "--no-pdf-header-footer", f"--print-to-pdf={tmp_path / 'a.pdf'}")
    pdf = (tmp_path / "a.pdf").read_bytes().decode("latin-1")
    assert 1 < len(re.findall(r"/Type /Page\b", pdf)) <= MOST_PAGES[name]
    boxes = re.findall(r"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    assert {(round(float(w)), round(float(h))) for w, h in boxes} == {A4_POINTS}


@pytest.mark.parametrize("name", MOST_PAGES)
@pytest.mark.parametrize("px", [NARROW_PX, SCREEN_PX])
def test_the_page_never_scrolls_sideways(name, px, pages, browse):
    inside = escape(pages[name], quote=True)
    told = browse(PROBE.format(px=px, report=inside), "--dump-dom", "--virtual-time-budget=5000")
    said = re.search(r"(\d+) px wide in a window of (\d+) px<", told)
    assert said is not None
    assert said[1] == said[2]
