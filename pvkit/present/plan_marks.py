"""Marks on a plan: dimension lines, the north arrow, the scale bar."""

from collections.abc import Sequence
from itertools import pairwise
from math import atan2, cos, degrees, hypot, radians, sin

from pvkit.present.plan_paper import SMALL_MM, Paper, Point, line, number, outline, width_of, words

_THIN = 'stroke="#000" stroke-width="0.18"'
_TICK_MM = 1.2
_BARS_M = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)
_BAR_MM = 30.0
_ARROW_MM = 5.5


def dimension(start: Point, end: Point, metres: float, *, beside: float = -0.8) -> str:
    """Draw a dimension line with a slanted tick at each end and its length in metres.

    Parameters
    ----------
    start, end : on the page; words stand above the line as read from start to end
    metres : what it measures
    beside : from the line to the foot of the words [mm], below 0 above it
    """
    if end[0] < start[0] - 0.01:  # so that the words are not upside down
        start, end = end, start
    (x1, y1), (x2, y2) = start, end
    turn = degrees(atan2(y2 - y1, x2 - x1))
    length = hypot(x2 - x1, y2 - y1)
    slant = radians(turn - 45.0)
    tick = (_TICK_MM * cos(slant), _TICK_MM * sin(slant))
    ticks = [
        line(
            (x - tick[0], y - tick[1]),
            (x + tick[0], y + tick[1]),
            'stroke="#000" stroke-width="0.3"',
        )
        for x, y in (start, end)
    ]
    said = f"{metres:.2f}"
    aside = radians(turn + 90.0)
    middle = ((x1 + x2) / 2 + beside * cos(aside), (y1 + y2) / 2 + beside * sin(aside))
    if length < width_of(said, SMALL_MM):  # no room between the ticks: after the end
        away = (length / 2 + _TICK_MM + width_of(said, SMALL_MM) / 2) / max(length, 1e-9)
        middle = (middle[0] + (x2 - x1) * away, middle[1] + (y2 - y1) * away)
    text = words(said, middle, size=SMALL_MM, turn=turn if abs(turn) > 0.01 else 0.0)
    return "".join([line(start, end, _THIN), *ticks, text])


def chain(paper: Paper, stops: Sequence[float], beside_mm: float, *, up: bool) -> str:
    """Draw dimensions end to end, below the roof or to its left.

    Parameters
    ----------
    paper : the page
    stops : x of the roof from left to right, or y from below up [m]
    beside_mm : from the roof's box to the line
    up : along the left side instead of below
    """
    found = []
    for start, end in pairwise(stops):
        if end - start < 0.005:
            continue
        if up:
            x = paper.right_mm - beside_mm
            ends = ((x, paper.at((0.0, start))[1]), (x, paper.at((0.0, end))[1]))
        else:
            y = paper.down_mm + beside_mm
            ends = ((paper.at((start, 0.0))[0], y), (paper.at((end, 0.0))[0], y))
        found.append(dimension(*ends, end - start))
    return "".join(found)


def north_arrow(at: Point, north_deg: float) -> str:
    """Draw an arrow to the north.

    Parameters
    ----------
    at : its middle on the page
    north_deg : where north lies, clockwise from up the page
    """
    x, y = at
    half = outline(((x, y - _ARROW_MM), (x - 2.2, y + _ARROW_MM), (x, y + 3.2)),
                   'fill="#fff" stroke="#000" stroke-width="0.25"')  # fmt: skip
    dark = outline(((x, y - _ARROW_MM), (x + 2.2, y + _ARROW_MM), (x, y + 3.2)),
                   'fill="#000" stroke="#000" stroke-width="0.25"')  # fmt: skip
    turn = radians(north_deg)
    away = _ARROW_MM + 2.6
    letter = words("N", (x + away * sin(turn), y - away * cos(turn) + 1.0))
    turned = f"rotate({number(north_deg)} {number(x)} {number(y)})"
    return f'<g transform="{turned}">{half}{dark}</g>{letter}'


def scale_bar(paper: Paper, at: Point) -> tuple[str, float]:
    """Draw a bar of whole metres, which stays true when a page is not printed full size.

    Returns
    -------
    the bar from its left end, and its length on the page [mm]
    """
    metres = max((m for m in _BARS_M if paper.mm(m) <= _BAR_MM), default=_BARS_M[0])
    x, y = at
    half = paper.mm(metres / 2)
    box = 'stroke="#000" stroke-width="0.25"'
    low = y + 1.6
    dark = outline(((x, y), (x + half, y), (x + half, low), (x, low)), f'fill="#000" {box}')
    pale = outline(((x + half, y), (x + 2 * half, y), (x + 2 * half, low), (x + half, low)),
                   f'fill="#fff" {box}')  # fmt: skip
    marks = [(0.0, "0"), (half, f"{metres / 2:g}"), (2 * half, f"{metres:g} m")]
    text = "".join(words(said, (x + along, y - 0.8), size=SMALL_MM) for along, said in marks)
    return dark + pale + text, 2 * half
