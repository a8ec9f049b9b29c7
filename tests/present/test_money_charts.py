"""Charts of ranges, spans and paths on paper: whole, self-contained, true, apart in grey."""

import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from pvkit.present import colours
from pvkit.present.money_pictures import avoid_picture, earn_picture, sway_picture
from pvkit.present.picture import Spans
from pvkit.present.pictures import when_picture, where_picture
from pvkit.present.print_charts import apart, picture_svg
from pvkit.present.screen_charts import picture_json
from pvkit.present.screen_spans import spans_json

SVG = "{http://www.w3.org/2000/svg}"
SIZES = ((172, 56), (95, 98))
HAND_MADE = Spans(
    "What <moves> & sways?",
    'It says "quite a lot".',
    ("everything <together>", "a & b"),
    (-200.0, -50.0),
    (300.0, 100.0),
    (("−£200", "£300"), ("−£50", "£100")),
    20.0,
    "as estimated, £20",
    "£",
)


def _words(svg: str) -> list[str]:
    return [("".join(text.itertext())).strip() for text in ET.fromstring(svg).iter(f"{SVG}text")]


@pytest.mark.parametrize("size", SIZES)
def test_spans_are_drawn_whole_with_the_words_at_their_ends(size):
    svg = picture_svg(HAND_MADE, width_mm=size[0], height_mm=size[1])
    words = _words(svg)
    for said in (*HAND_MADE.labels, "−£200", "£300", "−£50", "£100", HAND_MADE.base_words):
        assert said in words
    assert "<moves>" not in svg
    assert not re.search(r"https?://(?!www\.w3\.org)", svg)
    assert picture_svg(HAND_MADE, width_mm=size[0], height_mm=size[1]) == svg


def test_spans_on_the_screen_start_at_the_estimate_and_end_at_their_figures():
    cautious, hopeful = spans_json(HAND_MADE)["data"]
    for bars, ends in ((cautious, HAND_MADE.low), (hopeful, HAND_MADE.high)):
        assert bars["base"] == HAND_MADE.base
        assert [bars["base"] + length for length in bars["x"]] == pytest.approx(ends)


def test_cautious_and_hopeful_bars_differ_in_pattern_and_in_grey():
    assert colours.CAUTIOUS.pattern != colours.HOPEFUL.pattern
    assert abs(_grey(colours.CAUTIOUS.colour) - _grey(colours.HOPEFUL.colour)) > 0.1


def _grey(colour: str) -> float:
    """Give a colour's luma, ITU-R BT.601."""
    red, green, blue = (int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5))
    return 0.299 * red + 0.587 * green + 0.114 * blue


def test_each_month_stands_within_its_likely_range(answer):
    made = when_picture(answer, ranged=True).series[0]
    for low, value, high in zip(made.low, made.values, made.high, strict=True):
        assert low < value < high
    plain = when_picture(answer).series[0]
    assert plain.low == plain.high == ()


def test_ranges_are_drawn_on_paper_and_on_the_screen(bungalow):
    plain, ranged = (when_picture(bungalow.estimate(), ranged=each) for each in (False, True))
    feet = [picture_svg(each).count("<path") for each in (plain, ranged)]
    assert feet[1] - feet[0] >= 3 * 12
    bars = picture_json(ranged)["data"][0]
    made = ranged.series[0]
    above = [y + up for y, up in zip(made.values, bars["error_y"]["array"], strict=True)]
    assert above == pytest.approx(made.high)


def test_five_paths_of_energy_stand_in_the_legend_in_their_order(studies):
    picture = where_picture(studies["ev_and_battery"].estimate())
    assert len(picture.series) >= 5
    words = _words(picture_svg(picture, width_mm=172, height_mm=57))
    assert {series.name for series in picture.series} <= set(words)


def test_the_chosen_path_of_the_grid_comes_first_and_every_dash_is_its_own(bungalow):
    chosen = bungalow.change({"carbon.grid_path": "monthly"}).estimate()
    series = avoid_picture(chosen).series
    assert series[0].values[-1] == pytest.approx(chosen.carbon_saved_kgco2e, abs=0.05)
    assert len({each.ink.pattern for each in series}) == len(series) == 3


def test_a_loan_is_a_line_of_its_own(bungalow):
    loan = {"deposit_gbp": 500.0, "apr": 0.079, "years": 7}
    lent = bungalow.change({"loan": loan}).estimate()
    assert len(earn_picture(bungalow.estimate()).series) == 2
    line = earn_picture(lent).series[2]
    assert line.values[0] == -500.0
    assert line.values[-1] == pytest.approx(lent.loan.cumulative_gbp[-1], abs=0.05)


def test_the_worth_of_everything_together_is_the_sampled_range(answer):
    picture = sway_picture(answer)
    found = answer.ranges.npv_gbp
    assert (picture.low[0], picture.high[0]) == pytest.approx((found.p90, found.p10), abs=0.05)
    assert picture.base == pytest.approx(answer.npv_gbp, abs=0.05)


def test_names_of_lines_never_touch_and_stay_on_the_paper():
    placed = apart([1.0, 1.2, 1.3, 9.9], [0.5, 1.0, 0.5, 0.5], (0.0, 10.0))
    edges = [(middle - half, middle + half) for middle, half in
             zip(placed, [0.5, 1.0, 0.5, 0.5], strict=True)]  # fmt: skip
    assert all(above[0] >= below[1] - 1e-9 for below, above in pairwise(edges))
    assert edges[-1][1] <= 10.0
