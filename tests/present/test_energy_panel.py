"""The energy panel without a browser: the engine's own figures, no control without an effect."""

import numpy as np
import pytest

from pvkit import Study, load_site, sample_sites
from pvkit.present.energy_changes import energy_changes
from pvkit.present.energy_controls import energy_controls, idle_keys
from pvkit.present.energy_flows import BATTERY, CAR, HOME, SUN, WATER, home_flows_of
from pvkit.present.energy_pages import bill_words, diverter_sentence, energy_figures
from pvkit.present.energy_panel import EnergyPanel
from pvkit.present.energy_pictures import DAY, ENERGY_PICTURES, SIZES, SPARE
from pvkit.site.samples import meter_files, price_files
from pvkit.study.changes import changed
from pvkit.study.home_year import home_year

SITE = "ev_and_battery"
SAMPLES = [sample.name for sample in sample_sites()]
MOVES = [
    ("home.yearly_kwh", 4200.0, {"home.yearly_kwh": 4200.0}),
    ("home.day", "in", {"home.day": "in"}),
    ("home.occupants", 5.0, {"home.occupants": 5.0}),
    ("hot_water.cylinder_litres", 150.0, {"hot_water.cylinder_litres": 150.0}),
    ("hot_water.diverter", "none", {"hot_water.diverter": False}),
    ("hot_water.diverter", "relay", {"hot_water.control": "relay"}),
    ("battery.capacity_kwh", 0.0, {"battery.capacity_kwh": 0.0}),
    ("battery.power_kw", 1.0, {"battery.power_kw": 1.0}),
    ("battery.coupling", "dc", {"battery.coupling": "dc"}),
    ("battery.grid_charge", False, {"battery.grid_charge": False}),
    ("car.yearly_miles", 4000.0, {"car.yearly_miles": 4000.0}),
    ("car.days_at_home", 5, {"car.days_at_home": 5}),
    ("car.by_sun", False, {"car.by_sun": False}),
    ("home.order", "value", {"home.order": ["value"]}),
    (
        "home.order", "battery, car, export, cylinder",
        {"home.order": ["battery", "car", "export", "cylinder"]},
    ),
    ("tariff.import_bands", "flat",
     {"tariff.import_bands": None, "tariff.import_gbp_per_kwh": 0.2611}),
    ("tariff.import_gbp_per_kwh", 32.0, {"tariff.import_gbp_per_kwh": 0.32}),
    ("tariff.export_gbp_per_kwh", 4.0, {"tariff.export_gbp_per_kwh": 0.04}),
    ("supply.export_limit_kw", "1", {"supply.export_limit_kw": 1.0}),
]  # fmt: skip


@pytest.fixture(scope="module")
def study():
    return Study(load_site(SITE))


@pytest.fixture(scope="module")
def panel():
    return EnergyPanel(SITE)


@pytest.fixture(autouse=True)
def _as_surveyed(request):
    yield
    if "panel" in request.fixturenames:
        for row in request.getfixturevalue("panel").rows.values():
            row.reset()


def _numbers(year):
    return np.array([
        year.used_at_home_fraction, year.self_sufficiency_fraction, year.import_kwh,
        year.export_kwh, year.gas_saved_kwh, year.first_year_saving_gbp,
    ])  # fmt: skip


def test_the_panel_states_the_estimates_own_figures(panel, study):
    answer = study.estimate()
    assert _numbers(panel.year) == pytest.approx(_numbers(answer), rel=1e-12)
    for head in energy_figures(panel.year):
        assert head.figure in panel.say()


@pytest.mark.parametrize(("key", "value", "change"), MOVES)
def test_a_moved_control_gives_the_estimate_of_that_change(panel, study, key, value, change):
    before = _numbers(panel.year)
    panel.set(key, value)
    expected = study.change(change).estimate()
    assert _numbers(panel.year) == pytest.approx(_numbers(expected), rel=1e-12, abs=1e-9)
    assert not np.allclose(_numbers(panel.year), before, rtol=1e-9), "the control moves nothing"
    assert panel.estimate().npv_gbp == pytest.approx(expected.npv_gbp, rel=1e-12)


def test_going_back_gives_the_surveyed_answer(panel):
    before = panel.say()
    panel.set("battery.capacity_kwh", 9.0)
    panel.set("tariff.import_bands", "flat")
    assert panel.say() != before
    panel.rows["battery.capacity_kwh"].reset()
    panel.rows["tariff.import_bands"].reset()
    assert panel.say() == before
    assert panel.rows["tariff.import_gbp_per_kwh"].field.value == 28.0


