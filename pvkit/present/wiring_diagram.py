"""The wiring on one line: panels, fuses, cables, isolators, inverter, meters, mains."""

import hashlib
from html import escape
from itertools import pairwise

from pvkit.present.plan_paper import line, number
from pvkit.present.svg import SHOWN_IN
from pvkit.present.wiring_parts import ArrayWiring, SystemWiring
from pvkit.present.wiring_symbols import (
    EARTH,
    SMALL_MM,
    THIN,
    WIRE,
    ball,
    battery,
    board,
    fuse,
    ground,
    meter,
    optimiser,
    panels,
    rect,
    said,
    switch,
    under,
)

_WIDE_MM, _TOP_MM, _ROW_MM, _DOWN_MM, _FOOT_MM = 170.0, 16.0, 32.0, 36.0, 20.0
# Where each thing stands across the page [mm].
_PANELS, _OPTIMISER, _FUSE, _DC_CABLE, _DC_ISOLATOR = 13.0, 40.0, 62.0, 88.0, 116.0
_INVERTER, _BATTERY_MM = (134.0, 166.0), 14.0
_AC_ISOLATOR, _AC_CABLE, _METER = 133.0, 110.0, 88.0
_BREAKER, _MAIN, _BOARD = 70.0, 51.0, (41.0, 79.0)
_SUPPLY, _CUT_OUT = 29.0, 9.0


def wiring_svg(wiring: SystemWiring, name: str) -> str:
    """Draw a system's wiring, one row for each array, then the way to the mains.

    Parameters
    ----------
    wiring : from :func:`pvkit.present.wiring_parts.system_wiring`
    name : of the site

    Returns
    -------
    one ``<svg>`` element, sized in millimetres; its numbers are those of
    :func:`pvkit.present.wiring_parts.parts_list`
    """
    heights = [_TOP_MM + place * _ROW_MM for place in range(len(wiring.arrays))]
    rows = [
        _array(array, y, wiring.bonded) for array, y in zip(wiring.arrays, heights, strict=True)
    ]
    drawn = [*rows, _inverter(wiring, heights), _to_the_mains(wiring, heights[-1])]
    inside = "".join([*drawn, _battery(wiring, heights[-1])])
    made = ", ".join(f"{array.name}: {array.panels}" for array in wiring.arrays)
    title, words = f"Wiring diagram of {name}", f"{made}; inverter {wiring.inverter}."
    mark = "w" + hashlib.sha256((title + words + inside).encode()).hexdigest()[:8]
    wide, high = number(_WIDE_MM), number(heights[-1] + _DOWN_MM + _foot_mm(wiring))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" '
        f'viewBox="0 0 {wide} {high}" role="img" aria-labelledby="{mark}-title {mark}-desc" '
        f'font-family="{SHOWN_IN}"><title id="{mark}-title">{escape(title)}</title>'
        f'<desc id="{mark}-desc">{escape(words)}</desc>{inside}</svg>'
    )


def _foot_mm(wiring: SystemWiring) -> float:
    return _FOOT_MM + (_BATTERY_MM if wiring.battery_side == "ac" else 0.0)


def _battery(wiring: SystemWiring, last: float) -> str:
    """Draw a battery where it is joined on: below the board, or below the inverter."""
    if not wiring.battery:
        return ""
    if wiring.battery_side == "dc":
        x, top = _INVERTER[1] - 7.0, last + 10
        words = said("battery", (x - 1, top + 16.3), SMALL_MM) + ball("11", (x + 7, top + 15.6))
    else:
        x, top = (_BOARD[0] + _BOARD[1]) / 2, last + _DOWN_MM + 17.5
        words = said(f"battery {wiring.battery}", (x - 27, top + 9.5)) + ball(
            "11", (x + 9, top + 8.5)
        )
    wire = line((x, top), (x, top + 4), WIRE)
    return wire + battery((x, top + 8.5)) + words


