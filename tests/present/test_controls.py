"""The workbook's controls ask for exactly what they say."""

from datetime import date

import pytest

from pvkit import Study, load_site, sample_sites
from pvkit.present.controls import changes, controls
from pvkit.site.samples import meter_files, price_files
from pvkit.study.changes import changed

SAMPLES = [sample.name for sample in sample_sites()]


def _by_key(site):
    return {control.key: control for control in controls(site)}


@pytest.mark.parametrize("name", SAMPLES)
def test_controls_left_alone_ask_for_nothing(name):
    site = load_site(name)
    assert changes({c: c.surveyed for c in controls(site)}, site) == {}


@pytest.mark.parametrize("name", SAMPLES)
def test_every_control_at_either_end_gives_a_sound_site(name):
    site = load_site(name)
    for control in controls(site):
        ends = [k for k, _ in control.choices] or [control.low, control.high]
        ends = [True, False] if isinstance(control.surveyed, bool) else ends
        for end in ends:
            value = int(end) if control.label == "Panels" else end
            changed(site, changes({control: value}, site))


@pytest.mark.parametrize("name", SAMPLES)
def test_a_surveyed_value_lies_within_its_slider(name):
    for control in controls(load_site(name)):
        if control.step:
            assert control.low <= control.surveyed <= control.high, control.label


def test_prices_are_in_pence_on_the_screen_and_in_pounds_in_the_site():
    site = load_site("south_family_home")
    control = _by_key(site)["tariff.import_gbp_per_kwh"]
    assert control.surveyed == pytest.approx(26.2)
    assert changes({control: 30.0}, site) == {"tariff.import_gbp_per_kwh": 0.3}


def test_more_panels_cost_more_and_fewer_cost_less():
    site = load_site("bungalow_extension")
    control = _by_key(site)["array.main.count"]
    price = [
        Study(changed(site, changes({control: n}, site))).estimate().capital_gbp for n in (5, 6, 8)
    ]
    each = site.costs.gbp_per_panel + site.costs.optimiser_gbp_each
    assert price == pytest.approx([4980 - each, 4980, 4980 + 2 * each])


def test_optimisers_cost_extra_for_each_panel_that_has_one():
    site = load_site("south_family_home")
    by_key = _by_key(site)
    both = {by_key["array.main.count"]: 8, by_key["array.main.optimisers"]: True}
    new = changed(site, changes(both, site))
    more = -2 * site.costs.gbp_per_panel + 8 * site.costs.optimiser_gbp_each
    assert sum(item.gbp for item in new.costs.items) == pytest.approx(5690 + more)


def test_taking_quoted_optimisers_off_gives_their_price_back():
    site = load_site("bungalow_extension")
    control = _by_key(site)["array.main.optimisers"]
    new = changed(site, changes({control: False}, site))
    saved = 6 * site.costs.optimiser_gbp_each
    assert sum(item.gbp for item in new.costs.items) == pytest.approx(4980 - saved)


def test_panels_in_rows_and_columns_become_a_plain_count():
    site = load_site("south_family_home")
    control = _by_key(site)["array.main.count"]
    new = changed(site, changes({control: 7}, site))
    assert new.count(new.array[0]) == 7


def test_without_a_cylinder_there_is_no_diverter_to_tick():
    assert "hot_water.diverter" not in _by_key(load_site("south_family_home"))
    assert "hot_water.diverter" in _by_key(load_site("bungalow_extension"))


def test_each_roof_of_a_pair_has_its_own_controls():
    arrays = [c.array for c in controls(load_site("east_west_pair")) if c.label == "Tilt (°)"]
    assert arrays == ["morning", "evening"]


@pytest.mark.parametrize("name", SAMPLES)
def test_a_surveyed_value_lies_on_its_sliders_steps(name):
    for control in controls(load_site(name)):
        if control.step and not isinstance(control.surveyed, int):
            low, step = control.grid(control.surveyed)
            steps = (control.surveyed - low) / step
            assert abs(steps - round(steps)) < 1e-6, control.label
            assert control.low <= low <= control.surveyed


def test_a_metered_home_has_no_slider_of_its_yearly_use():
    site = load_site("south_family_home")
    metered = changed(site, {"home.meter_file": str(meter_files()["year_by_day"])})
    assert "home.yearly_kwh" in _by_key(site)
    assert "home.yearly_kwh" not in _by_key(metered)


def test_a_price_that_a_file_periods_or_bands_replace_has_no_slider():
    site = load_site("south_family_home")
    whole = [{"name": "all", "start": "00:00", "end": "00:00", "gbp_per_kwh": 0.2}]
    dates = {"valid_from": date(2026, 1, 1), "valid_to": date(2026, 12, 31)}
    period = {"name": "offer", **dates, "import_gbp_per_kwh": 0.3}
    replaced = [
        {"tariff.import_file": str(price_files()["half_hourly_prices"])},
        {"tariff.periods": [period]},
        {"tariff.import_bands": whole},
    ]
    for change in replaced:
        keys = _by_key(changed(site, change))
        assert "tariff.import_gbp_per_kwh" not in keys
        assert "tariff.export_gbp_per_kwh" in keys
    by_export = _by_key(changed(site, {"tariff.export_bands": whole}))
    assert "tariff.export_gbp_per_kwh" not in by_export
    open_period = {"name": "standing", **dates, "standing_gbp_per_day": 0.4}
    assert "tariff.import_gbp_per_kwh" in _by_key(changed(site, {"tariff.periods": [open_period]}))


def test_ageing_by_a_list_that_covers_the_span_has_no_slider():
    site = load_site("south_family_home")
    listed = {"finance.output_by_year": [0.98] * site.finance.years}
    assert "finance.degradation_per_year" in _by_key(site)
    assert "finance.degradation_per_year" not in _by_key(changed(site, listed))
    short = {"finance.output_by_year": [0.98, 0.97]}
    assert "finance.degradation_per_year" in _by_key(changed(site, short))
