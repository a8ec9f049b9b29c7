"""Commissioning records that tests change: a whole one of plain strings, and the samples."""

import copy
import datetime
import tomllib
from typing import Any

from pvkit.electrical.expected import expected_string
from pvkit.electrical.network import network_route
from pvkit.site.samples import record_files
from pvkit.site.survey import Site

LIGHT, DEGC = 720.0, 31.0


def sample(name: str) -> dict[str, Any]:
    """Give a sample record as a file would have it."""
    return tomllib.loads(record_files()[name].read_text(encoding="utf-8"))


def string(
    site: Site, array: str, number: int, light: float = LIGHT, degc: float = DEGC
) -> dict[str, Any]:
    """Give a sound plain string, measured exactly as the module model has it."""
    found = next(each for each in site.array if each.name == array)
    modules = site.count(found) // found.strings
    expected = expected_string(site.module(found), modules, light, degc)
    return {
        "array": array, "number": number, "irradiance_w_per_m2": light, "module_temp_degc": degc,
        "polarity": "correct", "voc_v": expected.voc_v, "isc_a": expected.isc_a,
        "vmp_v": expected.vmp_v, "imp_a": expected.imp_a, "insulation_test_v": 500.0,
        "insulation_plus_mohm": 300.0, "insulation_minus_mohm": 310.0,
    }  # fmt: skip


def whole(site: Site) -> dict[str, Any]:
    """Give a complete record of a site without optimisers."""
    raw = sample("bungalow_extension")
    del raw["optimisers"], raw["serials"]["optimisers"]
    count = sum(site.count(array) for array in site.array)
    raw["serials"]["modules"] = [f"M-{place}" for place in range(count)]
    raw["string"] = [
        string(site, array.name, number)
        for array in site.array
        for number in range(1, array.strings + 1)
    ]
    if network_route(site.inverter_sheet(), site.kwp() * 1000, site.supply).ask_first:
        raw["protection"]["rule"] = "G99"
        raw["network"]["date"] = raw["record"]["date"] - datetime.timedelta(days=20)
    return raw


def changed(raw: dict[str, Any], key: str, value: Any) -> dict[str, Any]:
    """Change one key, or take it out with None; ``string.0.voc_v`` is the first string's."""
    new = copy.deepcopy(raw)
    *path, last = key.split(".")
    here: Any = new
    for step in path:
        here = here[int(step)] if isinstance(here, list) else here.setdefault(step, {})
    if value is None:
        here.pop(last, None)
    else:
        here[last] = value
    return new
