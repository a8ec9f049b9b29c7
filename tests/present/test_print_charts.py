"""Charts for paper: well-formed, named, self-contained, the same each time, true to the figures."""

import base64
import hashlib
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from itertools import pairwise

import matplotlib as mpl
import pytest

from pvkit.present import colours, print_paper
from pvkit.present.pictures import LOST, PICTURES, WHEN, WHERE, Picture, Series
from pvkit.present.print_charts import picture_data_uri, picture_svg

SVG, XLINK = "{http://www.w3.org/2000/svg}", "{http://www.w3.org/1999/xlink}"
SIZES = ((170, 80), (95, 72))
# Coordinates are kept to a hundredth of a point at both ends of a bar.
DRAWN_TO_POINTS = 0.02
# W3C, WCAG 2.2, success criterion 1.4.3: text against what it stands on, at least.
READABLE = 4.5
HAND_MADE = Picture(
    "How <much> & why?",
    'It says "quite a lot" & more.',
    ("a<b", "$x^2$", "c & d"),
    (
        Series("made", (1.0, 2.0, 4.0), colours.SOLAR),
        Series("dug & <drawn>", (2.0, 1.0, 0.5), colours.CYLINDER),
        Series("wanted $y$", (3.0, 3.0, 3.0), colours.DEMAND, line=True),
    ),
    "time",
    "kWh",
)


def _texts(svg: str) -> list[str]:
    return [element.text or "" for element in ET.fromstring(svg).iter(SVG + "text")]


def _ids(svg: str) -> list[str]:
    return [e.attrib["id"] for e in ET.fromstring(svg).iter() if "id" in e.attrib]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("question", PICTURES)
def test_a_chart_is_xml_with_its_question_as_title_and_answer_as_description(
    answer, question, size
):
    picture = PICTURES[question](answer)
    root = ET.fromstring(picture_svg(picture, width_mm=size[0], height_mm=size[1]))
    assert root.tag == SVG + "svg"
    assert root.attrib["role"] == "img"
    named = {child.attrib.get("id"): child.text for child in root}
    title, desc = root.attrib["aria-labelledby"].split()
    assert named[title] == picture.question
    assert named[desc] == picture.answer


def test_words_are_kept_as_written():
    texts = _texts(picture_svg(HAND_MADE))
    assert {"a<b", "$x^2$", "c & d", "made", "dug & <drawn>", "wanted $y$"} <= set(texts)
    root = ET.fromstring(picture_svg(HAND_MADE))
    assert (root.find(SVG + "title").text, root.find(SVG + "desc").text) == (
        HAND_MADE.question, HAND_MADE.answer,
    )  # fmt: skip


@pytest.mark.parametrize("question", PICTURES)
def test_everything_a_chart_points_to_is_inside_it(answer, question):
    svg = picture_svg(PICTURES[question](answer))
    ids = _ids(svg)
    targets = re.findall(r"url\(([^)]*)\)", svg)
    targets += [
        value
        for element in ET.fromstring(svg).iter()
        for name, value in element.attrib.items()
        if name in (XLINK + "href", "href", "src")
    ]
    assert all(target[0] == "#" and target[1:] in ids for target in targets)
    assert not re.search(r"<(style|script|image|metadata|foreignObject)", svg)


def test_charts_on_one_page_share_no_id(answer):
    drawn = [
        picture_svg(make(answer), width_mm=width, height_mm=height)
        for make in PICTURES.values()
        for width, height in SIZES
    ]
    ids = [name for svg in drawn for name in _ids(svg)]
    assert len(set(ids)) == len(ids)


@pytest.mark.parametrize("question", PICTURES)
def test_the_same_picture_gives_the_same_bytes(answer, question):
    picture = PICTURES[question](answer)
    assert picture_svg(picture) == picture_svg(picture)


def test_another_process_and_another_users_settings_give_the_same_bytes():
    code = (
        "import hashlib, importlib.util as u, sys\n"
        f"spec = u.spec_from_file_location('charts', {__file__!r})\n"
        "m = u.module_from_spec(spec); spec.loader.exec_module(m)\n"
        "m.mpl.rcParams.update({'font.size': 20, 'svg.fonttype': 'path', 'axes.grid': True})\n"
        "print(hashlib.sha256(m.picture_svg(m.HAND_MADE).encode()).hexdigest())\n"
        "print('matplotlib.pyplot' in sys.modules)\n"
    )
    printed = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True,
        env={"PYTHONHASHSEED": "12345", "PATH": "/usr/bin:/bin"},
    )  # fmt: skip
    here = hashlib.sha256(picture_svg(HAND_MADE).encode()).hexdigest()
    assert printed.stdout.split() == [here, "False"]


def test_drawing_leaves_the_users_settings_alone():
    before = dict(mpl.rcParams)
    picture_svg(HAND_MADE)
    assert dict(mpl.rcParams) == before


