"""Make a drawing fit to stand inside a page: small, named for screen readers, ids of its own."""

import hashlib
import re
from collections.abc import Mapping
from html import escape

from pvkit.present.picture import Picture, Spans

# Whichever of these the reader has; all are narrower than what the drawing was laid out in.
SHOWN_IN = "Arial, 'Liberation Sans', Helvetica, sans-serif"
_TILE = 6
_LINES = '<path d="{}" style="fill: none; stroke: #ffffff; stroke-width: 1"/>'
_MARKS = {
    "/": _LINES.format("M0 6 6 0M-1 1 1-1M5 7 7 5"),
    "\\": _LINES.format("M0 0 6 6M-1 5 1 7M5-1 7 1"),
    "x": _LINES.format("M0 6 6 0M0 0 6 6"),
    "-": _LINES.format("M0 3H6"),
    ".": '<g style="fill: #ffffff"><circle cx="1.5" cy="1.5" r="0.9"/>'
    '<circle cx="4.5" cy="4.5" r="0.9"/></g>',
}


def tidied(svg: str, picture: Picture | Spans, hatches: Mapping[str, str]) -> str:
    """Tidy a drawing of matplotlib's.

    Parameters
    ----------
    svg : as saved, with text kept as text
    picture : what it shows; the question and answer become its title and description
    hatches : colour in small letters to the pattern that bars of it carry

    Returns
    -------
    one ``<svg>`` element; nothing in it reaches beyond it
    """
    mark = "c" + hashlib.sha256(svg.encode() + repr(picture).encode()).hexdigest()[:8]
    svg = svg[svg.index("<svg") :].strip()
    svg = re.sub(r"<!--.*?-->|<style.*?</style>|<metadata.*?</metadata>", "", svg, flags=re.DOTALL)
    svg = re.sub(r"<defs>\s*</defs>", "", svg)
    svg = re.sub(
        r'<pattern id="([^"]+)".*?fill="(#\w+)".*?</pattern>',
        lambda m: _tile(m[1], m[2], hatches.get(m[2].lower(), "")),
        svg,
        flags=re.DOTALL,
    )
    svg = re.sub(r"<[^>]+>", lambda tag: _short(tag[0]), svg)
    return _named(_own_ids(svg, mark), picture, mark)


def _tile(name: str, colour: str, hatch: str) -> str:
    box = f'width="{_TILE}" height="{_TILE}"'
    return (
        f'<pattern id="{name}" patternUnits="userSpaceOnUse" {box}>'
        f'<rect {box} fill="{colour}"/>{_MARKS.get(hatch, "")}</pattern>'
    )


def _short(tag: str) -> str:
    """Keep a hundredth of a point, and say the typeface once, at the top."""
    tag = re.sub(r'\s*transform="rotate\(-?0 [^)]*\)"|\s*font-family: [^;"]*;', "", tag)
    tag = re.sub(r"\d+\.\d{3,}", lambda m: f"{float(m[0]):.2f}".rstrip("0").rstrip("."), tag)
    return re.sub(r"\s+", " ", tag)


def _own_ids(svg: str, mark: str) -> str:
    used = set(re.findall(r"(?:url\(#|href=\"#)([^)\"]+)", svg))
    svg = re.sub(r' id="([^"]*)"', lambda m: f' id="{mark}-{m[1]}"' if m[1] in used else "", svg)
    svg = re.sub(r"(url\(#|href=\"#)", rf"\g<1>{mark}-", svg)
    return re.sub(r">\s+<", "><", svg)


def _named(svg: str, picture: Picture | Spans, mark: str) -> str:
    head = (
        f'<svg role="img" aria-labelledby="{mark}-title {mark}-desc" style="font-family: '
        f'{SHOWN_IN}; stroke-linejoin: round; stroke-linecap: butt"'
    )
    said = (
        f'<title id="{mark}-title">{escape(picture.question)}</title>'
        f'<desc id="{mark}-desc">{escape(picture.answer)}</desc>'
    )
    return re.sub(r"<svg([^>]*)>", lambda m: f"{head}{m[1]}>{said}", svg, count=1)