def test_a_chosen_tariff_puts_its_price_under_the_slider_and_it_can_be_moved_on(panel, study):
    panel.set("tariff.import_bands", "flat")
    assert panel.rows["tariff.import_gbp_per_kwh"].field.value == pytest.approx(26.11)
    panel.set("tariff.import_gbp_per_kwh", 30.0)
    change = {"tariff.import_bands": None, "tariff.import_gbp_per_kwh": 0.30}
    expected = home_year(study.change(change))
    assert panel.year.first_year_saving_gbp == pytest.approx(expected.first_year_saving_gbp)


def test_controls_left_alone_ask_for_nothing():
    for name in SAMPLES:
        site = load_site(name)
        assert energy_changes({c: c.surveyed for c in energy_controls(site)}, site) == {}


@pytest.mark.parametrize("name", SAMPLES)
def test_every_control_at_either_end_gives_a_sound_site(name):
    site = load_site(name)
    for control in energy_controls(site):
        ends = [key for key, _ in control.choices] or [control.low, control.high]
        ends = [True, False] if isinstance(control.surveyed, bool) else ends
        for end in ends:
            changed(site, energy_changes({control: end}, site))


@pytest.mark.parametrize("name", SAMPLES)
def test_a_surveyed_value_lies_on_its_sliders_steps(name):
    for control in energy_controls(load_site(name)):
        if control.step and not isinstance(control.surveyed, int):
            low, step = control.grid(control.surveyed)
            steps = (control.surveyed - low) / step
            assert abs(steps - round(steps)) < 1e-6, control.label
            assert low <= control.surveyed <= control.high


def _hidden(panel):
    return {key for key, row in panel.rows.items() if row.box.layout.display == "none"}


def test_what_would_move_nothing_is_hidden_and_comes_back(panel):
    assert _hidden(panel) == set()
    panel.set("battery.capacity_kwh", 0.0)
    assert _hidden(panel) == {"battery.power_kw", "battery.coupling", "battery.grid_charge"}
    panel.set("car.yearly_miles", 0.0)
    assert {"car.days_at_home", "car.by_sun"} <= _hidden(panel)
    assert "home.order" not in _hidden(panel)
    panel.set("hot_water.diverter", "none")
    assert "home.order" in _hidden(panel)
    panel.set("battery.capacity_kwh", 5.0)
    panel.set("tariff.import_bands", "flat")
    assert _hidden(panel) == {"battery.grid_charge", "car.days_at_home", "car.by_sun"}


@pytest.mark.parametrize("name", SAMPLES)
def test_a_control_that_is_shown_moves_a_figure(name):
    study = Study(load_site(name))
    site, before = study.site, _numbers(home_year(study))
    idle = idle_keys(site)

    def moves(control, value):
        now = home_year(study.change(energy_changes({control: value}, site)))
        return not np.allclose(_numbers(now), before, rtol=1e-12, atol=1e-9)

    for control in energy_controls(site):
        if control.key not in idle:
            assert any(moves(control, value) for value in _elsewhere(control)), control.label


def _elsewhere(control):
    if isinstance(control.surveyed, bool):
        return [not control.surveyed]
    if control.choices:
        return [key for key, _ in control.choices if key != control.surveyed]
    return [control.low if control.surveyed > (control.low + control.high) / 2 else control.high]


def test_a_metered_home_has_no_slider_of_its_yearly_use(study):
    metered = study.change({"home.meter_file": str(meter_files()["year_by_day"])}).site
    keys = {control.key for control in energy_controls(metered)}
    assert "home.yearly_kwh" not in keys
    assert "home.day" in keys


def test_a_price_file_takes_the_import_price_away_and_another_tariff_brings_it_back(study):
    prices = {"tariff.import_bands": None, "tariff.import_gbp_per_kwh": None,
              "tariff.import_file": str(price_files()["half_hourly_prices"])}  # fmt: skip
    by_file = study.change(prices).site
    assert "tariff.import_gbp_per_kwh" in idle_keys(by_file)
    tariff = next(c for c in energy_controls(by_file) if c.key == "tariff.import_bands")
    price = next(c for c in energy_controls(by_file) if c.key == "tariff.import_gbp_per_kwh")
    asked = energy_changes({tariff: "two-rate", price: 28.5}, by_file)
    banded = changed(by_file, asked)
    assert "tariff.import_gbp_per_kwh" not in idle_keys(banded)
    assert banded.tariff.import_file is None


