"""The plan to scale: what stands on it, where, and how it reads without colour."""

import re
import xml.etree.ElementTree as ET

import pytest

from pvkit.present.plan_drawing import Area, plan_svg, roof_plan_svg
from pvkit.roof.fit_search import largest_layout
from pvkit.roof.schemes import Choices
from pvkit.site.reader import build_site, load_site
from pvkit.study.changes import changed

SVG = "{http://www.w3.org/2000/svg}"
SAMPLES = ("bungalow_extension", "chimney_and_birch", "east_west_pair", "south_family_home")


def drawn(svg):
    return ET.fromstring(svg)


def texts(root):
    return [element.text for element in root.iter(f"{SVG}text")]


def polygon(root, n):
    points = list(root.iter(f"{SVG}polygon"))[n].get("points").split()
    return [tuple(float(each) for each in point.split(",")) for point in points]


@pytest.mark.parametrize("name", SAMPLES)
def test_every_panel_has_its_number_and_the_drawing_a_name_and_a_description(name):
    site = load_site(name)
    root = drawn(plan_svg(site))
    said = texts(root)
    for array in site.array:
        assert set(map(str, range(1, site.count(array) + 1))) <= set(said)
    named = {root.find(f"{SVG}{part}").get("id") for part in ("title", "desc")}
    assert set(root.get("aria-labelledby").split()) == named
    assert "panels in" in root.find(f"{SVG}desc").text


def test_a_metre_is_as_long_on_paper_as_the_scale_says():
    root = drawn(roof_plan_svg(load_site("bungalow_extension"), "top"))
    (scale,) = re.findall(r"Scale 1:(\d+)", " ".join(texts(root)))
    xs, ys = zip(*polygon(root, 0), strict=True)  # the roof itself comes first
    assert max(xs) - min(xs) == pytest.approx(9000 / int(scale), abs=0.02)
    assert max(ys) - min(ys) == pytest.approx(5500 / int(scale), abs=0.02)
    wide, high = (float(root.get(side).removesuffix("mm")) for side in ("width", "height"))
    assert root.get("viewBox") == f"0 0 {wide:g} {high:g}"
    assert wide < 190
    assert high < 277


def test_dimensions_are_those_of_the_layout():
    said = texts(drawn(roof_plan_svg(load_site("bungalow_extension"), "top")))
    for length in ("9.00", "5.50", "1.90", "5.21", "1.27", "2.97", "1.85"):
        assert length in said


@pytest.mark.parametrize(("azimuth", "up_page"), [(180.0, 0.0), (90.0, 90.0), (270.0, 270.0)])
def test_north_points_where_it_lies(azimuth, up_page):
    site = changed(load_site("south_family_home"), {"roof.south slope.azimuth_deg": azimuth})
    (turn,) = re.findall(r'<g transform="rotate\((\S+) ', roof_plan_svg(site, "south slope"))
    assert float(turn) == up_page


def test_what_is_kept_clear_stands_in_the_key_with_its_letter_and_size():
    said = texts(drawn(plan_svg(load_site("chimney_and_birch"))))
    assert {"A", "B"} <= set(said)
    assert any("A chimney: 0.70 m × 0.60 m at x 6.60, y 3.20, 0.30 m clear" in s for s in said)


def test_no_two_kinds_of_fill_differ_by_colour_alone():
    site = load_site("bungalow_extension")
    pairs = changed(site, largest_layout(site, "top", Choices(("pairs",))).as_changes())
    zones = [Area("corner", ((0, 0), (1, 0), (1, 1))), Area("edge", ((1, 0), (2, 0), (2, 1)))]
    root = drawn(roof_plan_svg(pairs, "top", zones))
    tiles = list(root.iter(f"{SVG}pattern"))
    marks = ["".join(ET.tostring(part, encoding="unicode") for part in tile if
                     part.tag != f"{SVG}rect") for tile in tiles]  # fmt: skip
    assert len(marks) == 4
    assert len(set(marks)) == len(marks)
    said = " ".join(texts(root))
    assert "corner" in said
    assert "edge" in said


def test_ids_are_unique_even_with_several_roofs_on_one_page():
    svg = plan_svg(load_site("east_west_pair"))
    ids = re.findall(r' id="([^"]+)"', svg)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r"url\(#([^)]+)\)", svg)) <= set(ids)


def test_a_name_cannot_break_out_of_the_drawing():
    raw = load_site("bungalow_extension").model_dump(exclude_unset=True)
    raw["roof"][0]["name"] = raw["array"][0]["roof"] = "<b>top</b> & 'side'"
    raw["array"][0]["name"] = '"><script>'
    root = drawn(plan_svg(build_site(raw)))
    assert not list(root.iter(f"{SVG}b"))
    assert any("<b>top</b> & 'side': 6 panels" in said for said in texts(root))


def test_a_roof_without_an_array_is_left_out():
    raw = load_site("bungalow_extension").model_dump(exclude_unset=True)
    raw["roof"] = [*raw["roof"], raw["roof"][0] | {"name": "garage"}]
    assert "garage" not in plan_svg(build_site(raw))
