"""Faults between the tables of the home: order of paths, and a car that cannot be charged."""

import pytest

from pvkit import InputError, load_site
from pvkit.site.reader import build_site, given
from pvkit.study.changes import changed

SAMPLE = load_site("ev_and_battery")


def faults(changes):
    with pytest.raises(InputError) as error:
        changed(SAMPLE, changes)
    return {fault.where.removeprefix("change, "): fault for fault in error.value.faults}


@pytest.mark.parametrize(
    "order",
    [
        ["battery", "car", "cylinder", "export"],
        ["export", "cylinder", "car", "battery"],
        ["battery", "car", "cylinder"],
        ["value"],
    ],
)
def test_sound_orders_are_taken(order):
    assert changed(SAMPLE, {"home.order": order}).home.order == tuple(order)


@pytest.mark.parametrize(
    ("order", "found"),
    [
        (["battery", "car", "cylinder", "battery"], "found battery twice"),
        (["value", "export"], 'found "value" beside others'),
        (["car", "cylinder", "export"], "found no battery"),
        (["battery", "car", "export"], "found no cylinder"),
    ],
)
def test_an_order_that_leaves_out_or_repeats_is_refused(order, found):
    assert found in faults({"home.order": order})["home.order"].found


def test_an_unknown_path_is_refused_with_the_known_ones():
    (fault,) = faults({"home.order": ["batery", "car", "cylinder", "export"]}).values()
    assert "battery" in fault.fix + fault.allowed


def test_what_the_home_lacks_may_be_left_out_of_the_order():
    raw = given(SAMPLE)
    raw.pop("battery")
    raw["home"] = {**raw["home"], "order": ["car", "cylinder", "export"]}
    assert build_site(raw).home.order == ("car", "cylinder", "export")


def test_a_car_that_drives_more_than_can_be_charged_at_home_is_refused():
    fault = faults({"car.yearly_miles": 50000, "car.charger_kw": 2.3})["car.yearly_miles"]
    assert "kWh on each of 4 days a week" in fault.found
    assert fault.allowed.startswith("up to ")


def test_a_battery_is_asked_its_size():
    raw = given(SAMPLE)
    raw["battery"] = {"power_kw": 2.5}
    with pytest.raises(InputError, match=r"battery\.capacity_kwh"):
        build_site(raw)