def _bar_heights(svg: str, colour: str) -> list[float]:
    """Read the heights of the drawn bars of one plain colour, left to right [points]."""
    bars = {}
    for path in ET.fromstring(svg).iter(SVG + "path"):
        if f"fill: {colour.lower()}" in path.attrib.get("style", "") and "clip-path" in path.attrib:
            numbers = [float(n) for n in re.findall(r"-?\d+\.?\d*", path.attrib["d"])]
            ys = numbers[1::2]
            bars[numbers[0]] = max(ys) - min(ys)
    return [bars[x] for x in sorted(bars)]


def test_bars_are_as_high_as_their_values(answer):
    picture = PICTURES[WHEN](answer)
    values = picture.series[0].values
    heights = _bar_heights(picture_svg(picture), colours.SOLAR.colour)
    assert len(heights) == len(values)
    per_kwh = max(heights) / max(values)
    for height, value in zip(heights, values, strict=True):
        assert height == pytest.approx(value * per_kwh, abs=2 * DRAWN_TO_POINTS)


def test_a_patterned_bar_carries_a_pattern_and_a_plain_one_does_not():
    svg = picture_svg(HAND_MADE)
    patterns = list(ET.fromstring(svg).iter(SVG + "pattern"))
    fills = {p.find(SVG + "rect").attrib["fill"].lower() for p in patterns}
    assert fills == {colours.CYLINDER.colour.lower()}
    assert all(len(list(pattern)) > 1 for pattern in patterns)


def test_a_line_is_dashed_where_its_ink_is():
    dashed = [
        path
        for path in ET.fromstring(picture_svg(HAND_MADE)).iter(SVG + "path")
        if "stroke-dasharray" in path.attrib.get("style", "")
    ]
    assert [colours.DEMAND.colour.lower() in path.attrib["style"] for path in dashed] == [True]


def test_every_step_is_labelled_and_has_its_energy_beside_it(answer):
    picture = PICTURES[LOST](answer)
    texts = _texts(picture_svg(picture, width_mm=95, height_mm=98))
    for label in picture.labels:
        assert label in texts
    signed = [text for text in texts if text[:1] in ("+", "−") or text == "<1"]
    assert len(signed) == len(picture.labels) - 2


def test_names_of_lines_that_end_together_do_not_touch():
    lines = tuple(
        Series(name, (0.0, 10.0 + n / 100), ink, line=True)
        for n, (name, ink) in enumerate(
            [("one", colours.MONEY), ("two", colours.MONEY_DISCOUNTED), ("three", colours.CARBON)]
        )
    )
    picture = Picture("Which?", "All.", ("0", "1"), lines, "years", "£")
    ys = sorted(
        float(text.attrib["y"])
        for text in ET.fromstring(picture_svg(picture)).iter(SVG + "text")
        if text.text in ("one", "two", "three")
    )
    text_height = 8.0  # points, the size charts are lettered in
    assert all(low - high >= text_height for high, low in pairwise(ys))


@pytest.mark.parametrize("count", [1, 2, 12, 26, 61])
def test_labels_along_the_axis_are_thinned_until_they_fit(count):
    labels = tuple(str(n) for n in range(count))
    line = Series("so far", tuple(float(n) for n in range(count)), colours.CARBON, line=True)
    svg = picture_svg(Picture("When?", "Now.", labels, (line,), "years", "kg"), width_mm=95)
    placed = [
        float(text.attrib["x"])
        for text in ET.fromstring(svg).iter(SVG + "text")
        if text.text in labels and "text-anchor: middle" in text.attrib["style"]
    ]
    digits = 2 if count > 10 else 1
    assert all(b - a > digits * 5 for a, b in pairwise(placed))


@pytest.mark.parametrize("values", [(0.0,) * 12, (1e-6,) * 12, (1e7,) * 12, (0.0,) * 11 + (5.0,)])
def test_odd_sizes_are_drawn(values):
    labels = tuple(f"m{n}" for n in range(12))
    series = (Series("made", values, colours.SOLAR),)
    svg = picture_svg(Picture("When?", "Now.", labels, series, "month", "kWh"))
    assert "nan" not in svg.lower()
    ET.fromstring(svg)


@pytest.mark.parametrize("ink", [print_paper.TEXT, print_paper.FAINT])
def test_lettering_stands_out_from_the_paper(ink):
    assert _contrast(ink, print_paper.PAPER) >= READABLE


def _contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours; WCAG 2.2, definitions of contrast ratio and luminance."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_the_image_for_workbooks_is_the_chart(bungalow):
    picture = PICTURES[WHERE](bungalow.estimate())
    head, _, data = picture_data_uri(picture).partition(",")
    assert head == "data:image/svg+xml;base64"
    assert base64.b64decode(data).decode("utf-8") == picture_svg(picture)
