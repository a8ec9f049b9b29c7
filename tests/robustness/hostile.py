"""A site, a record and readings whose every word of a person's tries to be more than a word."""

import datetime
import json
import re
from html.parser import HTMLParser
from pathlib import Path

from pvkit import load_site
from pvkit.electrical.readings import build_record
from pvkit.site.visit_readings import build_visit
from pvkit.study.record import Record, commission
from pvkit.study.visit import visit
from pvkit.study.visit_result import Visit

# Ends an attribute, an element of text and a comment; opens an element and an attribute of its
# own; asks a template to reckon; asks a chart for mathematics.
HOSTILE = "\"'--><pve onpve=1>{{7*7}}&lt;$\\b{"
_SITE = Path(__file__).parents[1] / "site" / "good_site.toml"
_WORDS = re.compile(r'\b(name|roof|pressure_source) = "([^"]*)"')


def hostile_file(folder: Path) -> Path:
    """Write a site file that uses most tables, each name followed by the hostile word."""
    text = _WORDS.sub(
        lambda found: f"{found[1]} = {json.dumps(found[2][:5] + HOSTILE)}",
        _SITE.read_text(encoding="utf-8"),
    )
    file = folder / "hostile.toml"
    file.write_text(text, encoding="utf-8")
    return file


def hostile_record(folder: Path) -> Record:
    """Judge a record of that site."""
    site = load_site(hostile_file(folder))
    raw = {
        "record": {"date": datetime.date(2026, 5, 4), "by": HOSTILE, "notes": HOSTILE},
        "string": [{"array": array.name, "number": 1, "polarity": "reversed"}
                   for array in site.array],
        "network": {"reference": HOSTILE},
        "ac_tests": {"certificate": HOSTILE, "satisfactory": True},
        "meter": {"generation_kwh": 0.0, "serial": HOSTILE},
        "serials": {"inverter": HOSTILE, "modules": [HOSTILE, HOSTILE]},
        "photo": [{"file": HOSTILE, "shows": HOSTILE}],
    }  # fmt: skip
    return commission(site, build_record(raw, site, "record.toml"))


def hostile_visit(folder: Path) -> Visit:
    """Judge a visit to that site."""
    raw = {
        "visit": {"date": datetime.date(2027, 4, 1), "installed": datetime.date(2025, 4, 1),
                  "by": HOSTILE, "remarks": HOSTILE},
        "monthly": {"first": "2026-04", "kwh": [300.0, 310.0, 320.0, 300.0]},
        "irradiation": {"first": "2026-04", "kwh_per_m2": [120.0, 150.0, 150.0, 145.0],
                        "source": HOSTILE},
        "insulation": [{"name": HOSTILE, "test_v": 500.0, "mohm": 0.2}],
    }  # fmt: skip
    return visit(load_site(hostile_file(folder)), build_visit(raw, "visit.toml", folder))


class Page(HTMLParser):
    """The elements, attributes and words of a page, as a reader of HTML finds them."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: set[str] = set()
        self.attributes: set[str] = set()
        self.words: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag, attrs):
        """Remember an element and its attributes; words in attributes are words."""
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}
        self.words += [value or "" for _, value in attrs]

    def handle_data(self, data):
        """Remember words."""
        self.words.append(data)


def refuse_markup(page: str, shown: int = 1) -> None:
    """Fail if the hostile word became an element, an attribute or a sum; it must be shown."""
    found = Page(page)
    assert not {tag for tag in found.tags if "pve" in tag}
    assert not {name for name in found.attributes if "pve" in name}
    assert not found.tags & {"script", "iframe", "object", "embed", "link", "base", "form"}
    assert not {name for name in found.attributes if name.startswith("on")}
    assert " ".join(found.words).count(HOSTILE) >= shown
