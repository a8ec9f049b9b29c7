import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvkit.home.battery import battery_left, battery_year
from pvkit.home.demand import Demand
from pvkit.home.flows import year_flows
from pvkit.home.household import Household
from pvkit.home.solar import Solar
from pvkit.site.money import Replacement
from pvkit.site.parts import inverter_sheet
from pvkit.site.storage import Battery

SHEET = inverter_sheet("single-phase-3680")


@given(st.floats(0.5, 1.0))
def test_the_round_trip_of_the_data_sheet_is_that_of_the_run(round_trip):
    battery = battery_year(Battery(capacity_kwh=5.0, round_trip_efficiency=round_trip), SHEET)
    assert battery.into * battery.out == pytest.approx(round_trip)
    assert battery.from_grid * battery.out == pytest.approx(round_trip)


# Source: pvkit's own reckoning. On the d.c. side two conversions of the three (sun to a.c., a.c.
# to battery, battery to a.c.) are left: the way of the sun through the battery loses only the
# battery's own part against what would have been metered; the grid's way loses both conversions.
@given(st.floats(0.7, 0.96))
def test_on_the_dc_side_the_sun_is_spared_a_conversion_and_the_grid_is_not(round_trip):
    ac, dc = (
        battery_year(
            Battery(capacity_kwh=5.0, round_trip_efficiency=round_trip, coupling=side), SHEET
        )
        for side in ("ac", "dc")
    )
    assert ac.into * ac.out < dc.into * dc.out <= 1.0
    assert dc.from_grid * dc.out < dc.into * dc.out
    assert dc.into / dc.from_grid == pytest.approx(1.0 / SHEET.efficiency_50**2)


def test_a_dc_battery_is_held_by_the_inverters_rating():
    large = Battery(capacity_kwh=15.0, power_kw=10.0, coupling="dc")
    assert battery_year(large, SHEET).power_kwh == pytest.approx(SHEET.ac_w / 2000.0)


def test_only_a_dc_battery_takes_what_the_inverter_cuts_off():
    sun = Solar(np.full(48, 0.5), np.ones(48), np.ones(48), np.full(48, 0.1))
    use = Demand.even(np.where(np.arange(48) < 24, 0.0, 1.5))
    ac, dc = (
        year_flows(
            sun,
            Household(use, battery=battery_year(Battery(capacity_kwh=50.0, coupling=side), SHEET)),
        )
        for side in ("ac", "dc")
    )
    assert not ac.rescued_kwh.any()
    assert dc.rescued_kwh.sum() == pytest.approx(4.8)
    assert np.all(dc.battery_in_kwh >= dc.rescued_kwh)


def test_a_battery_fades_wears_out_and_is_new_again():
    pack = Battery(capacity_kwh=5.0, fade_per_year=0.02, life_years=10)
    bought = [Replacement(name="new Battery", year=14, gbp=1.0),
              Replacement(name="inverter", year=5, gbp=1.0)]  # fmt: skip
    left = battery_left(pack, bought, 25)
    np.testing.assert_allclose(left[:10], 0.98 ** np.arange(10))
    assert not left[10:13].any()
    np.testing.assert_allclose(left[13:23], 0.98 ** np.arange(10))
    assert not left[23:].any()


def test_standby_is_drawn_all_year_and_counted():
    pack = battery_year(Battery(capacity_kwh=5.0, standby_w=40.0), SHEET)
    none = Household(Demand.even(np.zeros(17520)), battery=pack)
    flows = year_flows(np.zeros(17520), none)
    assert flows.import_kwh.sum() == pytest.approx(0.04 * 8760)
    assert not flows.without_kwh.any()
