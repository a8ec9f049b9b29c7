"""Symbols of a one-line wiring diagram, drawn in millimetres round their middle."""

from html import escape

from pvkit.present.plan_paper import Point, line, number

TEXT_MM, SMALL_MM = 2.9, 2.5
WIRE = 'stroke="#000" stroke-width="0.45" fill="none"'
THIN = 'stroke="#000" stroke-width="0.25" fill="none"'
EARTH = 'stroke="#000" stroke-width="0.3" stroke-dasharray="1.4 0.9" fill="none"'
_BOX = 'stroke="#000" stroke-width="0.35" fill="#fff"'
_BOARD = 'stroke="#000" stroke-width="0.25" stroke-dasharray="1 1" fill="none"'
_LINE_MM = 3.4


def said(words: str, at: Point, size: float = TEXT_MM) -> str:
    """Write some words, their middle and base line at a point."""
    x, y = at
    place = f'x="{number(x)}" y="{number(y)}" font-size="{number(size)}"'
    return f'<text {place} text-anchor="middle" fill="#000">{escape(words)}</text>'


def under(lines: tuple[str, ...], at: Point, drop: float = 7.5) -> str:
    """Write lines below a symbol, the first in small letters; empty ones take no room."""
    x, y = at
    shown = [words for words in lines if words]
    return "".join(
        said(words, (x, y + drop + place * _LINE_MM), TEXT_MM if place else SMALL_MM)
        for place, words in enumerate(shown)
    )


def rect(corner: Point, size: tuple[float, float], look: str = _BOX) -> str:
    """Draw a box."""
    (x, y), (wide, high) = corner, size
    box = f'x="{number(x)}" y="{number(y)}" width="{number(wide)}" height="{number(high)}"'
    return f"<rect {box} {look}/>"


def ball(words: str, at: Point) -> str:
    """Draw a number in a ring, as the list of parts has it."""
    x, y = at
    ring = f'<circle cx="{number(x)}" cy="{number(y)}" r="2.4" {_BOX}/>'
    return ring + said(words, (x, y + 0.9), SMALL_MM)


def dot(at: Point) -> str:
    """Draw the end of a switch."""
    x, y = at
    return f'<circle cx="{number(x)}" cy="{number(y)}" r="0.6" fill="#000"/>'


def panels(at: Point) -> str:
    """Draw a block of cells, 22 mm by 14 mm."""
    x, y = at
    rows = (line((x - 11, y + step), (x + 11, y + step), THIN) for step in (-2.3, 2.3))
    columns = (line((x + step, y - 7), (x + step, y + 7), THIN) for step in (-5.5, 0.0, 5.5))
    return f"{rect((x - 11, y - 7), (22, 14))}{''.join(rows)}{''.join(columns)}"


def optimiser(at: Point) -> str:
    """Draw a converter from d.c. to d.c., 10 mm by 9 mm."""
    x, y = at
    return (
        f"{rect((x - 5, y - 4.5), (10, 9))}{line((x - 5, y + 4.5), (x + 5, y - 4.5), THIN)}"
        f"{said('=', (x - 2.5, y - 0.6))}{said('=', (x + 2.5, y + 3.4))}"
    )


def fuse(at: Point) -> str:
    """Draw a fuse, 8 mm long."""
    x, y = at
    return f"{rect((x - 4, y - 1.8), (8, 3.6))}{line((x - 4, y), (x + 4, y), THIN)}"


def switch(at: Point, *, breaker: bool = False) -> str:
    """Draw a switch, open so that it can be told from a wire; a breaker has a cross at one end."""
    x, y = at
    cross = (
        line((x + 2.6, y - 0.9), (x + 4.4, y + 0.9), THIN)
        + line((x + 2.6, y + 0.9), (x + 4.4, y - 0.9), THIN)
        if breaker
        else dot((x + 3.5, y))
    )
    return (
        f"{line((x - 5, y), (x - 3.5, y), WIRE)}{line((x + 3.5, y), (x + 5, y), WIRE)}"
        f"{line((x - 3.5, y), (x + 3, y - 4), WIRE)}{dot((x - 3.5, y))}{cross}"
    )


def meter(at: Point) -> str:
    """Draw a meter, 10 mm square."""
    x, y = at
    return f"{rect((x - 5, y - 5), (10, 10))}{said('kWh', (x, y + 1), SMALL_MM)}"


def battery(at: Point) -> str:
    """Draw a battery: a box of 12 mm by 9 mm with a long and a short plate."""
    x, y = at
    plates = (
        line((x - 1, y - 2.6), (x - 1, y + 2.6), THIN),
        line((x + 1, y - 1.3), (x + 1, y + 1.3), WIRE),
    )
    leads = line((x - 4, y), (x - 1, y), THIN), line((x + 1, y), (x + 4, y), THIN)
    return "".join([rect((x - 6, y - 4.5), (12, 9)), *plates, *leads])


def ground(at: Point) -> str:
    """Draw earth, hanging from a point."""
    x, y = at
    bars = ((2.2, 0.0), (1.4, 1.0), (0.6, 2.0))
    return "".join(line((x - half, y + low), (x + half, y + low), WIRE) for half, low in bars)


def board(left: float, right: float, y: float) -> str:
    """Draw the outline of the board round what stands in it."""
    box = rect((left, y - 12.5), (right - left, 30), _BOARD)
    return box + said("board", ((left + right) / 2, y + 16), SMALL_MM)
