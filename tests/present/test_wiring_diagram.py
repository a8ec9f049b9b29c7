"""The wiring diagram: every part with its size, stand-ins marked, sound as a drawing."""

import xml.etree.ElementTree as ET

import pytest

from pvkit import load_site
from pvkit.electrical.readings import build_record
from pvkit.present.wiring_diagram import wiring_svg
from pvkit.present.wiring_parts import parts_list, system_wiring
from pvkit.site.samples import sample_sites
from pvkit.study.changes import changed
from tests.electrical.records import sample

SAMPLES = [each.name for each in sample_sites()]
DC_BATTERY = changed(load_site("ev_and_battery"), {"battery.coupling": "dc"})
DAY = {"record": sample("bungalow_extension")["record"]}


def drawn(site, raw=DAY):
    wiring = system_wiring(site, build_record(raw, site))
    return wiring, wiring_svg(wiring, site.site.name)


def texts(svg: str) -> list[str]:
    return [element.text or "" for element in ET.fromstring(svg).iter() if element.text]


@pytest.mark.parametrize("name", SAMPLES)
def test_each_array_and_each_number_of_the_list_is_on_the_drawing(name):
    site = load_site(name)
    wiring, svg = drawn(site)
    shown = texts(svg)
    for array in wiring.arrays:
        for words in (array.name, array.panels, array.strings, array.cable, array.isolator):
            assert words in shown
    numbers = {number for number, _, size in parts_list(wiring) if size != "none"}
    assert numbers <= set(shown)


@pytest.mark.parametrize("site", [*map(load_site, SAMPLES), DC_BATTERY])
def test_nothing_is_drawn_outside_the_page(site):
    _, svg = drawn(site)
    root = ET.fromstring(svg)
    wide, high = map(float, root.attrib["viewBox"].split()[2:])
    for element in root.iter():
        reach = float(element.attrib.get("r", 0))
        for key in ("x", "x1", "x2", "cx"):
            assert reach <= float(element.attrib.get(key, 5)) <= wide - reach
        for key in ("y", "y1", "y2", "cy"):
            assert reach <= float(element.attrib.get(key, 5)) <= high - reach


def test_a_battery_stands_at_its_own_side_of_the_inverter():
    at_board, none = load_site("ev_and_battery"), load_site("south_family_home")
    for site, where in ((at_board, "at the board"), (DC_BATTERY, "d.c. side")):
        wiring, svg = drawn(site)
        assert where in parts_list(wiring)[-1][2]
        assert "11" in texts(svg)
    assert "11" not in texts(drawn(none)[1])


def test_sizes_of_the_survey_stand_plain_and_others_are_marked():
    site = load_site("south_family_home")  # its survey has lengths and the a.c. size
    wiring, _ = drawn(site)
    assert wiring.ac_size == "6 mm²"
    assert wiring.breaker.endswith("*")
    assert wiring.arrays[0].cable == "4 mm²*, 14 m"
    whole = changed(site, {"cables.dc_mm2": 4.0, "cables.ac_cable": "armoured",
                           "cables.ac_breaker_a": 16.0})  # fmt: skip
    assert not drawn(whole)[0].stand_ins


def test_fuses_are_drawn_where_strings_in_parallel_need_them():
    site = load_site("south_family_home")
    alone = drawn(site)[0].arrays[0].fuse
    many = drawn(changed(site, {"array.main.strings": 5}))[0].arrays[0].fuse
    fitted = drawn(changed(site, {"cables.string_fuse_a": 25.0}))[0].arrays[0].fuse
    assert (alone, many, fitted) == ("", "25 A*", "25 A")


def test_a_bonded_frame_is_drawn_with_its_earth():
    site = load_site("bungalow_extension")
    bare = drawn(site)[1]
    bonded = drawn(site, DAY | {"earth": {"frame_bonded": True}})[1]
    assert bonded.count("<line") > bare.count("<line")


def test_a_name_cannot_put_markup_in_the_drawing():
    site = load_site("bungalow_extension")
    array = site.array[0].model_copy(update={"name": "<b>x</b>"})
    _, svg = drawn(site.model_copy(update={"array": (array,)}))
    assert "<b>" not in svg
    assert "<b>x</b>" in texts(svg)