def test_an_impossible_home_is_explained_and_not_raised(panel):
    panel.set("car.days_at_home", 6)
    panel.set("car.yearly_miles", 15000.0)
    assert "car.yearly_miles" in panel._message.value
    assert "role='alert'" in panel._message.value


def test_the_saved_twin_holds_the_figures_and_a_picture(panel):
    html = panel.view._repr_mimebundle_()["text/html"]
    for head in energy_figures(panel.year):
        assert head.figure in html
    assert "data:image/svg+xml;base64," in html


def test_the_hot_water_caution_stands_open_in_the_panel(panel):
    shown = panel._cautions.value.partition("<details>")[0]
    assert "against legionella" in shown
    assert "an estimate, not a promise" in shown


def test_the_diverters_price_is_said_with_and_without_a_diverter(panel):
    with_one = diverter_sentence(panel.year)
    panel.set("hot_water.diverter", "none")
    assert diverter_sentence(panel.year).startswith("No diverter is fitted. Heating water pays")
    limit = "below an export price of 8.4 p/kWh"
    assert limit in with_one
    assert limit in diverter_sentence(panel.year)


def test_the_bills_differ_by_the_saving(panel):
    cash = panel.year.stages.cash
    saved = cash.bill_without_gbp[1] - cash.bill_with_gbp[1]
    assert saved == pytest.approx(panel.year.first_year_saving_gbp)
    assert f"£{cash.bill_with_gbp[1]:,.0f} with it" in bill_words(panel.year)


@pytest.mark.parametrize("name", SAMPLES)
def test_every_picture_is_drawn_for_every_sample(name):
    panel = EnergyPanel(name)
    for question in ENERGY_PICTURES:
        panel._picture.value = question
        panel.finish()
        words = panel._words.value.removesuffix("</p>")
        assert words.endswith((".", "!")), (question, words)
        assert panel._chart.outputs[0]["data"]["application/vnd.plotly.v1+json"]["data"]


@pytest.mark.parametrize("day", ["a usual winter day", "the mean of all days"])
def test_the_days_bars_below_the_line_are_what_is_used(panel, day):
    panel._picture.value, panel._day.value = DAY, day
    chart = panel._chart.outputs[0]["data"]["application/vnd.plotly.v1+json"]
    below = sum(sum(v for v in trace["y"] if v < 0) for trace in chart["data"])
    year = panel.year.stages.year
    flows = ("demand_kwh", "standby_kwh", "battery_grid_kwh", "car_grid_kwh", "cylinder_grid_kwh")
    if day == "the mean of all days":
        used = sum(float(getattr(year, name).sum()) for name in flows)
        assert -below * 365 == pytest.approx(used, rel=5e-3)
    assert below < 0


def test_what_flows_into_a_place_flows_out_of_it_or_is_used_there(panel):
    year = panel.year.stages.year
    flows = list(home_flows_of(year))
    out, into = (
        lambda name: sum(flow.kwh for flow in flows if flow.start == name),
        lambda name: sum(flow.kwh for flow in flows if flow.end == name),
    )
    assert out(SUN) == pytest.approx(float((year.solar_kwh + year.rescued_kwh).sum()), abs=1e-6)
    used = float((year.demand_kwh + year.standby_kwh).sum())
    assert into(HOME) == pytest.approx(used, abs=1e-6)
    assert into(BATTERY) == pytest.approx(out(BATTERY), abs=1e-6)
    assert into(CAR) == pytest.approx(panel.year.car_kwh, abs=1e-6)
    heat = float((year.cylinder_kwh + year.cylinder_grid_kwh + year.gas_with_kwh).sum())
    assert into(WATER) == pytest.approx(heat, abs=1e-6)
    assert min(flow.kwh for flow in flows) >= -1e-9


def test_the_heat_map_adds_up_to_the_year(panel):
    panel._picture.value = SPARE
    chart = panel._chart.outputs[0]["data"]["application/vnd.plotly.v1+json"]
    kw = np.array(chart["data"][0]["z"])
    days = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    spare = panel.year.ac_kwh - panel.year.direct_kwh
    assert float((kw * days[:, None]).sum()) == pytest.approx(spare, rel=5e-3)


def test_the_sizes_wait_until_the_controls_rest_and_are_kept_while_only_the_size_moves(panel):
    panel._picture.value = SIZES
    panel.finish()
    panel.set("home.yearly_kwh", 4000.0)
    assert "Working out" in panel._words.value
    panel.finish()
    assert "Working out" not in panel._words.value
    panel.set("battery.capacity_kwh", 8.0)
    assert "Working out" not in panel._words.value
