"""Paper for a plan: a scale that fits the page, and strokes to draw with, in millimetres."""

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

Point = tuple[float, float]

# Usual scales of a plan, the largest drawing first; and the room for the roof itself on a page of
# A4 with dimensions round it [mm].
SCALES = (20, 25, 50, 75, 100, 150, 200, 250, 500, 750, 1000, 1500, 2000)
ROOM_MM = (150.0, 170.0)
TEXT_MM = 2.8
SMALL_MM = 2.3
# A letter is about half as wide as the text is high.
LETTER = 0.54


@dataclass(frozen=True, slots=True)
class Paper:
    """Where a roof's x and y come to lie on the page.

    Parameters
    ----------
    scale : a metre on the roof is 1000 / scale millimetres
    left_m, low_m : least x and y of the roof
    right_mm, down_mm : where its lower left corner lies on the page
    """

    scale: int
    left_m: float
    low_m: float
    right_mm: float
    down_mm: float

    def mm(self, metres: float) -> float:
        """Give a length on the page."""
        return 1000.0 * metres / self.scale

    def at(self, point: Point) -> Point:
        """Give a point of the roof on the page, whose y runs down."""
        x, y = point
        return self.right_mm + self.mm(x - self.left_m), self.down_mm - self.mm(y - self.low_m)


def scale_for(width_m: float, depth_m: float, room_mm: Point = ROOM_MM) -> int:
    """Give the largest usual scale at which a roof fits the page, or other room.

    Examples
    --------
    >>> scale_for(9.0, 5.5), scale_for(40.0, 12.0)
    (75, 500)
    """
    wide, high = room_mm
    for scale in SCALES:
        if 1000.0 * width_m / scale <= wide and 1000.0 * depth_m / scale <= high:
            return scale
    return SCALES[-1]


def number(value: float) -> str:
    """Write a coordinate to the hundredth of a millimetre."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def outline(points: Sequence[Point], look: str) -> str:
    """Draw a closed outline."""
    corners = " ".join(f"{number(x)},{number(y)}" for x, y in points)
    return f'<polygon points="{corners}" {look}/>'


def line(start: Point, end: Point, look: str) -> str:
    """Draw a straight line."""
    (x1, y1), (x2, y2) = start, end
    ends = f'x1="{number(x1)}" y1="{number(y1)}" x2="{number(x2)}" y2="{number(y2)}"'
    return f"<line {ends} {look}/>"


def words(
    said: str, at: Point, *, size: float = TEXT_MM, anchor: str = "middle", turn: float = 0.0
) -> str:
    """Write some words, with a white edge so that they can be read over lines.

    Parameters
    ----------
    said : the words
    at : middle or end of them, on their base line
    size : height of the letters [mm]
    anchor : start, middle or end
    turn : clockwise [deg]
    """
    x, y = at
    turned = f' transform="rotate({number(turn)} {number(x)} {number(y)})"' if turn else ""
    return (
        f'<text x="{number(x)}" y="{number(y)}" font-size="{number(size)}" text-anchor="{anchor}" '
        f'fill="#000" stroke="#fff" stroke-width="0.7" paint-order="stroke"{turned}>'
        f"{escape(said)}</text>"
    )


def width_of(said: str, size: float = TEXT_MM) -> float:
    """Give about how wide some words are [mm]."""
    return LETTER * size * len(said)
