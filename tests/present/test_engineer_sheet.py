"""The engineer's sheet: says what it must, escapes what it is given, stands alone, fits A4."""

import datetime
import re
import shutil
import subprocess
from html.parser import HTMLParser

import pytest

from pvkit.present.engineer_sheet import TO_CONFIRM, engineer_sheet_html
from pvkit.present.zone_plan import zone_plan
from pvkit.roof.ballast_plan import ballast_plan
from pvkit.site.reader import load_site
from pvkit.study.cautions import STRUCTURE
from pvkit.study.changes import changed

SAMPLES = ("bungalow_extension", "south_family_home", "east_west_pair")


class Text(HTMLParser):
    """The words of a page, and whether every tag is closed."""

    VOID = ("meta", "br", "img")

    def __init__(self, page):
        super().__init__()
        self.words, self.open = [], []
        self.feed(page)
        self.text = re.sub(r"\s+", " ", " ".join(self.words))

    def handle_starttag(self, tag, attrs):  # noqa: ARG002  # the base class has it
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if "style" not in self.open:
            self.words.append(data)


def with_keys(name, **changes):
    return changed(load_site(name), changes)


@pytest.mark.parametrize("name", SAMPLES)
def test_the_sheet_says_what_it_must(name):
    page = Text(engineer_sheet_html(load_site(name)))
    assert page.open == []
    assert STRUCTURE in page.text
    assert "Indicative figures, not a design and no proof." in page.text
    assert "The charts of the UK annex to BS EN 1991-1-4" in page.text
    assert "Terrain column used" in page.text
    assert "Ask a structural engineer, with these figures" in page.text
    assert all(point in page.text for point in TO_CONFIRM)
    assert "net pressure coefficient decides everything" in page.text


def test_every_figure_of_the_plan_stands_on_the_sheet():
    site = load_site("bungalow_extension")
    plan, page = ballast_plan(site, "main"), Text(engineer_sheet_html(site))
    assert f"{plan.blocks} × {plan.block_kg:g} kg" in page.text
    assert f"{plan.wind.pressure.peak_pa / 1000:.3f} kPa" in page.text
    assert plan.load is not None
    assert f"{plan.load.local_kg_per_m2:.0f} kg/m² ({plan.load.local_kn_per_m2:.2f}" in page.text
    for number in plan.inputs:
        assert number.source in page.text, number.name
        assert number.kind in page.text
    for sentence in plan.sentences:
        assert sentence in page.text


def test_an_exceeded_allowance_is_said():
    page = engineer_sheet_html(
        with_keys("bungalow_extension", **{"roof.top.allowance_kn_per_m2": 0.25})
    )
    assert "0.25 kN/m²: exceeded" in page
    assert "more than the 0.25 kN/m² that the survey allows" in page


def test_a_roof_that_no_weight_holds_is_told_without_a_false_figure():
    keys = {"roof.top.tilt_deg": 9.0, "roof.top.friction": 0.1}
    page = Text(engineer_sheet_html(with_keys("bungalow_extension", **keys)))
    assert "No weight can hold" in page.text
    assert "none would do" in page.text
    assert not re.search(r"\b(inf|nan|None)\b", page.text)


def test_names_are_escaped_everywhere():
    keys = {
        "site.name": "<b>&'</b>",
        "roof.1.name": "<script>1</script>",
        "array.1.roof": "<script>1</script>",
        "array.1.pressure_coefficient": -0.4,
        "array.1.pressure_source": "<u>",
        "array.1.name": "<i>",
    }
    page = engineer_sheet_html(with_keys("bungalow_extension", **keys))
    assert not re.search(r"<(script|i>|u>)|<b>&'", page)
    text = Text(page).text
    assert all(words in text for words in ("<script>1</script>", "<i>", "<u>", "<b>&'</b>"))


def test_the_sheet_stands_alone_and_is_the_same_each_time():
    site = load_site("east_west_pair")
    page = engineer_sheet_html(site)
    assert page == engineer_sheet_html(site)
    assert not re.search(r"<script|https?://|<link|@import|url\(", page)
    assert "Issued 3 May 2026." in engineer_sheet_html(site, issued=datetime.date(2026, 5, 3))


def test_the_plan_draws_each_module_once_inside_its_page():
    site = load_site("bungalow_extension")
    drawing = str(zone_plan(site, site.array[0], {1: "9 blocks"}))
    numbers = re.findall(r'font-weight="bold">(\w+)</text>', drawing)
    assert numbers == ["1", "2", "3", "4", "5", "6", "N"]
    wide, high = map(float, re.findall(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', drawing)[0])
    for points in re.findall(r'points="([^"]+)"', drawing):
        for x, y in (map(float, pair.split(",")) for pair in points.split()):
            assert 0 <= x <= wide
            assert 0 <= y <= high
    assert "9.00 m" in drawing
    assert "5.50 m" in drawing


@pytest.mark.parametrize(
    ("azimuth_deg", "tip"), [(180.0, (0, -1)), (0.0, (0, 1)), (90.0, (1, 0)), (270.0, (-1, 0))]
)
def test_north_is_where_it_is(azimuth_deg, tip):
    keys = {"roof.top.azimuth_deg": azimuth_deg, "array.main.azimuth_deg": azimuth_deg}
    site = with_keys("bungalow_extension", **keys)
    drawing = str(zone_plan(site, site.array[0], {}))
    # The arrow is the only triangle: its first corner is the tip.
    (points,) = re.findall(r'points="((?:[-\d.]+,[-\d.]+ ?){3})"', drawing)
    (ax, ay), (bx, by), (cx, cy) = (map(float, pair.split(",")) for pair in points.split())
    middle = ((bx + cx) / 2, (by + cy) / 2)
    assert (round((ax - middle[0]) / 6), round((ay - middle[1]) / 6)) == tip


@pytest.mark.skipif(shutil.which("chromium") is None, reason="needs chromium to print")
def test_it_prints_on_a_few_a4_pages(tmp_path):
    file, pdf = tmp_path / "sheet.html", tmp_path / "sheet.pdf"
    file.write_text(engineer_sheet_html(load_site("bungalow_extension")), encoding="utf-8")
    subprocess.run(
        ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
         f"--print-to-pdf={pdf}", f"--user-data-dir={tmp_path}/profile", str(file)],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    printed = pdf.read_bytes()
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", printed)
    assert 1 <= len(boxes) <= 4
    for width, height in boxes:  # A4 in points
        assert float(width) == pytest.approx(595, abs=1)
        assert float(height) == pytest.approx(842, abs=1)