def _array(array: ArrayWiring, y: float, bonded: bool | None) -> str:
    """Draw one array and its run to the inverter."""
    drawn = [
        line((_PANELS + 11, y), (_DC_ISOLATOR - 5, y), WIRE),
        line((_DC_ISOLATOR + 5, y), (_INVERTER[0], y), WIRE),
        panels((_PANELS, y)),
        ball("1", (_PANELS - 8.6, y - 10.2)),
        said(array.name, (_PANELS + 2.5, y - 9.2)),
        said(array.panels, (_PANELS, y + 11)),
        said(array.strings, (_PANELS, y + 14.4), SMALL_MM),
        ball("3", (_DC_CABLE, y - 8.5)),
        said(array.cable, (_DC_CABLE, y - 2)),
        said("+ and − together", (_DC_CABLE, y + 4), SMALL_MM),
        switch((_DC_ISOLATOR, y)),
        ball("4", (_DC_ISOLATOR, y - 8.5)),
        under(("d.c. isolator", array.isolator), (_DC_ISOLATOR, y)),
    ]
    if array.optimisers:
        drawn += [
            optimiser((_OPTIMISER, y)),
            said("optimiser on", (_OPTIMISER, y + 7.5), SMALL_MM),
            said("each panel", (_OPTIMISER, y + 10.6), SMALL_MM),
        ]
    if array.fuse:
        drawn += [fuse((_FUSE, y)), ball("2", (_FUSE, y - 8.5)),
                  under(("fuses in + and −", array.fuse), (_FUSE, y))]  # fmt: skip
    return "".join(drawn) + (_frame_earth(y) if bonded else "")


def _frame_earth(y: float) -> str:
    """Draw the frame's own wire to earth beside the panels."""
    x = _PANELS + 11.0
    bend = line((x, y + 5), (x + 4, y + 5), EARTH) + line((x + 4, y + 5), (x + 4, y + 8), EARTH)
    return bend + ground((x + 4, y + 8))


def _inverter(wiring: SystemWiring, heights: list[float]) -> str:
    (left, right), several = _INVERTER, len(heights) > 1
    top, bottom, x = heights[0] - 10, heights[-1] + 10, sum(_INVERTER) / 2
    inputs = [said(str(n), (left + 2, y - 1), SMALL_MM) for n, y in enumerate(heights, 1)]
    return "".join(
        [
            rect((left, top), (right - left, bottom - top)),
            line((left, bottom), (left + 5, bottom - 5), THIN),
            line((right - 5, top + 5), (right, top), THIN),
            said("=", (left + 3, top + 4)),
            said("~", (right - 3, bottom - 2)),
            *(inputs if several else ()),
            under(("inverter", wiring.inverter), (x + 1, (top + bottom) / 2), drop=-0.5),
            ball("5", (right - 3, top - 3.4)),
        ]
    )


def _to_the_mains(wiring: SystemWiring, last: float) -> str:
    """Draw the a.c. side below, from the inverter on the right to the mains on the left."""
    x, y = sum(_INVERTER) / 2, last + _DOWN_MM
    stops = (x, _AC_ISOLATOR, _METER, _BREAKER, _MAIN, _SUPPLY, _CUT_OUT)
    wires = [line((start - (5 if n else 0), y), (end + 5, y), WIRE)
             for n, (start, end) in enumerate(pairwise(stops))]  # fmt: skip
    return "".join(
        [
            line((x, last + 10), (x, y), WIRE),
            *wires,
            switch((_AC_ISOLATOR, y)),
            ball("6", (_AC_ISOLATOR, y - 8.5)),
            under(("a.c. isolator", wiring.ac_isolator), (_AC_ISOLATOR, y)),
            ball("7", (_AC_CABLE, y - 8.5)),
            said(f"{wiring.ac_size}, {wiring.ac_length}", (_AC_CABLE, y - 2)),
            said(wiring.ac_kind, (_AC_CABLE, y + 4), SMALL_MM),
            meter((_METER, y)),
            ball("8", (_METER, y - 8.5)),
            under(("generation",), (_METER, y), drop=8.2),
            *_at_the_board(wiring, y),
        ]
    )


def _at_the_board(wiring: SystemWiring, y: float) -> list[str]:
    return [
        board(*_BOARD, y),
        switch((_BREAKER, y), breaker=True),
        ball("9", (_BREAKER, y - 8.5)),
        under(("own breaker", wiring.breaker), (_BREAKER, y)),
        switch((_MAIN, y)),
        ball("10", (_MAIN, y - 8.5)),
        under(("main switch",), (_MAIN, y)),
        meter((_SUPPLY, y)),
        under(("supply meter",), (_SUPPLY, y), drop=8.2),
        rect((_CUT_OUT - 5, y - 5), (10, 10)),
        under(("cut-out", wiring.earthing), (_CUT_OUT, y), drop=8.2),
    ]
