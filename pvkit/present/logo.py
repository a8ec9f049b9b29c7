"""A logo as part of a page: a small picture from this computer that can fetch and run nothing."""

import base64
import re
import xml.etree.ElementTree as ET
from pathlib import Path

from pvkit.errors import Fault, InputError

LARGEST_BYTES = 500_000
_ALLOWED = f"a .png, .jpg or .svg picture of up to {LARGEST_BYTES // 1000} kB"
# How a file of each kind begins.
_STARTS = {"png": b"\x89PNG\r\n\x1a\n", "jpeg": b"\xff\xd8\xff"}
_KINDS = {".png": "png", ".jpg": "jpeg", ".jpeg": "jpeg", ".svg": "svg+xml"}
_RUNS = {"script", "foreignobject", "iframe", "object", "embed", "handler", "listener", "audio",
         "video", "set", "animate", "animatetransform", "animatemotion"}  # fmt: skip
_FETCHES = re.compile(r"@import|expression\s*\(|url\(\s*['\"]?\s*(?!#)|javascript:", re.IGNORECASE)
# Heads that name other files; text of two bytes a letter would hide them.
_HEADS = (b"<!doctype", b"<!entity", b"<?xml-stylesheet", b"\0")
_POINTS = ("href", "src")


def logo_uri(file: Path) -> str:
    """Give a picture as a ``data:`` address.

    Parameters
    ----------
    file : .png, .jpg or .svg on this computer

    Raises
    ------
    InputError
        If it is not there, too large, another kind of file than its name says, or a drawing that
        runs or fetches something.
    """
    kind = _KINDS.get(file.suffix.lower())
    if kind is None:
        raise InputError(_fault(file, f"found the ending '{file.suffix}'", "save it as .png"))
    content = _content(file)
    if kind in _STARTS and not content.startswith(_STARTS[kind]):
        raise InputError(_fault(file, "found another kind of file than its name says",
                                "save the picture again from a drawing program"))  # fmt: skip
    if kind == "svg+xml":
        _check_drawing(file, content)
    return f"data:image/{kind};base64,{base64.b64encode(content).decode('ascii')}"


def _content(file: Path) -> bytes:
    try:
        if not file.is_file():
            raise InputError(_fault(file, "found no such file", "put it beside the firm's file"))
        size = file.stat().st_size
        if size > LARGEST_BYTES:
            raise InputError(_fault(file, f"found {size:,} bytes", "save a smaller picture"))
        return file.read_bytes()
    except (OSError, ValueError) as error:
        fault = _fault(file, "found a file that cannot be read", "give a file that you may read")
        raise InputError(fault) from error


def _check_drawing(file: Path, content: bytes) -> None:
    """Refuse a drawing that names anything outside itself, or holds anything that runs."""
    fix = "save it as plain SVG without scripts, links and linked pictures, or as .png"
    for word in _HEADS:
        if word in content.lower():
            said = word.decode("ascii").strip("<!?\0") or "letters that are not UTF-8"
            raise InputError(_fault(file, f"found {said} in the drawing", fix))
    try:
        root = ET.fromstring(content)
    except ET.ParseError as error:
        raise InputError(_fault(file, "found no SVG that can be read", fix)) from error
    if _local(root.tag) != "svg":
        raise InputError(_fault(file, f"found <{_local(root.tag)}> and no <svg>", fix))
    for element in root.iter():
        said = _unsafe(element)
        if said:
            raise InputError(_fault(file, f"found {said} in the drawing", fix))


def _unsafe(element: ET.Element) -> str:
    name = _local(str(element.tag))
    if name in _RUNS:
        return f"<{name}>"
    if name == "style" and _FETCHES.search(element.text or ""):
        return "a style that fetches something"
    for key, value in element.attrib.items():
        word = _local(key)
        if word.startswith("on"):
            return f"'{word}'"
        if word in _POINTS and not value.startswith(("#", "data:image/png", "data:image/jpeg")):
            return f"a link to '{value[:40]}'"
        if _FETCHES.search(value):
            return f"'{word}' that fetches something"
    return ""


def _local(tag: str) -> str:
    return tag.rpartition("}")[2].lower()


def _fault(file: Path, found: str, fix: str) -> Fault:
    return Fault(str(file), found, _ALLOWED, fix)
